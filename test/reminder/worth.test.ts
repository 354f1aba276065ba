// Whether an event is worth it to a household, worked by hand on the model's worked example (§3): 9.6 kWh at 55 % at 13:00,
// 0.8 kW, event 17:30-18:30. Held from 16:28:36 to 17:25, 0.752 kWh are bought in that time and none in the event; left
// running the battery is at its floor at 18:07:48, and 0.296 kWh are bought in the event.

import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { HOUR_MS, type Instant, asInstant, worthOf } from '../../src/plan/index.ts'
import {
  type Household,
  type Rates,
  type Settings,
  formatOf,
  planFor,
  planInput,
  sunAhead,
  upcoming,
  worthOfEvent,
  worthOfEvents,
  worthText,
} from '../../src/reminder/index.ts'
import { unitRateSteps } from '../../src/schedule/index.ts'
import { House, at, empty, settings } from './house.ts'

const flat: Rates = { currency: 'CAD', perKwh: 0.3, bands: [] }
/** Dear from 16:00 to the release. */
const peak: Rates = {
  currency: 'CAD',
  perKwh: 0.1,
  bands: [{ days: [1, 2, 3, 4, 5], from: '16:00', until: '17:25', perKwh: 0.5 }],
}

const house = (more: Partial<Settings> = {}, socPct = 55, now: Instant = at('13:00')): House => {
  const home = new House({ ...empty, settings: { ...settings, ...more } }, now)
  home.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
  home.do({ type: 'reading', at: now, socPct })
  return home
}

const known = (home: House): Household => ({
  ...home.household,
  plan: planFor(home.household, home.now),
})

const worth = (home: House, index = 0) => {
  const household = known(home)
  return worthOfEvent(household, upcoming(household, home.now)[index]?.id ?? '')
}

const some = (home: House, index = 0) => {
  const found = worth(home, index)
  if (found === null) throw new TypeError('Must be worth something or nothing, but counted')
  return found
}

const sentence = (more: Partial<Settings>) => {
  const home = house(more)
  return worthText(some(home), formatOf(home.household)).replaceAll('\u00a0', ' ')
}

describe('both sides', () => {
  test('on one rate: a hold costs nothing, and earns what is not bought in the event', () => {
    const { withPlan, withoutPlan, difference, gain, horizon, ...rest } = some(
      house({ unitRates: flat, rewardPerKwh: 2 }),
    )
    expect(rest).toEqual({ currency: 'CAD', baselineKwh: 0.8 })
    expect(horizon).toEqual({ start: at('13:00'), end: at('13:00', '2027-01-15') })
    expect(withPlan.events[0]?.importKwh).toBe(0)
    expect(withoutPlan.events[0]?.importKwh).toBeCloseTo(0.296, 6)
    expect(withPlan.reward).toBeCloseTo(2 * 0.8, 6)
    expect(withoutPlan.reward).toBeCloseTo(2 * (0.8 - 0.296), 6)
    expect(difference.cost).toBeCloseTo(0, 6)
    expect(gain).toBeCloseTo(2 * 0.296, 6)
  })

  test('a hold in dear hours costs what it keeps there', () => {
    const { difference, gain } = some(house({ unitRates: peak, rewardPerKwh: 2 }))
    expect(difference.cost).toBeCloseTo(0.752 * 0.4, 6)
    expect(gain).toBeCloseTo(2 * 0.296 - 0.752 * 0.4, 6)
  })

  test('the cheapest hold keeps out of them', () => {
    const { difference } = some(house({ unitRates: peak, rewardPerKwh: 2, cheapest: true }))
    expect(difference.cost).toBeCloseTo(0, 6)
  })

  test('without a known reward nothing is earned, and there is no baseline', () => {
    const { withPlan, baselineKwh } = some(house({ unitRates: peak }))
    expect(withPlan.reward).toBe(0)
    expect(baselineKwh).toBeNull()
  })

  test('held already: what holding on adds to letting it run now', () => {
    const home = house({ unitRates: flat, rewardPerKwh: 2 })
    home.now = at('16:00')
    home.do({ type: 'held', eventId: upcoming(home.household, home.now)[0]?.id ?? '', by: 'test' })
    // Running from 16:00 it would end as it would without any hold.
    expect(some(home).gain).toBeCloseTo(2 * 0.296, 6)
  })
})

