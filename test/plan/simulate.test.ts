// The planner against a one-second simulation that shares nothing with it (see simulate.ts).
// Tolerances: one second at the power limit for instants; for energies what the simulation's steps leave.

import * as fc from 'fast-check'
import { describe, expect, it, vi } from 'vitest'
import type { Instant, PlanInput } from '../../src/plan/index.ts'
import { follow, leastKwh } from './follow.ts'
import { HOUR, clock, floorKwh, given, plannedEvent } from './given.ts'
import { batteries, instances, seeded, sun, withTaper } from './instances.ts'
import { simulate } from './simulate.ts'

// Other work may share the machine; alone each of these takes under five seconds.
vi.setConfig({ testTimeout: 60_000 })

/** Rounding only: between breakpoints the simulation's straight lines are exact. */
const EXACT_KWH = 1e-6
/** Small steps inside a taper: 1 s of at most 5 kW, the limit falling by the share of a step. */
const STEPPED_KWH = 2e-3

const reserveOf = (input: PlanInput) => {
  const { capacityKwh } = input.battery
  const event = plannedEvent(input)
  const { margin } = input
  const marginKwh =
    'kwh' in margin ? margin.kwh : 'pct' in margin ? (margin.pct / 100) * capacityKwh : NaN
  const least = leastKwh(input, event.releaseAt, event.end)
  return {
    event,
    floor: floorKwh(input.battery),
    least,
    reserve: Math.min(capacityKwh, least + marginKwh),
  }
}

describe('the simulation itself, by hand', () => {
  const input = given()
  const run = [{ from: clock('13:00'), mode: 'run' as const }]

  it('loses 0.8 kW / 0.95 for an hour', () => {
    const walked = simulate({
      input,
      from: clock('13:00'),
      until: clock('14:00'),
      startKwh: 5.28,
      legs: run,
    })
    expect(walked.energyKwh).toBeCloseTo(5.28 - 0.8 / 0.95, 9)
    expect(walked.usedKwh).toBeCloseTo(0.8, 9)
  })
  it('stops at the floor, and says when', () => {
    const walked = simulate({
      input,
      from: clock('13:00'),
      until: clock('14:00'),
      startKwh: 0.96 + 0.4 / 0.95,
      legs: run,
    })
    expect(walked.energyKwh).toBeCloseTo(0.96, 9)
    expect(walked.emptyAt! - clock('13:30')).toBeCloseTo(0, 3)
    expect(walked.unservedKwh).toBeCloseTo(0.4, 9)
  })
})

describe('[H1] [H3] [H9] one event', () => {
  const cases: [string, fc.Arbitrary<PlanInput>, number][] = [
    ['no sun', instances(), EXACT_KWH],
    ['sun', instances({ solar: sun }), EXACT_KWH],
    [
      'sun and a taper',
      instances({ solar: sun, battery: batteries().chain(withTaper) }),
      STEPPED_KWH,
    ],
  ]

  it.each(cases)(
    '%s: the reserve is what the cover takes, and the margin',
    (_name, inputs, tolerance) => {
      fc.assert(
        fc.property(inputs, (input) => {
          const { event, floor, least, reserve } = reserveOf(input)
          expect(Math.abs(event.reserveKwh - reserve)).toBeLessThan(tolerance)
          fc.pre(least < Infinity)
          expect(Math.abs(event.needKwh - (least - floor))).toBeLessThan(tolerance)
        }),
        seeded(100),
      )
    },
  )

  it.each(cases)('%s: the verdict is what the simulation finds', (_name, inputs, tolerance) => {
    fc.assert(
      fc.property(inputs, (input) => {
        const { event, floor, least, reserve } = reserveOf(input)
        const heldFrom = (holdBy: Instant | null) =>
          follow(input, { events: [{ ...event, holdBy }] })[0]!
        const running = heldFrom(null)
        const holding = heldFrom(input.now)
        // Left out: ties, and a reserve that even a full battery loses by standing still.
        const lossKwh = (input.battery.standbyKw * (event.releaseAt - input.now)) / HOUR
        fc.pre(reserve + lossKwh <= input.battery.capacityKwh)
        fc.pre(
          [running, holding].every(
            ({ atReleaseKwh }) => Math.abs(atReleaseKwh - reserve) > 2 * tolerance,
          ),
        )
        fc.pre(Math.abs(holding.atReleaseKwh - least) > 2 * tolerance)
        // The reserve line never goes under the floor, so neither may the battery before the release.
        const underKwh = [running, holding].map(({ lowestBeforeKwh }) => floor - lowestBeforeKwh)
        fc.pre(underKwh.every((under) => under < 1e-9 || under > 2 * tolerance))
        const safe = [running, holding].map(
          ({ atReleaseKwh }, i) => atReleaseKwh > reserve && underKwh[i]! < 1e-9,
        )
        expect(event.verdict).toBe(
          safe[0]
            ? 'no-hold'
            : safe[1]
              ? 'hold'
              : holding.atReleaseKwh > least
                ? 'hold-now'
                : 'short',
        )
      }),
      seeded(100),
    )
  })

  it.each(cases)(
    '%s: followed to the letter, it is covered down to the floor',
    (_name, inputs, tolerance) => {
      fc.assert(
        fc.property(inputs, (input) => {
          const { event, floor, reserve } = reserveOf(input)
          const [came] = follow(input, { events: [event] })
          const leftKwh = Math.max(0, came!.atEndKwh - floor)
          expect(Math.abs(event.marginLeftKwh - leftKwh)).toBeLessThan(tolerance)
          if (event.verdict === 'short') return
          expect(came!.unservedKwh).toBeLessThan(tolerance)
          if (event.verdict === 'hold-now') return
          const lossKwh = (input.battery.standbyKw * (event.releaseAt - input.now)) / HOUR
          fc.pre(reserve + lossKwh <= input.battery.capacityKwh)
          expect(came!.atReleaseKwh).toBeGreaterThan(reserve - tolerance)
        }),
        seeded(100),
      )
    },
  )
})
