// The sun in a conversation: asked after, answered by what the plan counts on.

import { describe, expect, it, test } from 'vitest'
import { converse, understand } from '../../src/chat/index.ts'
import type { Solar } from '../../src/reminder/index.ts'
import { House, at, empty } from '../reminder/house.ts'

const meaning = (text: string) =>
  understand(text, {
    now: at('13:00'),
    timeZone: 'America/Halifax',
    dayFirst: true,
    language: 'en',
    events: [{ id: 'e1', start: at('17:30'), end: at('18:30') }],
  }).kind

test.each([
  'the sun',
  'how much sun?',
  'How much does the sun give today?',
  'what about the solar panels',
  'Solar?',
  'do you count on the sun',
  'we have solar panels',
])('“%s” is after the sun', (text) => {
  expect(meaning(text)).toBe('sun')
})

test.each([
  ['sun', 'question'],
  ['sun 17:30-18:30', 'announce'],
  ['panel is off', 'done'],
  ['the panel', 'unknown'],
  ['sunday 17:30-18:30', 'announce'],
])('“%s” is not: %s', (text, kind) => {
  expect(meaning(text)).toBe(kind)
})

describe('the answer', () => {
  const say = (solar: Solar | null, text: string) => {
    const house = new House({ ...empty, settings: { ...empty.settings, solar } }, at('13:00'))
    house.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
    house.household = converse(house.household, text, house.now).household
    return house.last()
  }
  it('is what the plan counts on, and nothing for an event after sunset', () => {
    expect(say({ kwhPerDay: 1.2 }, 'how much sun?')).toMatch(
      /^Today: about 1\.2 kWh, the last of it at 1[67]:\d\d\. In the event, 17:30–18:30: nothing\. .*\/sun\.$/,
    )
  })
  it('says where to tell of it', () => {
    expect(say(null, 'solar')).toBe(
      'No sun is counted on. If you have solar panels, tell of them on the page /sun.',
    )
  })
})
