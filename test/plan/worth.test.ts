// Was it worth it: by hand on the model's worked example, and on random households against the simulation of simulate.ts,
// which shares nothing with the planner: what flows is reckoned there from the energy that it says is stored.

import * as fc from 'fast-check'
import { describe, expect, it, vi } from 'vitest'
import type { PlanInput, Reward, UnitRate, Worth } from '../../src/plan/index.ts'
import { planHolds, worthOf } from '../../src/plan/index.ts'
import { asked, cheapest, modesOf as modesOfHolds, rates } from './asked.ts'
import { modesOf } from './follow.ts'
import { HOUR, MINUTE, SECOND, clock, given, ms, planned, span } from './given.ts'
import {
  batteries,
  chargeWindows,
  eventsInRow,
  instances,
  seeded,
  singleEvent,
  sun,
  withTaper,
} from './instances.ts'
import { loadAt, rateAt } from './milp.ts'
import { type Leg, simulate } from './simulate.ts'

vi.setConfig({ testTimeout: 60_000 })

const worth = (
  input: PlanInput,
  unitRates: readonly UnitRate[],
  reward: Reward | null = null,
  plan: Parameters<typeof worthOf>[0]['plan'] = planned(input),
): Worth => {
  const result = worthOf({ input, plan, rates: unitRates, reward })
  if (!result.ok) throw new TypeError(`Must not be refused: ${JSON.stringify(result.refusal)}`)
  return result.value
}

describe('[H20] by hand', () => {
  // Left running, 5.28 kWh come to the floor of 0.96 after 4.32 / (0.8 / 0.95) = 5.13 h, at 18:07:48: 22.2 minutes of the
  // event are imported, 0.296 kWh. Held from 16:28:36 to 17:25, none are; 0.94 h of the afternoon are instead: 0.752 kWh.
  const flat = rates('00:00=0.3')

  it('a reward: both sides, and what the plan gains', () => {
    const reward = { perKwh: 2, baselineKwh: [0.8] }
    const { withPlan, withoutPlan, difference, gain, horizon } = worth(given(), flat, reward)
    expect(horizon).toEqual({ start: clock('13:00'), end: clock('37:00') })
    expect(withoutPlan.events).toEqual([
      {
        ...span('17:30-18:30'),
        importKwh: expect.closeTo(0.296, 9),
        reward: expect.closeTo(1.008, 9),
      },
    ])
    expect(withPlan.events).toEqual([
      { ...span('17:30-18:30'), importKwh: 0, reward: expect.closeTo(1.6, 9) },
    ])
    // 24 h of 0.8 kW less 4.104 kWh, sooner or later.
    expect(withoutPlan.importKwh).toBeCloseTo(19.2 - 4.104, 9)
    expect(withPlan.importKwh).toBeCloseTo(19.2 - 4.104, 9)
    expect(withPlan.cost).toBeCloseTo(0.3 * 15.096, 9)
    expect(difference.reward).toBeCloseTo(0.592, 9)
    expect(gain).toBeCloseTo(0.592, 9)
  })

  it('half-hours: all of one before the hold, none of it imported; 1.4 minutes of the next', () => {
    const { withPlan } = worth(given(), flat)
    const at = (text: string) =>
      withPlan.importByHalfHour.find(({ start }) => start === clock(text))
    expect(withPlan.importByHalfHour).toHaveLength(48)
    expect(at('15:30')?.kwh).toBe(0)
    expect(at('16:00')?.kwh).toBeCloseTo((0.8 * 1.4) / 60, 6)
    expect(at('16:30')?.kwh).toBeCloseTo(0.4, 9)
    expect(at('17:00')?.kwh).toBeCloseTo((0.8 * 25) / 60, 9)
  })

  it('not worth it: the hold falls into dear hours, and nothing is paid for it', () => {
    const dear = rates('00:00=0.1 16:00=0.5 17:25=0.1')
    const { gain, withPlan, withoutPlan } = worth(given(), dear)
    expect(gain).toBeCloseTo(-0.752 * (0.5 - 0.1), 6)
    expect(withPlan.cost).toBeGreaterThan(withoutPlan.cost)
    // The cheapest hold keeps in cheap hours what it spends in dear ones: 56 minutes and 24 seconds of them.
    const { plan } = cheapest(given(), dear)
    expect(worth(given(), dear, null, plan).gain).toBeCloseTo(0, 6)
  })

  it('no more than nothing for an event in which more was used than usual, nor where there is no baseline', () => {
    const paid = (baselineKwh: readonly (number | null)[]) =>
      worth(given(), flat, { perKwh: 2, baselineKwh }).withoutPlan.reward
    expect(paid([0.2])).toBe(0)
    expect(paid([null])).toBe(0)
    expect(paid([])).toBe(0)
  })

  it('what is left is worth what the cheapest hold takes it for', () => {
    // A full battery of 0.1 kW a day long: held from 13:00 to 17:25 it keeps 0.1 * 4.4167 / 0.95 = 0.4649 kWh more.
    const input = given({
      reading: { at: clock('13:00'), socPct: 100 },
      load: [{ start: clock('00:00'), kw: 0.1 }],
    })
    const unitRates = rates('00:00=0.1107 17:25=0.1 18:30=0.3')
    const { plan } = cheapest(input, unitRates)
    const { difference, gain } = worth(input, unitRates, null, plan)
    const keptKwh = (0.1 * (4 + 25 / 60)) / 0.95
    expect(difference.leftKwh).toBeCloseTo(keptKwh, 9)
    expect(difference.leftWorth).toBeCloseTo((keptKwh * 0.1) / 0.95, 9)
    expect(gain).toBeCloseTo(keptKwh * (0.1 / 0.95 - 0.1107 * 0.95), 9)
  })

  it('refuses what cannot be planned', () => {
    const input = given({ reading: { at: clock('13:01'), socPct: 50 } })
    const plan = planned(given())
    expect(worthOf({ input, plan, rates: flat, reward: null })).toMatchObject({ ok: false })
  })
})

