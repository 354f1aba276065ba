// What holds for every plan. Where a law is narrower than it sounds, the reason stands beside it.

import * as fc from 'fast-check'
import { describe, expect, it, vi } from 'vitest'
import type { PlanInput } from '../../src/plan/index.ts'
import { planHolds } from '../../src/plan/index.ts'
import { SECOND, floorKwh, ms, planned } from './given.ts'
import {
  batteries,
  chargeWindows,
  eventsInRow,
  instances,
  seeded,
  singleEvent,
  sun,
  tenths,
  withTaper,
} from './instances.ts'
import { simulate } from './simulate.ts'

// Other work may share the machine; alone each of these takes under five seconds.
vi.setConfig({ testTimeout: 60_000 })

/** Everything at once: several events, sun, a taper, charge windows. */
const anything = instances({
  events: fc.oneof(singleEvent, eventsInRow(4)),
  solar: sun,
  battery: batteries().chain(withTaper),
  topUpWindows: fc.oneof(fc.constant([]), chargeWindows),
})
const noTopUp = instances({ events: fc.oneof(singleEvent, eventsInRow(4)), solar: sun })

/** The first hold as an instant one can compare: the release where none is needed. */
const firstHold = (input: PlanInput): number => {
  const [first] = planned(input).events
  return first?.holdBy ?? first?.releaseAt ?? NaN
}

const notLater = (input: PlanInput, other: PlanInput) =>
  expect(firstHold(other)).toBeLessThanOrEqual(firstHold(input) + 1)

const always = (inputs: fc.Arbitrary<PlanInput>, law: (input: PlanInput) => void, runs = 300) =>
  fc.assert(fc.property(inputs, law), seeded(runs))

describe('every plan', () => {
  it('[H8] holds between now and the release, in the order of the events', () => {
    always(anything, (input) => {
      let since: number = input.now
      for (const { holdBy, releaseAt, topUp, end, start } of planned(input).events) {
        expect(releaseAt).toBeGreaterThanOrEqual(since)
        expect(releaseAt).toBeLessThanOrEqual(Math.max(start, since))
        expect(holdBy ?? since).toBeGreaterThanOrEqual(since)
        expect(holdBy ?? since).toBeLessThanOrEqual(releaseAt)
        expect(topUp?.from ?? releaseAt).toBeGreaterThanOrEqual(holdBy ?? releaseAt)
        expect(topUp?.until ?? since).toBeLessThanOrEqual(releaseAt)
        since = end
      }
    })
  })

  it('[H10] shows whole per cent, never less than the reserve at the hold', () => {
    always(anything, (input) => {
      const { trajectory, events } = planned(input)
      for (const { holdAtPct, holdBy, reservePct } of events) {
        expect(Number.isInteger(holdAtPct)).toBe(true)
        expect(holdAtPct).toBeLessThanOrEqual(100)
        const atHold = trajectory.find(({ at, mode }) => at === holdBy && mode !== 'run')
        expect(holdAtPct).toBeGreaterThanOrEqual((atHold?.reservePct ?? reservePct) - 1e-6)
      }
    })
  })

  it('without sun or top-up shows at least the reserve at the release', () => {
    always(instances(), (input) => {
      for (const { holdAtPct, reservePct } of planned(input).events)
        expect(holdAtPct).toBeGreaterThanOrEqual(reservePct - 1e-6)
    })
  })

  it('has a trajectory in time order from now, within 0 and 100 %', () => {
    always(anything, (input) => {
      const { trajectory } = planned(input)
      expect(trajectory[0]?.at).toBe(input.now)
      trajectory.forEach(({ at, socPct, reservePct }, i) => {
        expect(at).toBeGreaterThanOrEqual(trajectory[i - 1]?.at ?? input.now)
        expect(socPct).toBeGreaterThanOrEqual(0)
        expect(socPct).toBeLessThanOrEqual(100)
        expect(reservePct).toBeGreaterThanOrEqual(input.battery.outageReservePct - 1e-3)
      })
    })
  })

  it('is the same for the same input, and for events in any order', () => {
    always(anything, (input) => {
      const plan = planHolds(input)
      expect(planHolds(structuredClone(input))).toEqual(plan)
      expect(planHolds({ ...input, events: input.events.toReversed() })).toEqual(plan)
    })
  })

  it('is the same from a later reading of the same charge', () => {
    const later = fc.tuple(noTopUp, tenths(0, 1))
    fc.assert(
      fc.property(later, ([input, share]) => {
        const [first] = planned(input).events
        const hold = firstHold(input)
        fc.pre(first?.verdict === 'hold' || first?.verdict === 'no-hold')
        const now = ms(Math.floor(input.now + share * 0.9 * (hold - input.now)))
        const { battery } = input
        const { energyKwh } = simulate({
          input,
          from: input.now,
          until: now,
          startKwh: (input.reading.socPct / 100) * battery.capacityKwh,
          legs: [{ from: input.now, mode: 'run' }],
          stepMs: Infinity,
        })
        // On the floor, or on the reserve, rounding decides; there the two may differ.
        fc.pre(energyKwh > floorKwh(battery) + 1e-6)
        const reading = { at: now, socPct: (100 * energyKwh) / battery.capacityKwh }
        const again = firstHold({ ...input, now, reading })
        expect(Math.abs(again - hold)).toBeLessThan(SECOND)
      }),
      seeded(300),
    )
  })
})

// The laws below speak of the first hold only. After an event its margin is left over, and more of it (or more
// load before it, where the margin is hours of load) may put the second hold later.
describe('[H8] the first hold', () => {
  it('is never earlier with more charge: the forecast is nowhere lower, the reserve the same', () => {
    const pairs = fc.tuple(noTopUp, tenths(0, 100))
    fc.assert(
      fc.property(pairs, ([input, more]) => {
        const socPct = Math.min(100, input.reading.socPct + more)
        notLater({ ...input, reading: { ...input.reading, socPct } }, input)
      }),
      seeded(300),
    )
  })

  it('is never later with the whole load scaled up: forecast nowhere higher, reserve nowhere lower', () => {
    const pairs = fc.tuple(noTopUp, tenths(1, 3))
    fc.assert(
      fc.property(pairs, ([input, factor]) => {
        const load = input.load.map(({ start, kw }) => ({ start, kw: kw * factor }))
        notLater(input, { ...input, load })
      }),
      seeded(300),
    )
  })

  it('is never later with more margin', () => {
    const pairs = fc.tuple(noTopUp, tenths(0, 2), tenths(0, 2))
    fc.assert(
      fc.property(pairs, ([input, kwh, more]) => {
        notLater({ ...input, margin: { kwh } }, { ...input, margin: { kwh: kwh + more } })
      }),
      seeded(300),
    )
  })
})
