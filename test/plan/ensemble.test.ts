// Plans from past days: which day decides, and that the promise is kept on days never seen.

import * as fc from 'fast-check'
import { describe, expect, it, vi } from 'vitest'
import type { DaysInput, Step } from '../../src/plan/index.ts'
import {
  comparableDays,
  daysNeeded,
  isWeekend,
  overlayDays,
  planOverDays,
  rankFor,
} from '../../src/plan/index.ts'
import { clock, given, ms, planned, plannedEvent, span, steady } from './given.ts'
import {
  batteries,
  chargeWindows,
  eventsInRow,
  instances,
  loads,
  seeded,
  singleEvent,
  sun,
  tenths,
  withTaper,
} from './instances.ts'
import {
  coversDay,
  firstOf,
  followedHold,
  givenDays,
  halfHoursOf,
  plannedDays,
} from './manyDays.ts'

// Other work may share the machine; alone each of these takes under five seconds.
vi.setConfig({ testTimeout: 60_000 })

describe('the day that decides', () => {
  // Split conformal prediction takes the ceil((n + 1)(1 - a))-th smallest of n scores, none if that is over n; the
  // ranks for a = .5, .2, .1, .05 were computed apart in exact arithmetic. Counted from the other end they are ours.
  it.each([
    [4, [3, 4, null, null]],
    [5, [3, 5, null, null]],
    [8, [5, 8, null, null]],
    [9, [5, 8, 9, null]],
    [10, [6, 9, 10, null]],
    [14, [8, 12, 14, null]],
    [19, [10, 16, 18, 19]],
    [20, [11, 17, 19, 20]],
    [28, [15, 24, 27, 28]],
    [30, [16, 25, 28, 30]],
    [39, [20, 32, 36, 38]],
    [45, [23, 37, 42, 44]],
    [50, [26, 41, 46, 49]],
    [59, [30, 48, 54, 57]],
    [60, [31, 49, 55, 58]],
    [99, [50, 80, 90, 95]],
    [100, [51, 81, 91, 96]],
  ])('of %i days has the conformal rank', (days, ranks) => {
    const ours = [0.5, 0.8, 0.9, 0.95].map((confidence) => rankFor(days, confidence))
    expect(ours).toEqual(ranks.map((rank) => (rank === null ? 0 : days + 1 - rank)))
  })

  it('loses no day to rounding: (n + 1) * (1 - 0.9) is whole for 9, 19 and 99 days', () => {
    expect(Math.floor((9 + 1) * (1 - 0.9))).toBe(0) // the trap
    expect([9, 19, 99].map((days) => rankFor(days, 0.9))).toEqual([1, 2, 10])
  })

  it('has the rank of whole-number arithmetic for every count and per cent', () => {
    for (let days = 1; days <= 800; days++)
      for (let pct = 50; pct <= 99; pct++) {
        const exact = (BigInt(days + 1) * BigInt(100 - pct)) / 100n
        expect(rankFor(days, pct / 100)).toBe(Number(exact))
      }
  })

  it('needs 1, 4, 9, 19, 99 days for 50, 80, 90, 95, 99 %', () => {
    expect([0.5, 0.8, 0.9, 0.95, 0.99].map(daysNeeded)).toEqual([1, 4, 9, 19, 99])
  })

  it('is the third earliest of 30 at 90 %: half-day loads of 0.4 to 1.85 kW', () => {
    const days = Array.from({ length: 30 }, (_, i) => steady(0.4 + 0.05 * i))
    const input = givenDays({ days })
    const holds = days.map((load) => planned(given({ load, margin: { kwh: 0 } })).events[0]?.holdBy)
    const decides = firstOf(input)
    expect(decides.holdBy).toBe(holds[27])
    // Need of 65 minutes at 1.75 kW, the third largest.
    expect(decides.needKwh).toBeCloseTo((1.75 * 65) / 60 / 0.95, 9)
    expect(decides.reserveKwh).toBeCloseTo(0.96 + (1.75 * 65) / 60 / 0.95, 9)
    expect(decides.holdAtPct).toBe(31)
    // Left out in turn, the three heaviest days are late: early enough on 27 of 30.
    expect(decides.confidence).toEqual({ days: 30, coveredOn: 27, stage: 0.9 })
    expect(decides.nextReadingAt).toBeNull()
  })

  it('with 8 days is too few for 90 %: the earliest, and the margin', () => {
    const days = Array.from({ length: 8 }, (_, i) => steady(0.4 + 0.1 * i))
    const plan = plannedDays(givenDays({ days, spareMargin: { pct: 5 } }))
    const heaviest = plannedEvent(given({ load: steady(1.1), margin: { pct: 5 } }))
    expect(plan.events[0]?.holdBy).toBe(heaviest.holdBy)
    expect(plan.events[0]?.reserveKwh).toBeCloseTo(heaviest.reserveKwh, 12)
    expect(plan.unpromised).toEqual({ reason: 'too_few_days', days: 8, needed: 9 })
    const nine = plannedDays(givenDays({ days: [...days, steady(0.4)] }))
    expect(nine.unpromised).toBeNull()
    expect(nine.events[0]?.holdBy).toBe(
      plannedEvent(given({ load: steady(1.1), margin: { kwh: 0 } })).holdBy,
    )
  })

  it('falls short when more days than may be missed fall short', () => {
    const light = Array.from({ length: 8 }, () => steady(0.4))
    const reading = { at: clock('13:00'), socPct: 20 }
    const days = [...light, steady(2), steady(3)]
    const decides = firstOf(givenDays({ days, reading, confidence: 0.9 }))
    // Ten days at 90 %: the worst decides. 0.96 kWh over the floor; 3 kW for 65 minutes take 3.4211.
    expect(decides.verdict).toBe('short')
    expect(decides.short?.kwh).toBeCloseTo((3 * 65) / 60 / 0.95 - 0.96, 9)
    expect(firstOf(givenDays({ days, reading, confidence: 0.7 })).verdict).not.toBe('short')
  })

  it('is refused without days', () => {
    const refused = planOverDays(givenDays({ days: [] }))
    expect(refused).toEqual({ ok: false, refusal: { reason: 'no_comparable_day' } })
  })
})

