// The rules of src/reminder/README.md where days, events and answers meet: by number, on the model's worked example.

import { describe, expect, it } from 'vitest'
import { asInstant } from '../../src/plan/index.ts'
import { type Household, nextWake, plannedEvent } from '../../src/reminder/index.ts'
import { House, at, empty, settings, workedDay } from './house.ts'

const ack = (house: House, kind: string) =>
  house.do({ type: 'acknowledge', key: house.reminder(kind).key, by: 'page' })

describe('[R14] ahead, or on the day', () => {
  const NIGHT = { from: '00:30', until: '05:30' }
  const TOMORROW = '2027-01-15'
  const announced = (household: Household) => {
    const house = new House(household, at('13:00'))
    house.do({ type: 'reading', at: at('13:00'), socPct: 55 })
    house.do({ type: 'announce', start: at('17:30', TOMORROW), end: at('18:30', TOMORROW) })
    return house
  }

  it('plans ahead where the nightly charge is known', () => {
    const house = announced({ ...empty, settings: { ...settings, nightCharge: NIGHT } })
    // Full at 05:30: 9.6 kWh less the reserve of 2.3523, at 0.8421 kW, last 8.607 h, to 14:06.
    expect(house.last()).toMatch(/^Friday 15 January, 17:30–18:30: hold by 14:06/)
    house.until(at('14:00', TOMORROW))
    expect(house.times('hold')).toEqual(['13:56'])
  })

  it('says what it takes, asks on the day, and plans from the answer, where it is not', () => {
    const house = announced(empty)
    expect(house.last()).toMatch(
      /^Friday 15 January, 17:30–18:30: noted\. It takes 25 % of the battery\. At 07:30 I will ask/,
    )
    house.until(at('07:31', TOMORROW))
    expect(house.times('reading')).toEqual(['07:30'])
    expect([...house.times('hold'), ...house.times('plan')]).toEqual([])
    house.do({ type: 'reading', at: at('07:31', TOMORROW), socPct: 90 })
    expect(house.last()).toMatch(/hold by 14:59/)
  })

  it('says when to hold at the latest when it asks again, and plans nothing from another day', () => {
    const house = announced(empty).until(at('17:00', TOMORROW))
    expect(house.times('reading')).toEqual(['07:30', '08:30', '10:30', '14:30'])
    expect(house.last()).toMatch(/25 % or less: hold it now, and answer "done"/)
    expect(house.times('hold')).toEqual([])
  })

  it('lets no event of another day raise the reserve of this one', () => {
    const house = workedDay()
    house.do({ type: 'announce', start: at('17:30', TOMORROW), end: at('18:30', TOMORROW) })
    expect(plannedEvent(house.household, 'e1')?.holdAtPct).toBe(25)
    expect(plannedEvent(house.household, 'e2')).toBeNull()
    house.until(at('07:31', TOMORROW))
    expect(house.household.messages.at(-1)?.reminderKey).toMatch(/^reading-e2/)
  })
})

describe('what a later event finds', () => {
  const nextDay = '2027-01-21'

  it('[R5] a release that nobody answered does not freeze the plans of another week', () => {
    const house = workedDay().until(at('16:20'))
    ack(house, 'hold')
    house.until(at('13:00', nextDay))
    house.do({ type: 'reading', at: at('13:00', nextDay), socPct: 55 })
    house.do({ type: 'announce', start: at('17:30', nextDay), end: at('18:30', nextDay) })
    expect(house.last()).toMatch(/hold by 16:28/)
  })

  it('[R5] is not told to hold and to let run in one breath', () => {
    const house = workedDay()
    house.do({ type: 'announce', start: at('20:00'), end: at('21:00') })
    house.until(at('16:20'))
    house.do({ type: 'acknowledge', key: 'hold-e1-1', by: 'page' })
    house.until(at('17:00'))
    const before = house.household.messages.length
    house.do({ type: 'cancel', eventId: 'e1' })
    const said = house.household.messages.slice(before).map((each) => each.text)
    const paused = said.some((text) => text.includes('Hold now'))
    const running = said.some((text) => text.includes('let the battery run again'))
    expect([paused, running].filter(Boolean)).toHaveLength(1)
    expect(said.join()).not.toMatch(/Nothing to do/)
  })

  it('[R2] is asked for when the first one has begun', () => {
    const house = new House(empty, at('05:00'))
    house.do({ type: 'announce', start: at('07:00'), end: at('08:00') })
    house.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
    house.until(at('09:00'))
    expect(house.household.messages.some((each) => each.reminderKey === 'reading-e2-1')).toBe(true)
    expect(nextWake(house.household)).not.toBeNull()
  })

  it('[R5] is moved to another day: until then the held battery is to run, and is held anew', () => {
    const house = workedDay().until(at('16:20'))
    ack(house, 'hold')
    house.do({
      type: 'move',
      eventId: 'e1',
      start: at('17:30', nextDay),
      end: at('18:30', nextDay),
    })
    expect(house.last()).toMatch(
      /^The event is on another day now .* let the battery run again until then/,
    )
    ack(house, 'restore')
    house.until(at('13:00', nextDay))
    house.do({ type: 'reading', at: at('13:00', nextDay), socPct: 55 })
    expect(house.last()).toMatch(/hold by 16:28/)
  })
})

