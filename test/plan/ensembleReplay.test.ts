// The replay: days played as if each were today, by hand on four days and against the plan followed for real.

import * as fc from 'fast-check'
import { describe, expect, it, vi } from 'vitest'
import { type Grid, gridOf } from '../../src/plan/grid.ts'
import type { DaysInput } from '../../src/plan/index.ts'
import { holdAtRisk } from '../../src/plan/quantile.ts'
import { failuresOf, heldAt } from '../../src/plan/replay.ts'
import { clock, ms, span, steady } from './given.ts'
import { batteries, instances, loads, seeded, singleEvent, sun } from './instances.ts'
import { coversDay, firstOf, followedHold, givenDays, plannedDays } from './manyDays.ts'

// Other work may share the machine; alone each of these takes under five seconds.
vi.setConfig({ testTimeout: 60_000 })

/** Of so many days at a stage; what it covered does not matter here. */
const at = (stage: number, days = 4) => ({ stage, coveredOn: 0, days })

/**
 * 10 kWh at 60 %, 1 kWh kept, no losses, an event 17:00-18:00. With a steady load of L kW the reserve is 1 + L and
 * from E kWh it is met after (E - 1 - L) / L hours: from 13:00, 14:00 at 2.5 kW, 14:30 at 2, 15:07:30 at 1.6, 16:00 at 1.25.
 */
const fourDays = (spoilt: Parameters<typeof givenDays>[0] = {}) =>
  givenDays({
    battery: { capacityKwh: 10, dischargeEfficiency: 1 },
    reading: { at: clock('13:00'), socPct: 60 },
    events: [span('17:00-18:00')],
    releaseLeadMinutes: 0,
    days: [2.5, 2, 1.6, 1.25].map(steady),
    confidence: 0.5,
    ...spoilt,
  })

/** Each day's hold under a policy, the other three standing in for it. */
const heldOn = (input: DaysInput) =>
  input.days.map((today, i) =>
    followedHold({ ...input, days: input.days.filter((_, day) => day !== i) }, today),
  )

