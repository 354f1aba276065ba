// The cheapest hold: by hand, against a general mixed-integer solver (HiGHS, University of Edinburgh, through the
// `highs` package) on milp.ts's programme, and against published greedy optima. Costs are reckoned by simulate.ts.

import * as fc from 'fast-check'
import loadHighs from 'highs'
import { beforeAll, describe, expect, it, vi } from 'vitest'
import type { PlanInput, UnitRate } from '../../src/plan/index.ts'
import { planHolds } from '../../src/plan/index.ts'
import { asked, cheapest, choosable, modesOf, rates, savedBy } from './asked.ts'
import { HOUR, MINUTE, clock, given, ms, span, steady } from './given.ts'
import { batteries, chargeWindows, instances, seeded, singleEvent, tenths } from './instances.ts'
import { halfHoursOf } from './manyDays.ts'
import { programmeOf } from './milp.ts'
import { simulate } from './simulate.ts'

// Other work may share the machine; alone each of these takes under five seconds.
vi.setConfig({ testTimeout: 60_000 })

let highs: Awaited<ReturnType<typeof loadHighs>>
beforeAll(async () => {
  highs = await loadHighs()
})

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

  // A trade pays if it sells for over 1 / (charge * discharge efficiency) of what it buys for: 1.108033 at 95 % each, 1.234568
  // at 90 %, 1.112892 at 94.7924 %.
  it.each([
    [0.95, 0.95, 0.1107, clock('17:25')],
    [0.95, 0.95, 0.1109, null],
    [0.9, 0.9, 0.1234, clock('17:25')],
    [0.9, 0.9, 0.1235, null],
    [0.947924, 0.947924, 0.1112, clock('17:25')],
    [0.947924, 0.947924, 0.1114, null],
  ])(
    'at efficiencies of %f and %f keeps for later what is replaced at 0.1 rather than used at %f',
    (chargeEfficiency, dischargeEfficiency, perKwh, heldUntil) => {
      // A small load leaves energy at the horizon; the dear evening's rate does not bound its worth.
      const reading = { at: clock('13:00'), socPct: 100 }
      const unitRates = rates(`00:00=${perKwh} 17:25=0.1 18:30=0.3`)
      const battery = { chargeEfficiency, dischargeEfficiency }
      const { event } = cheapest(given({ battery, reading, load: steady(0.1) }), unitRates)
      expect(event.holdBy === null ? null : event.releaseAt).toBe(heldUntil)
    },
  )

  // Loads, limit and values of a discharge-only schedule: the fractional knapsack's greedy optimum, the linear
  // programme's as well (both computed apart). One hold is enough to reach it; 1.5 kWh are too little for the event.
  it.each([
    [1.5, 3.42],
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
    const { holds } = cheapest(input, unitRates)
    expect(savedBy(asked(input, unitRates), holds)).toBeCloseTo(optimum, 6)
  })

  it('fills a knapsack of 50 from 10, 20 and 30 that are worth 60, 100 and 120: 240 in parts', () => {
    // The textbook's fractional knapsack (from memory): 220 if nothing may be divided. An hour for each, the best last.
    const hour = (i: number) => ms(clock('13:00') + i * HOUR)
    const input = given({
      battery: {
        capacityKwh: 100,
        outageReservePct: 0,
        maxDischargeKw: Infinity,
        dischargeEfficiency: 1,
        chargeEfficiency: 1,
      },
      reading: { at: clock('13:00'), socPct: 50 },
      load: [30, 20, 10, 0].map((kw, i) => ({ start: hour(i), kw })),
      events: [{ start: hour(2), end: hour(3) }],
      margin: { kwh: 0 },
      releaseLeadMinutes: 0,
    })
    const unitRates = [4, 5, 6].map((perKwh, i) => ({ start: hour(i), perKwh }))
    const { holds } = cheapest(input, unitRates)
    expect(holds).toEqual([{ start: clock('13:40'), end: hour(1) }])
    expect(savedBy(asked(input, unitRates), holds)).toBeCloseTo(240, 6)
  })

  it('[H19] keeps two dear hours with two holds, where one would waste the dear hour between the cheap ones', () => {
    // 4.8 kWh last 6 h at 0.8 kW, and the event ends 8 h from now: 2 h are to be bought before it. Both cheap hours with two
    // holds; with one, a cheap hour and a dear one beside it.
    const plain = {
      capacityKwh: 4.8,
      outageReservePct: 0,
      dischargeEfficiency: 1,
      chargeEfficiency: 1,
    }
    const input = given({
      battery: plain,
      reading: { at: clock('13:00'), socPct: 100 },
      events: [span('20:00-21:00')],
      margin: { kwh: 0 },
      releaseLeadMinutes: 0,
    })
    const unitRates = rates('13:00=0.5 14:00=0.1 15:00=0.5 16:00=0.1 17:00=0.5 21:00=0.05')
    const question = asked(input, unitRates)
    const one = cheapest(input, unitRates, 2)
    const two = cheapest(input, unitRates, 4)
    expect(one.holds).toEqual([span('16:00-18:00')])
    expect(two.holds).toEqual([span('14:00-15:00'), span('16:00-17:00')])
    expect(two.event).toMatchObject({ holdBy: clock('14:00'), releaseAt: clock('17:00') })
    expect(savedBy(question, two.holds) - savedBy(question, one.holds)).toBeCloseTo(0.8 * 0.4, 9)
    expect(cheapest(input, unitRates, 3).holds).toEqual(one.holds)
    expect(cheapest(input, unitRates, 6).holds).toEqual(two.holds)
    expect(two.plan.trajectory.map(({ mode }) => mode).join(' ')).toMatch(
      /^(run )+(hold )+(run )+(hold )+(run ?)+$/,
    )
  })

  it('[H19] no more holds than are of use: the latest one on a flat rate', () => {
    const { holds } = cheapest(given(), rates('00:00=0.31'), 1_000_000)
    expect(holds).toHaveLength(1)
    expect(holds[0]?.end).toBe(clock('17:25'))
  })

  it('[H18] where no hold within reach keeps the reserve, holds as soon as somebody can', () => {
    // The latest safe hold is 16:28:36; nobody is there until 16:40.
    const input = given({ outOfReach: [span('12:00-16:40')] })
    const { event, plan } = cheapest(input, rates('00:00=0.1 16:00=0.5 17:25=0.1'))
    expect(event).toMatchObject({
      verdict: 'hold',
      holdBy: clock('16:40'),
      releaseAt: clock('17:25'),
    })
    expect(plan.holds).toEqual([span('16:40-17:25')])
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
    // A hundred and more rates before the event: one hold is looked for, several are not.
    const everyTwoMinutes = Array.from({ length: 140 }, (_, i) => ({
      start: ms(clock('13:00') + 2 * i * MINUTE),
      perKwh: 0.1 + (i % 7) / 100,
    }))
    expect(cheapest(given(), everyTwoMinutes, 2).plan.notCheapest).toBeNull()
    const several = cheapest(given(), everyTwoMinutes, 4)
    expect(several.plan.notCheapest).toBe('too_many_steps')
    expect(several.holds).toEqual([{ start: several.event.holdBy, end: clock('17:25') }])
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

  it('without standing loss: the mixed-integer optimum, to a millisecond of draw', () => {
    let compared = 0
    fc.assert(
      fc.property(questions(false), ([input, unitRates]) => {
        if (!choosable(input)) return
        const question = asked(input, unitRates)
        const solved = highs.solve(programmeOf(question), {
          output_flag: false,
          mip_rel_gap: 0,
          mip_abs_gap: 1e-9,
        })
        expect(solved.Status).toBe('Optimal')
        compared += 1
        const ours = savedBy(question, cheapest(input, unitRates).holds)
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
          if (event === undefined || !choosable(input)) return
          const question = asked(input, unitRates)
          const ours = savedBy(question, cheapest(input, unitRates).holds)
          const span5 = Math.floor((event.releaseAt - input.now) / (5 * MINUTE))
          const at = (share: number) => ms(input.now + Math.round(share * span5) * 5 * MINUTE)
          for (let i = 0; i < 40; i++) {
            const ends = [at(shares.next().value), at(shares.next().value)].sort((a, b) => a - b)
            const [holdBy = input.now, releaseAt = input.now] = ends
            const other = [{ start: holdBy, end: releaseAt }]
            const { energyKwh } = simulate({
              input,
              from: input.now,
              until: event.releaseAt,
              startKwh: (input.reading.socPct / 100) * input.battery.capacityKwh,
              legs: modesOf(input, other),
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
        const { event, holds } = cheapest(input, unitRates)
        const base = planHolds(input)
        const latest = base.ok ? base.value.events[0] : undefined
        expect(event.holdBy ?? input.now).toBeGreaterThanOrEqual(input.now)
        expect(event.releaseAt).toBeLessThanOrEqual(latest?.releaseAt ?? 0)
        expect(event.holdBy ?? event.releaseAt).toBeLessThanOrEqual(event.releaseAt)
        expect(event.verdict === 'short').toBe(latest?.verdict === 'short')
        if (latest === undefined || !choosable(input) || event.topUp !== null) return
        const { energyKwh } = simulate({
          input,
          from: input.now,
          until: latest.releaseAt,
          startKwh: (input.reading.socPct / 100) * input.battery.capacityKwh,
          legs: modesOf(input, holds),
          stepMs: Infinity,
        })
        expect(energyKwh).toBeGreaterThanOrEqual(latest.reserveKwh - 1e-6)
      }),
      seeded(150),
    )
  })
})