describe('nothing to count', () => {
  test('without prices', () => {
    expect(worth(house({ rewardPerKwh: 2 }))).toBeNull()
  })

  test('before there is a plan, and of an event that is not known', () => {
    const home = new House({ ...empty, settings: { ...settings, unitRates: flat } }, at('13:00'))
    home.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
    expect(worth(home)).toBeNull()
    expect(worthOfEvent(known(house({ unitRates: flat })), 'other')).toBeNull()
  })

  test('from the release on, and once it runs again', () => {
    const home = house({ unitRates: flat })
    home.now = at('17:24')
    expect(worth(home)).not.toBeNull()
    home.now = at('17:25')
    expect(worth(home)).toBeNull()
    home.now = at('17:45')
    expect(worth(home)).toBeNull()
  })
})

describe('a night between', () => {
  const night = { nightCharge: { from: '01:00', until: '06:00' }, rewardPerKwh: 2 }
  const evening = at('20:00', '2027-01-13')

  // From full at 6:00, 8.64 kWh above the floor: 8.208 reach the house. 0.8 kW of 19 h are 15.2 kWh.
  test('is counted from the charge before the event to the one after it', () => {
    const { horizon, withPlan, withoutPlan, gain } = some(
      house({ ...night, unitRates: flat }, 40, evening),
    )
    expect(horizon).toEqual({ start: at('06:00'), end: at('01:00', '2027-01-15') })
    for (const bill of [withPlan, withoutPlan]) {
      expect(bill.importKwh).toBeCloseTo(15.2 - 8.208, 6)
      expect(bill.leftKwh).toBeCloseTo(0.96, 6)
    }
    // Left running it is empty at 16:15, and all of the event is bought.
    expect(withoutPlan.events[0]?.importKwh).toBeCloseTo(0.8, 6)
    expect(withPlan.events[0]?.importKwh).toBeCloseTo(0, 6)
    expect(gain).toBeCloseTo(1.6, 6)
  })

  test('the same on each of several days', () => {
    const home = house({ ...night, unitRates: flat }, 40, evening)
    const friday = '2027-01-15'
    home.do({ type: 'announce', start: at('17:30', friday), end: at('18:30', friday) })
    const [first, second] = [some(home, 0), some(home, 1)]
    expect(second.horizon).toEqual({ start: at('06:00', friday), end: at('01:00', '2027-01-16') })
    expect(second.gain).toBeCloseTo(first.gain, 6)
  })
})

describe('the sun', () => {
  test('it is counted until the sun charges it the next day', () => {
    const home = house({ unitRates: flat, rewardPerKwh: 2, solar: { kwhPerDay: 20 } })
    const { horizon } = some(home)
    const charging = sunAhead(home.household.settings, at('18:30'), at('18:30', '2027-01-15')).find(
      ({ kw }) => kw > settings.loadKw,
    )
    expect(charging?.start).toBeGreaterThan(at('08:00', '2027-01-15'))
    expect(horizon.end).toBe(charging?.start)
  })

  test('and from when it stops, where it charges before the event', () => {
    const { horizon, gain } = some(
      house({ unitRates: flat, rewardPerKwh: 2, solar: { kwhPerDay: 30 } }, 30),
    )
    expect(horizon.start).toBeGreaterThan(at('13:00'))
    expect(horizon.start).toBeLessThan(at('17:00'))
    expect(gain).toBeGreaterThan(-1e-9)
  })
})

describe('two events of one day', () => {
  test('the second counts what its hold adds to the first', () => {
    const home = house({ unitRates: peak, rewardPerKwh: 2 }, 70)
    home.do({ type: 'announce', start: at('20:00'), end: at('21:00') })
    const household = known(home)
    const [one, two] = household.plan?.plan.events ?? []
    const input = planInput(household, upcoming(household, home.now), home.now)
    if (one === undefined || two === undefined || input === null) throw new TypeError('No plan')
    expect(two.holdBy).not.toBeNull()
    const rates = unitRateSteps(peak, settings.timeZone, {
      start: home.now,
      end: asInstant(home.now + 48 * HOUR_MS),
    })
    const reward = { perKwh: 2, baselineKwh: [0.8, 0.8] }
    const net = (events: (typeof one)[]) => {
      const all = worthOf({ input, plan: { events }, rates, reward })
      return all.ok ? all.value.withPlan.net : NaN
    }
    expect(some(home, 1).gain).toBeCloseTo(net([one]) - net([one, two]), 9)
    expect(some(home, 1).gain).toBeGreaterThan(0)
  })
})