/** What flows by the simulation, in steps short enough that a taper or the sun hides nothing. */
const reckoned = (
  input: PlanInput,
  unitRates: readonly UnitRate[],
  { start, end }: Worth['horizon'],
  legs: readonly Leg[],
) => {
  const { battery, load, solar } = input
  const spans = legs.map(({ from }) => from as number)
  const given = [...load, ...solar, ...unitRates].map((step) => step.start as number)
  const halves = Array.from({ length: 60 }, (_, i) => clock('13:00') + i * 30 * MINUTE)
  const edges = [
    ...new Set([
      ...spans,
      ...given,
      ...halves,
      start,
      end,
      ...input.events.flatMap((each) => [each.start, each.end]),
    ]),
  ]
    .filter((at) => at >= start && at <= end)
    .sort((a, b) => a - b)
  let [importKwh, cost, deliveredKwh, drawnKwh, storedKwh] = [
    0,
    0,
    0,
    0,
    (input.reading.socPct / 100) * battery.capacityKwh,
  ]
  const inEvents = input.events.map(() => 0)
  const halfHours = new Map<number, number>()
  edges.slice(1).forEach((until, i) => {
    const from = edges[i] ?? until
    const filling = legs.findLast((leg) => leg.from <= from)?.mode === 'fill'
    const netKw = loadAt(load, from) - sunAt(input, from)
    const step = filling ? 10 * SECOND : until - from
    for (let at = from; at < until; at += step) {
      const stop = Math.min(until, at + step)
      const walk = { input, from: ms(at), until: ms(stop), startKwh: storedKwh, legs }
      const { energyKwh, usedKwh } = simulate({
        ...walk,
        stepMs: filling || netKw < 0 ? SECOND : Infinity,
      })
      const hours = (stop - at) / HOUR
      const chargedKwh =
        (energyKwh - storedKwh + battery.standbyKw * hours) / battery.chargeEfficiency
      const imported = filling
        ? Math.max(0, netKw * hours + chargedKwh)
        : Math.max(0, netKw) * hours - usedKwh
      importKwh += imported
      drawnKwh += Math.max(0, netKw) * hours
      deliveredKwh += usedKwh
      cost += imported * rateAt(unitRates, at)
      input.events.forEach((event, each) => {
        if (at >= event.start && at < event.end) inEvents[each] = (inEvents[each] ?? 0) + imported
      })
      const half = Math.floor(at / (30 * MINUTE)) * 30 * MINUTE
      halfHours.set(half, (halfHours.get(half) ?? 0) + imported)
      storedKwh = energyKwh
    }
  })
  return { importKwh, cost, deliveredKwh, drawnKwh, storedKwh, inEvents, halfHours }
}

const sunAt = ({ solar }: PlanInput, at: number) =>
  solar.findLast(({ start }) => start <= at)?.kw ?? 0

