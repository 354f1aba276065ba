// Conversations as they are typed, against the model's worked example (hold by 16:28:36, 25 %; release 17:25).

import { describe, expect, it } from 'vitest'
import { converse } from '../../src/chat/index.ts'
import type { Instant } from '../../src/plan/index.ts'
import { type Household, plannedEvent, saidSince } from '../../src/reminder/index.ts'
import { House, at, empty } from '../reminder/house.ts'

/** Says something; answers with what was said back. */
function say(house: House, text: string): string[] {
  const before = house.household.messages.at(-1)?.seq ?? 0
  house.household = converse(house.household, text, house.now).household
  return saidSince(house.household, before).map((each) => each.text.replaceAll('\u00a0', ' '))
}

const house = (household: Household = empty, now: Instant = at('13:00')) =>
  new House(household, now)

const PLAN =
  'Thursday 14 January, 17:30–18:30: hold by 16:28, or as soon as it shows 25 %. Let it run again at 17:25. I will remind you.'

describe('telling', () => {
  it('answers a reading, then an event with its absolute day, its times and the plan', () => {
    const home = house()
    expect(say(home, '55')).toEqual(['55 % at 13:00: noted.'])
    expect(say(home, 'today 17:30-18:30').at(-1)).toBe(PLAN)
  })

  it('says the cautions with the first advice, and not again', () => {
    const home = house()
    say(home, '55')
    expect(say(home, 'today 17:30-18:30')[0]).toMatch(/^I only remind.*medical equipment/)
    expect(say(home, 'today 21:00-21:30').join()).not.toMatch(/medical/)
  })

  it('says what it took for granted', () => {
    const home = house()
    say(home, '55')
    expect(say(home, 'today 5:30-6:30')).toContain(
      'You did not say morning or evening, so I took the evening.',
    )
  })

  it('takes several events at once and tells each plan once', () => {
    const home = house()
    say(home, '90')
    const said = say(home, 'today 15:00-16:00 and 17:30-18:30')
    expect(home.household.events).toHaveLength(2)
    expect(said.filter((text) => text.includes('15:00–16:00'))).toHaveLength(1)
    expect(said.filter((text) => text.includes('17:30–18:30'))).toHaveLength(1)
  })

  it('takes none of several when one cannot be', () => {
    const home = house()
    say(home, 'today 17:30-18:30')
    expect(say(home, 'today 15:00-16:00 and 18:00-19:00').join()).toMatch(
      /^That would overlap with/,
    )
    expect(home.household.events).toHaveLength(1)
  })

  it('asks for a reading where there is none', () => {
    expect(say(house(), 'today 17:30-18:30').at(-1)).toMatch(/What does it show now\?/)
  })

  it('moves and cancels', () => {
    const home = house()
    say(home, '55')
    say(home, 'today 17:30-18:30')
    expect(say(home, 'moved to 18:00-19:00').join()).toMatch(
      /^Thursday 14 January, 18:00–19:00: hold by/,
    )
    expect(say(home, 'cancel')).toEqual([
      'Thursday 14 January, 18:00–19:00: cancelled. Nothing to do for it any more.',
    ])
  })
})

describe('answering', () => {
  const due = () => {
    const home = house()
    say(home, '55')
    say(home, 'today 17:30-18:30')
    return home.until(at('16:20'))
  }

  it('takes "done" for what is asked, and "not yet" back', () => {
    const home = due()
    expect(say(home, 'done').join()).toMatch(/^Thank you\. It stays paused until 17:25/)
    expect(home.household.events[0]?.heldAt).toBe(at('16:20'))
    expect(say(home, 'not yet').join()).toMatch(/^All right: not yet\. I will ask again at 16:25/)
    expect(home.household.events[0]?.heldAt).toBeNull()
  })

  it('puts it off, but not past its time', () => {
    const home = due()
    expect(say(home, 'in 5')).toEqual(['I will ask again at 16:25.'])
    expect(say(home, 'in 45')).toEqual(['I will ask again at 16:25.'])
  })

  it('understands what its own buttons send', () => {
    const home = due()
    const buttons = home.household.messages.at(-1)?.buttons ?? []
    expect(buttons.map((each) => each.send)).toEqual(['done', 'in 10'])
    expect(say(home, buttons[0]?.send ?? '').join()).toMatch(/^Thank you\. It stays paused/)
  })

  it('knows when nothing is asked', () => {
    expect(say(house(), 'done')).toEqual(['Thank you. Nothing is waiting for an answer just now.'])
  })
})

describe('asking', () => {
  it('says the plan, and the sum behind it', () => {
    const home = house()
    say(home, '55')
    say(home, 'today 17:30-18:30')
    expect(say(home, 'plan')).toEqual([PLAN])
    // The figures are the model's worked example's.
    const why = say(home, 'why')[0]?.split('\n') ?? []
    expect(why[0]).toBe('Thursday 14 January, 17:30–18:30:')
    expect(why).toContain('Together: to have at 17:25: 0.91 + 0.96 + 0.48 = 2.35 kWh')
    expect(why).toContain('On the display, rounded up: 2.35 ÷ 9.6 × 100 = 25 %')
    expect(why.at(-1)).toBe('Hold on Thu 14 Jan by: 13:00 + 3 h 28 min = 16:28')
    expect(plannedEvent(home.household, 'e1')?.holdAtPct).toBe(25)
  })

  it('says what to say when it does not understand, and keeps long messages cut', () => {
    const home = house()
    expect(say(home, 'x'.repeat(50_000)).join()).toMatch(/^I did not understand that/)
    expect(home.household.messages[0]?.text.length).toBeLessThan(700)
  })
})