describe('two holds', () => {
  // Two cheap half-hours, of which 0.94 h have to be held through: all is bought in them, and none in dear hours.
  const dear = (from: string, until: string) => ({ days: [4], from, until, perKwh: 0.5 })
  const unitRates = {
    currency: 'CAD',
    perKwh: 0.1,
    bands: [dear('07:00', '14:00'), dear('14:30', '15:30'), dear('16:00', '17:25')],
  }
  const willing = { unitRates, rewardPerKwh: 2, cheapest: true }

  test('are both counted', () => {
    expect(some(house({ ...willing, maxActions: 4 })).difference.cost).toBeCloseTo(0, 5)
    expect(some(house(willing)).difference.cost).toBeGreaterThan(0.1)
  })

  test('also once it is held for the first of them', () => {
    const home = house({ ...willing, maxActions: 4 })
    home.now = at('14:04')
    home.do({ type: 'held', eventId: upcoming(home.household, home.now)[0]?.id ?? '', by: 'test' })
    expect(known(home).plan?.plan.events[0]?.releaseAt).toBe(at('14:30'))
    const { withPlan, withoutPlan } = some(home)
    expect(withPlan.reward).toBeCloseTo(1.6, 6)
    expect(withoutPlan.reward).toBeLessThan(1.1)
  })
})

describe('a charge by hand', () => {
  const battery = { ...settings.battery, maxChargeKw: 3 }
  const topUpWindows = [{ days: [1, 2, 3, 4, 5, 6, 7], from: '01:00', until: '05:00' }]

  test('is paid for, before it is set and after', () => {
    const evening = at('21:00', '2027-01-13')
    const home = house({ battery, topUpWindows, unitRates: flat, rewardPerKwh: 2 }, 20, evening)
    const before = some(home)
    const planned = known(home).plan?.plan.events[0]?.topUp
    if (!planned) throw new TypeError('Must be charged for')
    // Charging and discharging lose a tenth of it.
    expect(before.difference.importKwh).toBeGreaterThan(planned.kwh * (1 / 0.95 - 0.95) - 1e-6)
    const [event] = home.household.events
    if (event === undefined) throw new TypeError('Must have an event')
    home.household = { ...home.household, events: [{ ...event, topUp: planned }] }
    const after = some(home)
    expect(after.difference.importKwh).toBeCloseTo(before.difference.importKwh, 2)
    expect(after.gain).toBeCloseTo(before.gain, 2)
    // Half-way through, only the rest is still to be paid.
    home.now = asInstant((planned.from + planned.until) / 2)
    expect(some(home).difference.cost).toBeLessThan(after.difference.cost)
  })
})

