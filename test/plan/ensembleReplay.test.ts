// The replay: days played as if each were today, by hand on four days and against the plan followed for real.

import * as fc from 'fast-check'
import { describe, expect, it, vi } from 'vitest'
import { dayCase } from '../../src/plan/dayCase.ts'
import type { DaysInput, Margin } from '../../src/plan/index.ts'
import { heldAt } from '../../src/plan/replay.ts'
import { clock, given, ms, plannedEvent, span, steady } from './given.ts'
import { batteries, instances, loads, seeded, singleEvent, sun } from './instances.ts'
import { coversDay, firstOf, followedHold, givenDays, plannedDays } from './manyDays.ts'

// Other work may share the machine; alone each of these takes under five seconds.
vi.setConfig({ testTimeout: 60_000 })

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
    stage: 0.5,
    ...spoilt,
  })

/** Each day's hold under a policy, the other three being its comparable days. */
const heldOn = (input: DaysInput) =>
  input.days.map((today, i) =>
    followedHold({ ...input, days: input.days.filter((_, day) => day !== i) }, today),
  )

describe('four days by hand', () => {
  it('at 50 % without readings: the second earliest of the other three, which covers the two lightest', () => {
    // Others' second: 15:07:30 for the two heaviest (too late), 14:30 for the two lightest (early enough).
    const input = fourDays()
    expect(heldOn(input)).toEqual(['15:07:30', '15:07:30', '14:30', '14:30'].map(clock))
    const decides = firstOf(input)
    expect(decides.holdBy).toBe(clock('14:30'))
    expect(decides.holdAtPct).toBe(30)
    expect(decides.confidence).toEqual({ days: 4, coveredOn: 2, stage: 0.5 })
  })

  it('at 50 % with one reading: what is read moves the hold, or ends the wait', () => {
    // 2.5 and 2 kW: at 15:07:30 they show 7 and 18 %, under the others' second reserve of 26 or more: hold there.
    // 1.6 kW: at 14:30 there are 3.6 kWh, over 3; the others then take 2.4, 18 and 65 minutes: 14:48.
    // 1.25 kW: at 14:30 there are 4.125 kWh; the others then take 15, 33.75 and 57.1875 minutes: 15:03:45.
    const input = fourDays({ maxReadings: 1 })
    expect(heldOn(input)).toEqual(['15:07:30', '15:07:30', '14:48', '15:03:45'].map(clock))
    const decides = firstOf(input)
    expect(decides.nextReadingAt).toBe(clock('14:30'))
    expect(decides.confidence.coveredOn).toBe(2)
  })

  it('is calibrated to the least stage with failures + 1 <= 5 / 2: 51 %, at which one day is late', () => {
    // At 50 % two are late. From 51 % the earliest of the other three counts: only the 2.5 kW day is late then.
    const decides = firstOf(fourDays({ maxReadings: 1, stage: null }))
    expect(decides.confidence).toEqual({ days: 4, coveredOn: 3, stage: 0.51 })
    // Of all four days the stage takes the floor(5 * 0.49) = second earliest.
    expect(decides.holdBy).toBe(clock('14:30'))
  })

  it('without readings keeps the confidence asked for: nothing is spent twice', () => {
    expect(firstOf(fourDays({ stage: null })).confidence.stage).toBe(0.5)
  })

  it('takes the strictest stage, and says on how many days it held, where none suffices', () => {
    // At 75 % one of four may be late with none to spare: floor(5 / 4) = 1, so none may; the 2.5 kW day always is.
    const plan = plannedDays(fourDays({ confidence: 0.75, maxReadings: 1, stage: null }))
    const [decides] = plan.events
    expect(decides?.confidence.stage).toBe(0.99)
    // Earliest of the others with 5 % margin: 2 kW, (6 - 1.5 - 2) / 2 h = 14:15; the 2.5 kW day is late still.
    expect(decides?.confidence.coveredOn).toBe(3)
    expect(plan.unpromised).toEqual({ reason: 'replay_missed', days: 4, coveredOn: 3 })
    expect(decides?.holdBy).toBe(
      plannedEvent({ ...given(), ...fourDays(), load: steady(2.5), margin: { pct: 5 } }).holdBy,
    )
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
    const outOfReach = [span('14:10-14:40')]
    const input = fourDays({ maxReadings: 1, outOfReach })
    expect(firstOf(input).nextReadingAt).toBe(ms(clock('14:10') - 1))
    for (const hold of heldOn(input))
      expect(hold < clock('14:10') || hold >= clock('14:40')).toBe(true)
  })
})

describe('every replay', () => {
  it('counts the days on which the plan, followed for real, covers the event in the simulation', () => {
    // Under the floor an event that asks for nothing is short to the planner and served in the simulation: no standing
    // loss, and a reading over the floor.
    const parts = { events: singleEvent, solar: sun, battery: batteries(false) }
    const many = fc.tuple(
      instances(parts),
      fc.array(loads, { minLength: 3, maxLength: 7 }),
      fc.integer({ min: 0, max: 3 }),
      fc.constantFrom(0.5, 0.6, 0.7, 0.85),
    )
    let compared = 0
    fc.assert(
      fc.property(many, ([{ load: _load, ...input }, days, maxReadings, stage]) => {
        const asked = { ...input, days, maxReadings, stage, confidence: stage, margin: { kwh: 0 } }
        const reading = { at: input.now, socPct: 40 + 0.6 * input.reading.socPct }
        const full = { ...asked, reading, spareMargin: { pct: 5 } }
        const casesOf = (margin: Margin) =>
          days.flatMap((load) => dayCase({ ...input, reading, load, margin }) ?? [])
        const cases = {
          ...input,
          asked: casesOf(full.margin),
          spare: casesOf(full.spareMargin),
        }
        const covered = days.filter((today, i) => {
          const others = days.filter((_, day) => day !== i)
          const hold = followedHold({ ...full, days: others }, today)
          const replayed = heldAt(cases, { readings: maxReadings, stage }, i)
          // A reading's per cent and back moves a crossing by a rounding hair.
          expect(Math.abs(replayed - hold)).toBeLessThanOrEqual(1)
          return coversDay(full, today, hold)
        })
        compared += covered.length > 0 && covered.length < days.length ? 1 : 0
        expect(firstOf(full).confidence.coveredOn).toBe(covered.length)
      }),
      seeded(150),
    )
    expect(compared).toBeGreaterThan(20)
  })
})
