// The cheapest hold: by hand, against a general mixed-integer solver (HiGHS, University of Edinburgh, through the
// `highs` package) on milp.ts's programme, and against published greedy optima. Costs are reckoned by simulate.ts.

import * as fc from 'fast-check'
import loadHighs from 'highs'
import { beforeAll, describe, expect, it, vi } from 'vitest'
import type { EventPlan, PlanInput, UnitRate } from '../../src/plan/index.ts'
import { planCheapest, planHolds } from '../../src/plan/index.ts'
import { HOUR, MINUTE, clock, given, ms, span, steady } from './given.ts'
import { batteries, chargeWindows, instances, seeded, singleEvent, tenths } from './instances.ts'
import { halfHoursOf } from './manyDays.ts'
import { type Question, edgesOf, programmeOf, rateAt } from './milp.ts'
import { type Leg, simulate } from './simulate.ts'

// Other work may share the machine; alone each of these takes under five seconds.
vi.setConfig({ testTimeout: 60_000 })

let highs: Awaited<ReturnType<typeof loadHighs>>
beforeAll(async () => {
  highs = await loadHighs()
})

const rates = (text: string): UnitRate[] =>
  text.split(' ').map((each) => {
    const [start = '', perKwh] = each.split('=')
    return { start: clock(start), perKwh: Number(perKwh) }
  })

const cheapest = (input: PlanInput, unitRates: readonly UnitRate[]) => {
  const result = planCheapest(input, unitRates)
  if (!result.ok) throw new TypeError(`Plan must not be refused: ${JSON.stringify(result.refusal)}`)
  const [event] = result.value.events
  if (event === undefined) throw new TypeError('Plan must have an event')
  return { plan: result.value, event }
}

const holding = (input: PlanInput, { holdBy, releaseAt }: EventPlan): Leg[] => [
  { from: input.now, mode: 'run' },
  ...(holdBy === null
    ? []
    : ([
        { from: holdBy, mode: 'hold' },
        { from: releaseAt, mode: 'run' },
      ] as const)),
]

/** What a plan's battery saves up to the horizon, with the worth of what is left: stretch by stretch in the simulation. */
const savedBy = (question: Question, event: EventPlan): number => {
  const { input } = question
  const legs = holding(input, event)
  let startKwh = (input.reading.socPct / 100) * input.battery.capacityKwh
  let saved = 0
  const edges = edgesOf(question)
  edges.slice(1).forEach((until, i) => {
    const from = ms(edges[i] ?? until)
    const walked = simulate({ input, from, until: ms(until), startKwh, legs, stepMs: Infinity })
    saved += walked.usedKwh * rateAt(question.rates, from)
    startKwh = walked.energyKwh
  })
  return saved + question.worth * startKwh
}

/** The question a plan answers, in the test's own words: section 6 of the model, one event, no sun, no charge window. */
const asked = (input: PlanInput, unitRates: readonly UnitRate[]): Question => {
  const [event] = input.events
  const planned = planHolds(input)
  const base = planned.ok ? planned.value.events[0] : undefined
  if (event === undefined || base === undefined) throw new TypeError('Input must have an event')
  const day = input.now + 24 * HOUR
  const ahead = [rateAt(unitRates, input.now)].concat(
    unitRates.filter(({ start }) => start > input.now && start < day).map((rate) => rate.perKwh),
  )
  const { chargeEfficiency, dischargeEfficiency } = input.battery
  return {
    input,
    rates: unitRates,
    releaseAt: base.releaseAt,
    until: Math.max(event.end, day),
    reserveKwh: base.reserveKwh,
    worth: Math.min(
      Math.min(...ahead) / chargeEfficiency,
      Math.max(...ahead) * dischargeEfficiency,
    ),
  }
}