describe('every plan from days', () => {
  const anything = instances({
    events: fc.oneof(singleEvent, eventsInRow(3)),
    solar: sun,
    battery: batteries().chain(withTaper),
    topUpWindows: fc.oneof(fc.constant([]), chargeWindows),
  })
  const fromDays = (least: number, most: number): fc.Arbitrary<DaysInput> =>
    fc
      .tuple(
        anything,
        fc.array(loads, { minLength: least, maxLength: most }),
        fc.constantFrom(0.5, 0.7, 0.9),
        fc.integer({ min: 0, max: 2 }),
      )
      .map(([{ load: _load, ...input }, days, confidence, maxReadings]) => ({
        ...input,
        days,
        confidence,
        maxReadings,
        heavier: null,
        calibrated: null,
        before: null,
        spareMargin: { pct: 5 },
      }))

  it('holds between now and the release, and looks when it would hold', () => {
    fc.assert(
      fc.property(fromDays(1, 8), (input) => {
        let since: number = input.now
        const plan = plannedDays(input)
        for (const event of plan.events) {
          const { holdBy, releaseAt, topUp, nextReadingAt, confidence, end } = event
          expect(holdBy ?? since).toBeGreaterThanOrEqual(since)
          expect(holdBy ?? since).toBeLessThanOrEqual(releaseAt)
          expect(topUp?.from ?? releaseAt).toBeGreaterThanOrEqual(holdBy ?? releaseAt)
          if (nextReadingAt !== null) {
            expect(nextReadingAt).toBeGreaterThan(input.now)
            expect(nextReadingAt).toBeLessThanOrEqual(holdBy ?? releaseAt)
          }
          expect(confidence.days).toBe(input.days.length)
          expect(confidence.coveredOn).toBeGreaterThanOrEqual(0)
          expect(confidence.coveredOn).toBeLessThanOrEqual(confidence.days)
          since = end
        }
        expect(plan.events.filter((event) => event.nextReadingAt !== null).length).toBeLessThan(2)
        plan.trajectory.forEach(({ at }, i) =>
          expect(at).toBeGreaterThanOrEqual(plan.trajectory[i - 1]?.at ?? input.now),
        )
      }),
      seeded(150),
    )
  })

  it('of one day, at 50 %, is the plan for that day', () => {
    fc.assert(
      fc.property(anything, ({ load, ...input }) => {
        const alone = {
          days: [load],
          heavier: null,
          confidence: 0.5,
          maxReadings: 0,
          calibrated: null,
          before: null,
        }
        const ours = plannedDays({ ...input, ...alone, spareMargin: input.margin })
        const theirs = planned({ ...input, load })
        for (const [i, event] of theirs.events.entries()) {
          const {
            nextReadingAt: _n,
            confidence: _c,
            marginLeftKwh,
            ...rest
          } = ours.events[i] ?? {
            marginLeftKwh: NaN,
          }
          const { marginLeftKwh: left, ...same } = event
          expect(rest).toEqual(same)
          // Walked again from whole milliseconds.
          if (i === 0) expect(Math.abs(marginLeftKwh - left)).toBeLessThan(1e-5)
        }
        expect(ours.cautions).toEqual(theirs.cautions)
      }),
      seeded(200),
    )
  })

  it('is the same for the days in any order', () => {
    fc.assert(
      fc.property(fromDays(3, 6), (input) => {
        const turned = { ...input, days: input.days.toReversed() }
        const { trajectory: _t, events, ...rest } = plannedDays(input)
        const { trajectory: _u, events: others, ...same } = plannedDays(turned)
        expect(rest.unpromised).toEqual(same.unpromised)
        for (const [i, { holdBy, reserveKwh, verdict }] of events.entries())
          expect(others[i]).toMatchObject({ holdBy, reserveKwh, verdict })
      }),
      seeded(60),
    )
  })

  it('without readings holds no later, and keeps no less, at more confidence', () => {
    const pairs = fc.tuple(fromDays(20, 24), tenths(0.5, 0.9), tenths(0, 0.4))
    fc.assert(
      fc.property(pairs, ([input, confidence, more]) => {
        const plain = { ...input, topUpWindows: [], maxReadings: 0 }
        const sure = Math.min(0.95, confidence + more)
        const a = firstOf({ ...plain, confidence })
        const b = firstOf({ ...plain, confidence: sure })
        // Where it falls short the hold is a best effort, and no order is promised.
        if (b.verdict !== 'short')
          expect(b.holdBy ?? b.releaseAt).toBeLessThanOrEqual(a.holdBy ?? a.releaseAt)
        expect(b.reserveKwh).toBeGreaterThanOrEqual(a.reserveKwh)
      }),
      seeded(60),
    )
  })
})