describe('[H20] as the simulation has it', () => {
  const tariffs = fc
    .array(fc.tuple(fc.integer({ min: 1, max: 10 }), fc.integer({ min: -5, max: 50 })), {
      minLength: 1,
      maxLength: 8,
    })
    .map((parts) => {
      let at = clock('12:30') as number
      return parts.map(([halves, pence]): UnitRate => {
        at += halves * 30 * MINUTE
        return { start: ms(at), perKwh: pence / 100 }
      })
    })

  const agrees = (bill: Worth['withPlan'], other: ReturnType<typeof reckoned>, closeTo: number) => {
    expect(Math.abs(bill.importKwh - other.importKwh)).toBeLessThan(closeTo)
    expect(Math.abs(bill.cost - other.cost)).toBeLessThan(closeTo)
    expect(Math.abs(bill.deliveredKwh - other.deliveredKwh)).toBeLessThan(closeTo)
    expect(Math.abs(bill.leftKwh - other.storedKwh)).toBeLessThan(closeTo)
    bill.events.forEach(({ importKwh }, i) =>
      expect(Math.abs(importKwh - (other.inEvents[i] ?? NaN))).toBeLessThan(closeTo),
    )
    for (const { start, kwh } of bill.importByHalfHour) {
      const half = Math.floor(start / (30 * MINUTE)) * 30 * MINUTE
      expect(Math.abs(kwh - (other.halfHours.get(half) ?? NaN))).toBeLessThan(closeTo)
    }
    const sum = bill.importByHalfHour.reduce((kwh, each) => kwh + each.kwh, 0)
    expect(sum).toBeCloseTo(bill.importKwh, 9)
  }

  it.each([
    ['one event', instances(), 200, 1e-9],
    ['several events', instances({ events: eventsInRow(3) }), 200, 1e-9],
    ['sun', instances({ solar: sun }), 40, 1e-2],
    ['top-ups', instances({ topUpWindows: chargeWindows }), 40, 1e-2],
    [
      'top-ups with a taper, and sun',
      instances({ topUpWindows: chargeWindows, solar: sun, battery: batteries().chain(withTaper) }),
      40,
      1e-2,
    ],
  ])('%s', (_name, inputs, runs, closeTo) => {
    fc.assert(
      fc.property(inputs, tariffs, (input, unitRates) => {
        const sorted = { ...input, events: input.events.toSorted((a, b) => a.start - b.start) }
        const plan = planned(sorted)
        const { withPlan, withoutPlan, horizon } = worth(sorted, unitRates)
        agrees(
          withPlan,
          reckoned(sorted, unitRates, horizon, modesOf(sorted.now, plan.events)),
          closeTo,
        )
        const running: Leg[] = [{ from: sorted.now, mode: 'run' }]
        const without = reckoned(sorted, unitRates, horizon, running)
        agrees(withoutPlan, without, closeTo)
        for (const { importKwh, deliveredKwh } of [withPlan, withoutPlan]) {
          if (plan.events.some(({ topUp }) => topUp !== null)) break
          expect(importKwh + deliveredKwh).toBeCloseTo(without.drawnKwh, 9)
        }
      }),
      seeded(runs),
    )
  })

  it.each([0, 1.5, 2, 3.5, 6])('filling in the taper under a sun of %f kW', (kw) => {
    const input = given({
      battery: { maxChargeKw: 3, standbyKw: 0.05, taper: { fromPct: 80, toKw: 0.3 } },
      reading: { at: clock('13:00'), socPct: 75 },
      solar: [
        { start: clock('13:00'), kw },
        { start: clock('15:00'), kw: 0 },
      ],
    })
    const [event] = planned(input).events
    if (event === undefined) throw new TypeError('Plan must have an event')
    const topUp = { from: clock('13:10'), until: clock('14:20'), kwh: NaN }
    const events = [{ ...event, holdBy: clock('13:05'), topUp }]
    const { withPlan, horizon } = worth(input, rates('00:00=0.3 14:00=0.1'), null, { events })
    const legs = modesOf(input.now, events)
    agrees(withPlan, reckoned(input, rates('00:00=0.3 14:00=0.1'), horizon, legs), 2e-3)
  })

  it('the cheapest holds, of which the gain is what they save more than none', () => {
    fc.assert(
      fc.property(
        instances({ events: singleEvent }),
        tariffs,
        fc.constantFrom(2, 4, 6),
        (input, unitRates, maxActions) => {
          const { plan, holds } = cheapest(input, unitRates, maxActions)
          const { withPlan, withoutPlan, horizon, gain } = worth(input, unitRates, null, plan)
          agrees(withPlan, reckoned(input, unitRates, horizon, modesOfHolds(input, holds)), 1e-9)
          const each = asked(input, unitRates).worth
          const net = (bill: Worth['withPlan']) => bill.cost - each * bill.leftKwh
          expect(gain).toBeCloseTo(net(withoutPlan) - net(withPlan), 9)
          // Where none is needed, none is also a choice.
          const base = planHolds(input)
          if (base.ok && base.value.events[0]?.verdict === 'no-hold')
            expect(gain).toBeGreaterThan(-1e-6)
        },
      ),
      seeded(200),
    )
  })

  it('nothing to tell apart where nothing is held', () => {
    fc.assert(
      fc.property(instances(), tariffs, (input, unitRates) => {
        const plan = planned(input)
        if (plan.events.some(({ holdBy }) => holdBy !== null)) return
        const { withPlan, withoutPlan, gain } = worth(
          input,
          unitRates,
          { perKwh: 1, baselineKwh: [2] },
          plan,
        )
        expect(withPlan).toEqual(withoutPlan)
        expect(gain).toBe(0)
      }),
      seeded(200),
    )
  })
})