describe('by hand', () => {
  it('on a flat rate any hold costs the same: the latest', () => {
    const { event, plan } = cheapest(given(), rates('00:00=0.31'))
    expect(Math.floor((event.holdBy ?? 0) / 1000)).toBe(clock('16:28:36') / 1000)
    expect(event.releaseAt).toBe(clock('17:25'))
    expect(plan.notCheapest).toBeNull()
  })

  it('keeps the charge in cheap hours and spends it in dear ones before the event', () => {
    // Dear from 16:00 to 17:25: hold from 13:00 on, at most until 16:00. 2.9277 kWh may be used before the release, the
    // dear 85 minutes take 0.8 * 85/60 / 0.95 = 1.193. The rest, 2.0596 h at 0.8421 kW, is used in cheap hours: all
    // before the hold (the latest), which begins at 15:03:34 and ends at 16:00.
    const { event } = cheapest(given(), rates('00:00=0.1 16:00=0.5 17:25=0.1'))
    const usableKwh = 5.28 - 0.96 - 0.48 - (0.8 * 65) / 60 / 0.95
    const before = (usableKwh / (0.8 / 0.95) - 85 / 60) * HOUR
    expect(event.holdBy).toBe(Math.floor(clock('13:00') + before))
    expect(event.releaseAt).toBe(clock('16:00'))
    expect(event.verdict).toBe('hold')
    expect(event.marginLeftKwh).toBeCloseTo(0.48, 6)
  })

  it('holds now, though it need not, for a dear evening', () => {
    // 9.6 kWh last the afternoon and the event; at 1 from 18:30 on against 0.1 before, every kWh is kept for then.
    const reading = { at: clock('13:00'), socPct: 100 }
    const { event } = cheapest(given({ reading }), rates('00:00=0.1 18:30=1'))
    expect(event).toMatchObject({ holdBy: clock('13:00'), releaseAt: clock('17:25') })
    expect(event.verdict).toBe('hold-now')
    // Nothing is kept where the evening is cheap as well.
    const flat = cheapest(given({ reading }), rates('00:00=0.1 23:00=0.1'))
    expect(flat.event).toMatchObject({
      verdict: 'no-hold',
      holdBy: null,
      releaseAt: clock('17:25'),
    })
  })

  // A trade pays if it sells for over 1 / (charge * discharge efficiency) of what it buys for: 1.108033 at 95 % each.
  it.each([
    [0.1107, clock('17:25')],
    [0.1109, null],
  ])('keeps for later what is replaced at 0.1 rather than used at %f', (perKwh, heldUntil) => {
    // A small load leaves energy at the horizon; the dear evening's rate does not bound its worth.
    const reading = { at: clock('13:00'), socPct: 100 }
    const unitRates = rates(`00:00=${perKwh} 17:25=0.1 18:30=0.3`)
    const { event } = cheapest(given({ reading, load: steady(0.1) }), unitRates)
    expect(event.holdBy === null ? null : event.releaseAt).toBe(heldUntil)
  })

  // Loads, limit and values of a discharge-only schedule: the fractional knapsack's greedy optimum, the linear
  // programme's as well (both computed apart). One hold is enough to reach it.
  it.each([
    [2.45, 5.586],
    [3.8, 5.964],
  ])('of %f kWh saves the greedy optimum %f', (stockKwh, optimum) => {
    const kwh = [0.4, 0.5, 0.6, 0.9, 1.3, 1.2, 0.8, 0.7, 0.5]
    const hour = (i: number) => ms(clock('13:00') + i * HOUR)
    const input = given({
      battery: {
        capacityKwh: 4,
        outageReservePct: 0,
        maxDischargeKw: 1.25,
        dischargeEfficiency: 1,
        chargeEfficiency: 1,
      },
      reading: { at: clock('13:00'), socPct: (100 * stockKwh) / 4 },
      load: [...kwh.map((kw, i) => ({ start: hour(i), kw })), { start: hour(9), kw: 0 }],
      events: [{ start: hour(4), end: hour(6) }],
      margin: { kwh: 0 },
      releaseLeadMinutes: 0,
    })
    const unitRates = [0.28, 2.28, 0.28, 0.1].map((perKwh, i) => ({
      start: hour([0, 4, 6, 8][i] ?? 0),
      perKwh,
    }))
    const { event } = cheapest(input, unitRates)
    expect(savedBy(asked(input, unitRates), event)).toBeCloseTo(optimum, 6)
  })

  it('looks only where hands can reach', () => {
    const outOfReach = [span('15:00-16:30')]
    const { event } = cheapest(given({ outOfReach }), rates('00:00=0.1 16:00=0.5 17:25=0.1'))
    const ends = [event.holdBy ?? 0, event.releaseAt]
    for (const at of ends) expect(at < clock('15:00') || at >= clock('16:30')).toBe(true)
  })

  it('leaves the hold the latest where it is not looked for, and says why', () => {
    const unitRates = rates('00:00=0.1 16:00=0.5')
    const why = (input: PlanInput) => cheapest(input, unitRates).plan.notCheapest
    const charging = given({ battery: { maxChargeKw: 3 }, topUpWindows: [span('14:00-15:00')] })
    expect(why(charging)).toBe('top_up')
    const tomorrow = [{ start: clock('41:30'), end: clock('42:30') }]
    expect(why(given({ events: tomorrow, reading: { at: clock('13:00'), socPct: 100 } }))).toBe(
      'more_than_a_day',
    )
    const sun = [
      { start: clock('17:00'), kw: 2 },
      { start: clock('17:20'), kw: 0 },
    ]
    expect(why(given({ solar: sun }))).toBe('surplus')
    const steps = Array.from({ length: 400 }, (_, i) => ({
      start: ms(clock('13:00') + i * MINUTE),
      kw: 0.8,
    }))
    expect(why(given({ load: steps }))).toBe('too_many_steps')
  })
})