// Days drawn alike and apart, so exchangeable; the promise needs no more. Each run plans from n days and is followed
// on one more in the simulation of simulate.ts. Errors are three of the binomial's standard deviations.
describe('on days never seen', () => {
  /** A linear congruential generator (Numerical Recipes' constants), so that a run repeats. */
  const chance = (seed: number) => {
    let state = seed
    return () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32
  }
  const someDay = (draw: () => number): Step[] => {
    const size = 0.4 + 1.2 * draw()
    return halfHoursOf(
      Array.from({ length: 12 }, () => size * (0.3 + draw() + (draw() > 0.9 ? 2 : 0))),
    )
  }
  const share = (runs: number, days: number, spoilt: Parameters<typeof givenDays>[0]) => {
    const draw = chance(20_310_114)
    let covered = 0
    for (let run = 0; run < runs; run++) {
      const input = givenDays({
        ...spoilt,
        days: Array.from({ length: days }, () => someDay(draw)),
      })
      const today = someDay(draw)
      if (coversDay(input, today, followedHold(input, today))) covered++
    }
    return covered / runs
  }
  const error = (confidence: number, runs: number) =>
    3 * Math.sqrt((confidence * (1 - confidence)) / runs)
  const reading = { at: clock('13:00'), socPct: 45 }
  const battery = { capacityKwh: 12 }

  it.each([
    [19, 0.9, 0.9],
    [19, 0.8, 0.8],
    [24, 0.9, 23 / 25],
    [9, 0.9, 0.9],
  ])('of %i days and %f covers the share 1 - k/(n+1), no less and no more', (days, q, exact) => {
    const runs = 300
    const got = share(runs, days, { confidence: q, reading, battery })
    expect(Math.abs(got - exact)).toBeLessThan(error(exact, runs))
  })

  it('with two readings covers no less than was asked', () => {
    const runs = 120
    const got = share(runs, 30, { confidence: 0.9, maxReadings: 2, reading, battery })
    expect(got).toBeGreaterThan(0.9 - error(0.9, runs))
  })
})

