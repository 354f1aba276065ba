// "Worth it?" in a conversation: known in several wordings of our own, and answered in the sentence whose figures are
// worked by hand in test/reminder/worth.test.ts.

import { describe, expect, test } from 'vitest'
import { converse, understand } from '../../src/chat/index.ts'
import { type Household, type Rates, decide } from '../../src/reminder/index.ts'
import { at, empty, settings } from '../reminder/house.ts'

const meaning = (text: string) =>
  understand(text, {
    now: at('13:00'),
    timeZone: 'America/Halifax',
    dayFirst: true,
    language: 'en',
    events: [{ id: 'e1', start: at('17:30'), end: at('18:30') }],
  })

describe('asked', () => {
  test.each([
    'worth it?',
    'Is it worth it?',
    'is this worth it',
    'ok, is it worth it?',
    'what do I earn',
    'What do we earn?',
    'how much do I earn?',
    'what will I earn?',
    'does it pay?',
    "what's it worth?",
    'What’s the reward?',
    'what do I get for it?',
    '/worth',
  ])('%j', (text) => {
    expect(meaning(text)).toEqual({ kind: 'worth' })
  })

  test.each(['why', 'plan', 'what do I do', 'thanks', '58', 'worth 58'])('%j is not', (text) => {
    expect(meaning(text).kind).not.toBe('worth')
  })
})

const peak: Rates = {
  currency: 'CAD',
  perKwh: 0.1,
  bands: [{ days: [4], from: '16:00', until: '17:25', perKwh: 0.5 }],
}

const house = (rates: Rates | null, told = true): Household => {
  const begun: Household = {
    ...empty,
    settings: { ...settings, unitRates: rates, rewardPerKwh: 2 },
  }
  const event = { type: 'announce', start: at('17:30'), end: at('18:30') } as const
  const { household } = decide(event, begun, at('13:00'))
  const reading = { type: 'reading', at: at('13:00'), socPct: 55 } as const
  return told ? decide(reading, household, at('13:00')).household : household
}

const answer = (household: Household, now = at('13:00')) =>
  converse(household, 'worth it?', now).household.messages.at(-1)?.text.replaceAll('\u00a0', ' ')

describe('answered', () => {
  test('in a sentence, and what it rests on', () => {
    expect(answer(house(peak))).toBe(
      [
        'The event Thursday 14 January, 17:30–18:30:',
        'Over the day it costs CA$0.30 more and earns CA$0.59 more: CA$0.29 better with the plan.',
        'The scheme’s own meter and rules decide what it pays. Here the house is taken to use 0.80 kWh in the event usually: its evening load.',
      ].join('\n'),
    )
  })

  test('without prices: where to give them', () => {
    expect(answer(house(null))).toMatch(/\/prices/)
  })

  test('without an event, or a plan for it: what is said of those', () => {
    expect(answer({ ...empty, settings: { ...settings, unitRates: peak } })).toMatch(
      /^No event is announced/,
    )
    expect(answer(house(peak, false))).toMatch(/What does it show now\?/)
  })

  test('when it is too late to choose', () => {
    expect(answer(house(peak), at('17:26'))).toMatch(/^There is nothing left to choose/)
  })
})