describe('what is kept of answers', () => {
  it('[R12] adds no reminder by being asked again and again', () => {
    const house = new House(empty, at('17:40'))
    house.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
    for (let i = 0; i < 5; i++) house.do({ type: 'wake' })
    house.do({ type: 'reading', at: at('17:40'), socPct: 50 })
    for (let i = 0; i < 5; i++) house.do({ type: 'wake' })
    const kinds = house.household.reminders.map((each) => each.kind)
    expect(kinds.filter((kind) => kind === 'reading').length).toBeLessThanOrEqual(1)
    expect(kinds.filter((kind) => kind === 'release').length).toBeLessThanOrEqual(1)
  })

  it('[R2] asks again only after a while when "done" came without a figure', () => {
    const house = new House(empty, at('09:00'))
    house.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
    ack(house, 'reading')
    expect(house.until(at('09:59')).times('reading')).toEqual(['09:00'])
    expect(house.until(at('10:01')).times('reading')).toEqual(['09:00', '10:00'])
  })

  it('[R8] takes back a "done" that came before it was asked', () => {
    const house = workedDay().until(at('14:30'))
    ack(house, 'hold')
    house.do({ type: 'reopen', key: house.reminder('hold').key })
    expect(house.until(at('16:19')).times('hold')).toEqual(['16:18'])
  })

  it('takes what was told over what was reckoned in the same minute', () => {
    const house = workedDay().until(asInstant(at('16:05') + 30_000))
    ack(house, 'hold')
    house.do({ type: 'reading', at: at('16:05'), socPct: 22 })
    expect(house.household.readings.at(-1)).toMatchObject({ socPct: 22, reckoned: false })
  })

  it('[R6] keeps the outcome question for a reading from after the end', () => {
    const house = workedDay().until(at('18:36'))
    house.do({ type: 'reading', at: at('18:25'), socPct: 12 })
    expect(house.reminder('outcome').state).toBe('sent')
  })

  it('[R8] never promises to ask after it helps', () => {
    const house = workedDay().until(at('18:36'))
    house.do({ type: 'snooze', key: house.reminder('outcome').key, minutes: 1440 })
    const { nextAt, uselessAfter } = house.reminder('outcome')
    expect(nextAt).toBeLessThan(uselessAfter)
  })

  it('[R8] takes "held" on the day though no hold was asked for, and asks for the release', () => {
    const house = new House(empty, at('09:00'))
    house.do({ type: 'reading', at: at('09:00'), socPct: 100 })
    house.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
    house.until(at('16:30'))
    house.do({ type: 'held', eventId: 'e1', by: 'chat' })
    expect(house.last()).toMatch(/^Thank you\. It stays paused until 17:25/)
    expect(house.until(at('17:24')).times('release')).toEqual(['17:23'])
  })

  it('[R15] asks nothing of an empty battery', () => {
    const house = new House(empty, at('08:00'))
    house.do({ type: 'reading', at: at('08:00'), socPct: 8 })
    house.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
    expect(house.last()).toMatch(/nothing to give/)
    expect(house.until(at('23:00')).times('hold')).toEqual([])
  })

  it('[R15] plans past a battery under its floor that will be charged at night', () => {
    const night = { from: '00:30', until: '05:30' }
    const house = new House(
      { ...empty, settings: { ...settings, nightCharge: night } },
      at('13:00'),
    )
    house.do({ type: 'reading', at: at('13:00'), socPct: 9 })
    house.do({ type: 'announce', start: at('17:30', '2027-01-15'), end: at('18:30', '2027-01-15') })
    expect(house.last()).toMatch(/hold by 14:06/)
  })

  it('[R1] answers each reading with its own figure and the plan from it', () => {
    const house = workedDay().until(at('16:20'))
    ack(house, 'hold')
    house.do({ type: 'reading', at: at('16:20'), socPct: 60 })
    expect(house.last()).toMatch(/About 3\.89 kWh above what you keep/)
  })

  it('[R4] says to leave it running once it runs again', () => {
    const house = workedDay().until(at('16:20'))
    ack(house, 'hold')
    house.until(at('17:24'))
    ack(house, 'release')
    expect(house.last()).toMatch(/^Thank you\. It should carry the house until 18:30/)
  })
})