describe('whatever a household does', () => {
  const clock = fc.constantFrom(
    '00:30',
    '01:00',
    '05:00',
    '07:00',
    '16:00',
    '17:25',
    '21:00',
    '23:00',
  )
  const weekly = fc
    .record({ from: clock, until: clock })
    .filter(({ from, until }) => from !== until)
    .map((times) => ({ days: [1, 2, 3, 4, 5, 6, 7], ...times }))
  const perKwh = fc.integer({ min: -20, max: 60 }).map((cents) => cents / 100)
  const asked = fc.record({
    nightCharge: fc.option(fc.constant({ from: '01:00', until: '05:00' })),
    topUpWindows: fc.array(weekly, { maxLength: 2 }),
    solar: fc.option(fc.record({ kwhPerDay: fc.integer({ min: 1, max: 30 }) })),
    cheapest: fc.boolean(),
    maxActions: fc.constantFrom(2, 4, 6),
    rewardPerKwh: fc.option(fc.constantFrom(0, 0.5, 3)),
    unitRates: fc.record({
      currency: fc.constant('CAD'),
      perKwh,
      bands: fc
        .array(fc.tuple(weekly, perKwh), { maxLength: 3 })
        .map((bands) => bands.map(([times, price]) => ({ ...times, perKwh: price }))),
    }),
  })
  const steps = fc.array(
    fc.record({
      hours: fc.integer({ min: 0, max: 9 }),
      does: fc.constantFrom('wakes', 'reads', 'answers', 'announces'),
      socPct: fc.integer({ min: 0, max: 100 }),
    }),
    { maxLength: 8 },
  )

  // Other work may share the machine.
  test('each event is counted or not, and what is counted adds up', { timeout: 60_000 }, () => {
    let many = 0
    fc.assert(
      fc.property(asked, steps, fc.integer({ min: 0, max: 100 }), (more, doings, socPct) => {
        const battery = { ...settings.battery, maxChargeKw: 3 }
        const home = house({ battery, ...more }, socPct, at('11:00'))
        for (const { hours, does, socPct: shown } of doings) {
          home.now = asInstant(home.now + hours * HOUR_MS)
          home.do({ type: 'wake' })
          if (does === 'reads') home.do({ type: 'reading', at: home.now, socPct: shown })
          if (does === 'announces') {
            const start = asInstant(home.now + 3 * HOUR_MS)
            home.do({ type: 'announce', start, end: asInstant(start + HOUR_MS) })
          }
          if (does === 'answers')
            for (const { key, state } of home.household.reminders)
              if (state === 'sent') home.do({ type: 'acknowledge', key, by: 'test' })
          const household = known(home)
          const ids = household.plan?.eventIds ?? []
          for (const found of worthOfEvents(household, ids)) {
            if (found === null) continue
            many += 1
            const { withPlan, withoutPlan, gain, horizon } = found
            expect(gain).toBeCloseTo(withoutPlan.net - withPlan.net, 9)
            expect(Number.isFinite(gain)).toBe(true)
            expect(horizon.start).toBeGreaterThanOrEqual(home.now)
            expect(horizon.end).toBeGreaterThanOrEqual(withPlan.events.at(-1)?.end ?? Infinity)
            expect(worthText(found, formatOf(household))).toMatch(/\.$/)
          }
        }
      }),
      { seed: 20270114, numRuns: 100 },
    )
    expect(many).toBeGreaterThan(150)
  })
})

describe('in a sentence', () => {
  test.each<[string, Partial<Settings>]>([
    [
      'Over the day it costs the same and earns CA$0.59 more: that much better with the plan.',
      { unitRates: flat, rewardPerKwh: 2 },
    ],
    [
      'Over the day it costs CA$0.30 more and earns CA$0.59 more: CA$0.29 better with the plan.',
      { unitRates: peak, rewardPerKwh: 2 },
    ],
    [
      'Not worth it in money: over the day it costs CA$0.30 more and earns only CA$0.15 more, CA$0.15 worse with the plan.',
      { unitRates: peak, rewardPerKwh: 0.5 },
    ],
    [
      'Not worth it in money: over the day it costs CA$0.30 more and earns nothing more.',
      { unitRates: peak, rewardPerKwh: 0 },
    ],
    ['It comes to the same with the plan and without it.', { unitRates: flat, rewardPerKwh: 0 }],
    [
      'Over the day it costs CA$0.30 more, and it is not known what the scheme pays. Give that on the page /prices.',
      { unitRates: peak },
    ],
    [
      'It costs the same with the plan and without it, whatever the scheme pays.',
      { unitRates: flat },
    ],
    [
      'Over the day it saves CA$0.30 and earns CA$0.59 more: CA$0.89 better with the plan.',
      {
        unitRates: { ...peak, bands: peak.bands.map((band) => ({ ...band, perKwh: -0.3 })) },
        rewardPerKwh: 2,
      },
    ],
    // No sen, so whole yen: 30.08 and 59.2.
    [
      'Over the day it costs JP¥30 more and earns JP¥59 more: JP¥29 better with the plan.',
      {
        unitRates: {
          currency: 'JPY',
          perKwh: 10,
          bands: peak.bands.map((band) => ({ ...band, perKwh: 50 })),
        },
        rewardPerKwh: 200,
      },
    ],
  ])('%s', (text, more) => {
    expect(sentence(more)).toBe(text)
  })
})
