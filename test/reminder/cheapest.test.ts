// The cheapest holds of a household, lived through (R19). Times in Halifax, 14 January 2027.

import { describe, expect, it } from 'vitest'
import { minutesAfter } from '../../src/plan/index.ts'
import { type Settings, plannedEvent } from '../../src/reminder/index.ts'
import { EVERY_DAY } from '../../src/schedule/index.ts'
import { House, at, clock, empty, settings, workedDay } from './house.ts'

const days = EVERY_DAY
/** Two dips before the event, the deeper one first. By hand: from 55 % at 13:00 to the reserve of 24.5 % at 17:25 the battery can carry 3.48 of 4.42 hours, so it is held for 56 min 24 s, in the dips first. */
const unitRates = {
  currency: 'CAD',
  perKwh: 0.3,
  bands: [
    { days, from: '14:00', until: '14:30', perKwh: 0.05 },
    { days, from: '16:00', until: '16:20', perKwh: 0.06 },
    { days, from: '18:30', until: '13:00', perKwh: 0.1 },
  ],
}
const houseOf = (given: Partial<Settings>): House =>
  workedDay({ ...empty, settings: { ...settings, unitRates, cheapest: true, ...given } })

/** Answers what hands are asked for, six minutes after they were. */
function helped(house: House, until: string): House {
  for (let minute = house.now; minute <= at(until); minute = minutesAfter(minute, 1)) {
    house.until(minute)
    const asked = house.household.reminders.find(
      ({ kind, state, sentAt }) =>
        (kind === 'hold' || kind === 'release') && state === 'sent' && minute - sentAt! >= 360_000,
    )
    if (asked) house.do({ type: 'acknowledge', key: asked.key, by: 'chat' })
  }
  return house
}

describe('[R19] the cheapest hold', () => {
  it('is in the dip, and its release is asked for when it is over', () => {
    const house = houseOf({})
    const plan = plannedEvent(house.household, 'e1')!
    expect([clock(plan.holdBy!), clock(plan.releaseAt)]).toEqual(['14:00', '14:56'])
    helped(house, '18:00')
    expect(house.times('hold')).toEqual(['13:50', '13:54'])
    expect(house.times('release')[0]).toBe('14:54')
    // Running since, it keeps the reserve: nothing more is asked of hands.
    expect(house.times('release').every((time) => time < '15:30')).toBe(true)
  })

  it('keeps its release once it is held, whatever is read', () => {
    const house = houseOf({}).until(at('13:51'))
    house.do({ type: 'acknowledge', key: house.reminder('hold').key, by: 'chat' })
    house.do({ type: 'reading', at: house.now, socPct: 48 })
    house.do({ type: 'reading', at: house.now, socPct: 48 })
    expect(clock(plannedEvent(house.household, 'e1')!.releaseAt)).toBe('14:56')
  })

  it('gives its release up where running from then on would be too little', () => {
    const house = houseOf({}).until(at('13:51'))
    house.do({ type: 'acknowledge', key: house.reminder('hold').key, by: 'chat' })
    house.do({ type: 'reading', at: house.now, socPct: 25 })
    expect(clock(plannedEvent(house.household, 'e1')!.releaseAt)).toBe('17:25')
  })

  it('is in both dips where hands are willing four times', () => {
    const house = helped(houseOf({ maxActions: 4 }), '18:00')
    expect(house.times('hold').map((time) => time.slice(0, 4))).toEqual([
      '13:5',
      '13:5',
      '15:5',
      '15:5',
    ])
    expect(house.times('release').filter((time) => time < '15:00')[0]).toBe('14:34')
    expect(house.times('release').filter((time) => time > '15:00')[0]).toBe('16:18')
  })

  it('is looked for again where the first went by unused, so that the reserve is kept', () => {
    const house = houseOf({}).until(at('17:00'))
    expect(house.times('hold').filter((time) => time > '15:00').length).toBeGreaterThan(0)
    expect(clock(plannedEvent(house.household, 'e1')!.releaseAt)).toBe('17:25')
    expect(house.times('hold').at(-1)! >= '16:54').toBe(true)
    house.until(at('17:24'))
    expect(house.times('release')).toEqual(['17:23'])
  })

  it('"not yet" to a release in between leaves it held', () => {
    const house = houseOf({}).until(at('13:51'))
    house.do({ type: 'acknowledge', key: house.reminder('hold').key, by: 'chat' })
    house.until(at('14:55'))
    const { key } = house.reminder('release')
    house.do({ type: 'acknowledge', key, by: 'chat' })
    expect(house.household.events[0]!.heldAt).toBe(null)
    house.do({ type: 'reopen', key })
    expect(clock(house.household.events[0]!.heldAt!)).toBe('13:51')
  })

  it('is the latest without rates, or without the wish', () => {
    for (const given of [{ cheapest: false }, { unitRates: null }])
      expect(clock(plannedEvent(houseOf(given).household, 'e1')!.holdBy!)).toBe('16:28')
  })

  it('says why it is the latest where the event is more than a day away', () => {
    const house = new House(
      {
        ...empty,
        settings: {
          ...settings,
          unitRates,
          cheapest: true,
          nightCharge: { from: '00:30', until: '05:30' },
        },
      },
      at('13:00'),
    )
    house.do({ type: 'reading', at: house.now, socPct: 55 })
    house.do({ type: 'announce', start: at('17:30', '2027-01-16'), end: at('18:30', '2027-01-16') })
    expect(house.household.messages.at(-1)!.text).toContain('not the cheapest')
  })
})