describe('four days by hand', () => {
  // At stage 0.8 the rank among three is 4 * 0.2 = 0.8: the earliest of the other three decides, and the largest reserve.
  it('without readings: the earliest of the other three, which covers the three lightest', () => {
    expect(heldOn(fourDays({ calibrated: at(0.8) }))).toEqual(
      ['14:30', '14:00', '14:00', '14:00'].map(clock),
    )
  })

  it('with one reading: what the day used moves the hold, or ends the wait', () => {
    const holds = heldOn(fourDays({ maxReadings: 1, calibrated: at(0.8) }))
    // 2.5 kW: at 14:30 there are 2.25 kWh, under the others' largest reserve of 3: hold there.
    expect(holds[0]).toBe(clock('14:30'))
    // 2 kW: at 14:00 there are 4 kWh, over 3.5. It used 2, the others 2.5, 1.6 and 1.25, on average 1.7833; with 0.15 for
    // rounding the heaviest is like today at (2 + 1.9333) / (2.5 + 1.9333) = 0.88722 of its load, its event at
    // 0.88722^0.2 = 0.97635. Its hold is after (4 - 1 - 2.5 * 0.97635) / (2.5 * 0.88722) = 0.25208 h; the lighter two's later.
    expect(((holds[1] ?? 0) - clock('14:00')) / 3_600_000).toBeCloseTo(0.25208, 4)
  })

  it('concludes nothing from a second reading minutes after the first', () => {
    const minutes = 60_000
    const asked = fourDays({ maxReadings: 1, calibrated: at(0.8) })
    const before = { at: ms(clock('13:00') - 5 * minutes), socPct: 60 }
    expect(firstOf({ ...asked, before })).toEqual(firstOf(asked))
  })

  it('weighs the ranks around the k-th: i^(r-1) e^-i', () => {
    // Three holds at rank 4 * 0.5 = 2: weights 1/e, 2/e², 3/e³.
    const weights = [1, 2, 3].map((i) => i * Math.exp(-i))
    const sum = weights.reduce((a, b) => a + b, 0)
    const holds = [10, 40, 100]
    const mean = holds.reduce((a, hold, i) => a + (hold * (weights[i] ?? 0)) / sum, 0)
    expect(holdAtRisk(Float64Array.from(holds), 0.5, 0)).toBeCloseTo(mean, 9)
    // What is past already counts as now; and where the second itself is past, so is the hold.
    expect(holdAtRisk(Float64Array.from(holds), 0.5, 20)).toBeCloseTo(
      mean + (10 * (weights[0] ?? 0)) / sum,
      9,
    )
    expect(holdAtRisk(Float64Array.from(holds), 0.5, 40)).toBe(40)
  })

  it('takes the strictest stage, and says on how many days it held, where none suffices', () => {
    // At 75 % one of four may be late with none to spare: floor(5 / 4) = 1, so none may; the 2.5 kW day always is.
    const plan = plannedDays(fourDays({ confidence: 0.75, maxReadings: 1 }))
    const [decides] = plan.events
    expect(decides?.confidence.stage).toBeCloseTo(1 - 0.25 * 2.5 * 0.95 ** 55, 9)
    expect(decides?.confidence).toMatchObject({ days: 4, coveredOn: 3 })
    expect(plan.unpromised).toEqual({ reason: 'replay_missed', days: 4, coveredOn: 3 })
  })

  it('looks earlier than it would hold, at half the risk', () => {
    // Of 39 days at 0.9 the rank is 4, the look's 2.
    const days = Array.from({ length: 39 }, (_, i) => steady(1 + i / 40))
    const { nextReadingAt, holdBy } = firstOf(
      fourDays({ days, maxReadings: 2, calibrated: at(0.9, 39) }),
    )
    expect(nextReadingAt).toBeLessThan(holdBy ?? 0)
    const holds = days.map((_, i) => clock('13:00') + ((4 - i / 40) / (1 + i / 40)) * 3_600_000)
    const sorted = Float64Array.from(holds).sort()
    // Each day's own hold is in whole milliseconds.
    expect(Math.abs((nextReadingAt ?? 0) - holdAtRisk(sorted, 0.05, 0))).toBeLessThan(2)
    expect(Math.abs((holdBy ?? 0) - holdAtRisk(sorted, 0.1, 0))).toBeLessThan(2)
  })

  it('asks for no reading once the discharge is paused', () => {
    const decides = firstOf(fourDays({ maxReadings: 2, heldSince: clock('13:00') }))
    expect(decides).toMatchObject({
      verdict: 'hold-now',
      nextReadingAt: null,
      holdBy: clock('13:00'),
    })
    expect(decides.confidence.coveredOn).toBe(4)
  })

  it('out of reach, looks and holds while somebody can', () => {
    const outOfReach = [span('13:50-14:40')]
    const input = fourDays({ maxReadings: 1, outOfReach, calibrated: at(0.8) })
    expect(firstOf(input).nextReadingAt).toBe(ms(clock('13:50') - 1))
    for (const hold of heldOn(input))
      expect(hold < clock('13:50') || hold >= clock('14:40')).toBe(true)
  })
})

describe('every replay', () => {
  const parts = { events: singleEvent, solar: sun, battery: batteries(false) }
  const many = fc.tuple(
    instances(parts),
    fc.array(loads, { minLength: 3, maxLength: 7 }),
    fc.integer({ min: 0, max: 3 }),
    fc.constantFrom(0.5, 0.6, 0.7, 0.85),
  )

  it('counts the days on which the plan, followed for real, covers the event in the simulation', () => {
    // Under the floor an event that asks for nothing is short to the planner and served in the simulation: no standing
    // loss, and a reading over the floor.
    let [compared, covered] = [0, 0]
    fc.assert(
      fc.property(many, ([{ load: _load, ...input }, days, readings, stage]) => {
        const reading = { at: input.now, socPct: 40 + 0.6 * input.reading.socPct }
        const asked = { ...input, reading, margin: { kwh: 0 } }
        const grid = gridOf(days.map((load) => ({ ...asked, load }))) as Grid
        const policy = { readings, risk: 1 - stage }
        const fails = days.filter((today, i) => {
          const hold = followedHold(
            {
              ...asked,
              days: days.filter((_, day) => day !== i),
              heavier: null,
              confidence: 0.5,
              maxReadings: readings,
              calibrated: at(stage),
              before: null,
              spareMargin: { kwh: 0 },
            },
            today,
          )
          // A reading's per cent and back moves a crossing by a rounding hair.
          expect(Math.abs(heldAt(grid, [], policy, i) - hold)).toBeLessThanOrEqual(1)
          return !coversDay({ ...givenDays(), ...asked }, today, hold)
        })
        compared += fails.length > 0 ? 1 : 0
        covered += fails.length < days.length ? 1 : 0
        expect(failuresOf(grid, [], policy, Infinity)).toBe(fails.length)
      }),
      seeded(150),
    )
    expect(compared).toBeGreaterThan(20)
    expect(covered).toBeGreaterThan(20)
  })
})