describe('comparable days', () => {
  const dayOf = (date: string) => Date.parse(`${date}T00:00:00Z`) / 86_400_000
  const kwh = (value: number) => Array.from({ length: 48 }, () => value)

  it('know a weekend as the platform does', () => {
    for (let day = -1000; day < 30_000; day += 1)
      expect(isWeekend(day)).toBe([0, 6].includes(new Date(day * 86_400_000).getUTCDay()))
  })

  it('are of the same kind, the last 40 of 120 days, never today', () => {
    const tuesday = dayOf('2031-01-14')
    const past = Array.from({ length: 200 }, (_, i) => ({ day: tuesday - 150 + i, kwh: kwh(0) }))
    const found = comparableDays(past, tuesday).map(({ day }) => day)
    expect(found).toHaveLength(40)
    expect(found[0]).toBe(tuesday - 1)
    expect(found[1]).toBe(tuesday - 4) // the Friday before
    expect(found.at(-1)).toBe(tuesday - 56) // eight weeks of five
    // 17 weekends lie in 120 days before a Saturday, and the Sunday after the first of them.
    expect(comparableDays(past.slice(0, 154), tuesday + 4)).toHaveLength(34)
  })

  it('lie over the half-hours ahead by local day and clock', () => {
    const today = dayOf('2031-01-17') // a Friday; the event is on the Saturday
    const past = [1, 2, 3, 4, 5, 6, 7, 8].map((ago) => ({ day: today - ago, kwh: kwh(ago) }))
    const ahead = [0, 1].flatMap((add) =>
      [0, 47].map((half) => ({
        start: ms((today + add) * 86_400_000 + half * 1_800_000),
        day: today + add,
        half,
      })),
    )
    const kws = overlayDays(past, ahead, today + 1).map((load) => load.map(({ kw }) => kw))
    // Two weekend days, 5 and 6 days before the Friday; before them the two most recent weekdays.
    expect(kws).toEqual([
      [2, 2, 10, 10],
      [4, 4, 12, 12],
    ])
  })

  it('serve several events from the same days', () => {
    const days = Array.from({ length: 9 }, (_, i) => steady(0.4 + 0.1 * i))
    const events = [span('17:30-18:30'), span('20:00-21:00')]
    const plan = plannedDays(givenDays({ days, events }))
    expect(plan.events.map((event) => event.confidence.days)).toEqual([9, 9])
    // The heaviest day decides: both events' needs at the first release, one at the second.
    const heaviest = planned(given({ load: steady(1.2), events, margin: { kwh: 0 } }))
    expect(plan.events.map((event) => event.reserveKwh)).toEqual(
      heaviest.events.map((event) => event.reserveKwh),
    )
  })
})
