// Random households for the tests: fast-check arbitraries on a coarse grid, so that a failing case
// shrinks to numbers a person can follow.

import * as fc from 'fast-check'
import type { Battery, PlanInput, Span, Step } from '../../src/plan/index.ts'
import { HOUR, MINUTE, clock, ms } from './given.ts'

/** Fixed, so that a run repeats; the number means nothing. */
export const seeded = (numRuns: number) => ({ seed: 20_310_114, numRuns })

export const tenths = (from: number, to: number) =>
  fc.integer({ min: Math.round(from * 10), max: Math.round(to * 10) }).map((n) => n / 10)
export const hundredths = (from: number, to: number) =>
  fc.integer({ min: Math.round(from * 100), max: Math.round(to * 100) }).map((n) => n / 100)

export const batteries = (withLoss = true): fc.Arbitrary<Battery> =>
  fc.record({
    capacityKwh: tenths(3, 20),
    outageReservePct: fc.integer({ min: 5, max: 30 }),
    maxDischargeKw: fc.oneof(fc.constant(Infinity), tenths(1, 5)),
    maxChargeKw: tenths(1, 5),
    dischargeEfficiency: hundredths(0.8, 1),
    chargeEfficiency: hundredths(0.8, 1),
    standbyKw: withLoss ? hundredths(0, 0.1) : fc.constant(0),
    taper: fc.constant(null),
  })

export const withTaper = (battery: Battery): fc.Arbitrary<Battery> =>
  fc
    .record({ fromPct: fc.integer({ min: 70, max: 98 }), share: tenths(0.1, 1) })
    .map(({ fromPct, share }) => ({
      ...battery,
      taper: { fromPct, toKw: battery.maxChargeKw * share },
    }))

/** Half-hours from 13:00 on, equal neighbours as one. */
const halfHours = (kw: readonly number[]): Step[] =>
  kw
    .map((value, i) => ({ start: ms(clock('13:00') + i * 30 * MINUTE), kw: value }))
    .filter(({ kw: value }, i) => i === 0 || value !== kw[i - 1])

const powers = (most: number, halves: number) =>
  fc.array(tenths(0, most), { minLength: halves, maxLength: halves })

export const loads: fc.Arbitrary<Step[]> = powers(4, 34).map(halfHours)

/** Sun on some half-hours until 17:00, none after. */
export const sun: fc.Arbitrary<Step[]> = powers(5, 8).map((kw) =>
  halfHours([...kw.map((value) => (value > 2 ? value - 2 : 0)), 0]),
)

export const noSun = fc.constant([{ start: clock('13:00'), kw: 0 }])

/** One event that starts 30 minutes to 9 hours after 13:00. */
export const singleEvent: fc.Arbitrary<Span[]> = fc
  .tuple(fc.integer({ min: 6, max: 108 }), fc.integer({ min: 3, max: 36 }))
  .map(([start, length]) => {
    const from = clock('13:00') + start * 5 * MINUTE
    return [{ start: ms(from), end: ms(from + length * 5 * MINUTE) }]
  })

/** Events one after another from 13:30 on, with gaps of 5 minutes to 5 hours. */
export const eventsInRow = (most: number): fc.Arbitrary<Span[]> =>
  fc
    .array(fc.tuple(fc.integer({ min: 1, max: 60 }), fc.integer({ min: 3, max: 36 })), {
      minLength: 2,
      maxLength: most,
    })
    .map((parts) => {
      let at = clock('13:25') as number
      return parts.map(([gap, length]) => {
        const start = at + gap * 5 * MINUTE
        at = start + length * 5 * MINUTE
        return { start: ms(start), end: ms(at) }
      })
    })

/** Charge windows on the hours after 13:00, not overlapping. */
export const chargeWindows: fc.Arbitrary<Span[]> = fc
  .uniqueArray(fc.integer({ min: 0, max: 8 }), { minLength: 1, maxLength: 2 })
  .map((hours) =>
    hours
      .toSorted((a, b) => a - b)
      .map((hour) => ({
        start: ms(clock('13:00') + hour * HOUR),
        end: ms(clock('14:00') + hour * HOUR),
      })),
  )

export const margins = fc.oneof(
  hundredths(0, 1).map((kwh) => ({ kwh })),
  fc.integer({ min: 0, max: 10 }).map((pct) => ({ pct })),
)

type Parts = {
  readonly [Key in 'events' | 'load' | 'solar' | 'battery' | 'topUpWindows']?: fc.Arbitrary<
    PlanInput[Key]
  >
}

/** Plain instances at 13:00: one event, no sun, no top-up, unless the parts say otherwise. */
export const instances = (parts: Parts = {}): fc.Arbitrary<PlanInput> =>
  fc.record({
    now: fc.constant(clock('13:00')),
    battery: parts.battery ?? batteries(),
    reading: tenths(0, 100).map((socPct) => ({ at: clock('13:00'), socPct })),
    load: parts.load ?? loads,
    solar: parts.solar ?? noSun,
    events: parts.events ?? singleEvent,
    margin: margins,
    rule: fc.constant(null),
    releaseLeadMinutes: fc.constantFrom(0, 5, 17, 30),
    topUpWindows: parts.topUpWindows ?? fc.constant([]),
    outOfReach: fc.constant([]),
    heldSince: fc.constant(null),
  })