describe('as good as a general solver', () => {
  const halfHourly = (most: number) =>
    fc.array(tenths(0, most), { minLength: 48, maxLength: 48 }).map(halfHoursOf)
  /** Steps of a few hours, some negative. */
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
  const questions = (withLoss: boolean) =>
    fc.tuple(
      instances({ battery: batteries(withLoss), load: halfHourly(3), events: singleEvent }).map(
        (input) => ({
          ...input,
          reading: { at: input.now, socPct: 40 + 0.6 * input.reading.socPct },
        }),
      ),
      tariffs,
    )
  const choosable = ({ verdict }: EventPlan) => verdict === 'hold' || verdict === 'no-hold'

  it('without standing loss: the mixed-integer optimum, to a millisecond of draw', () => {
    let compared = 0
    fc.assert(
      fc.property(questions(false), ([input, unitRates]) => {
        const base = planHolds(input)
        if (!base.ok || !base.value.events.every(choosable)) return
        const question = asked(input, unitRates)
        const solved = highs.solve(programmeOf(question), {
          output_flag: false,
          mip_rel_gap: 0,
          mip_abs_gap: 1e-9,
        })
        expect(solved.Status).toBe('Optimal')
        compared += 1
        const ours = savedBy(question, cheapest(input, unitRates).event)
        expect(Math.abs(ours - solved.ObjectiveValue)).toBeLessThan(2e-5)
      }),
      seeded(40),
    )
    expect(compared).toBeGreaterThan(15)
  })

  it('with standing loss: no hold on a five-minute grid that keeps the reserve saves more', () => {
    fc.assert(
      fc.property(
        questions(true),
        fc.infiniteStream(fc.double({ min: 0, max: 1, noNaN: true })),
        ([input, unitRates], shares) => {
          const base = planHolds(input)
          const event = base.ok ? base.value.events[0] : undefined
          if (event === undefined || !choosable(event)) return
          const question = asked(input, unitRates)
          const ours = savedBy(question, cheapest(input, unitRates).event)
          const span5 = Math.floor((event.releaseAt - input.now) / (5 * MINUTE))
          const at = (share: number) => ms(input.now + Math.round(share * span5) * 5 * MINUTE)
          for (let i = 0; i < 40; i++) {
            const ends = [at(shares.next().value), at(shares.next().value)].sort((a, b) => a - b)
            const [holdBy = input.now, releaseAt = input.now] = ends
            const other = { ...event, holdBy, releaseAt }
            const { energyKwh } = simulate({
              input,
              from: input.now,
              until: event.releaseAt,
              startKwh: (input.reading.socPct / 100) * input.battery.capacityKwh,
              legs: holding(input, other),
              stepMs: Infinity,
            })
            if (energyKwh >= question.reserveKwh)
              expect(savedBy(question, other)).toBeLessThanOrEqual(ours + 2e-5)
          }
        },
      ),
      seeded(60),
    )
  })

  it('keeps the reserve at the release, and holds between now and then', () => {
    const anything = fc.tuple(
      instances({
        load: halfHourly(3),
        topUpWindows: fc.oneof(fc.constant([]), chargeWindows),
      }),
      tariffs,
    )
    fc.assert(
      fc.property(anything, ([input, unitRates]) => {
        const { event } = cheapest(input, unitRates)
        const base = planHolds(input)
        const latest = base.ok ? base.value.events[0] : undefined
        expect(event.holdBy ?? input.now).toBeGreaterThanOrEqual(input.now)
        expect(event.releaseAt).toBeLessThanOrEqual(latest?.releaseAt ?? 0)
        expect(event.holdBy ?? event.releaseAt).toBeLessThanOrEqual(event.releaseAt)
        expect(event.verdict === 'short').toBe(latest?.verdict === 'short')
        if (latest === undefined || !choosable(latest) || event.topUp !== null) return
        const { energyKwh } = simulate({
          input,
          from: input.now,
          until: latest.releaseAt,
          startKwh: (input.reading.socPct / 100) * input.battery.capacityKwh,
          legs: holding(input, event),
          stepMs: Infinity,
        })
        expect(energyKwh).toBeGreaterThanOrEqual(latest.reserveKwh - 1e-6)
      }),
      seeded(150),
    )
  })
})
