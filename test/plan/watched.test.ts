// Plans from past days with everything at once: seasons, a reading before, readings left, a kept risk, sun, charges, hands
// that are gone, a battery that is held, an event that has begun. Laws only; figures are in the other files.

import * as fc from 'fast-check'
import { describe, expect, it, vi } from 'vitest'
import { type DaysInput, asInstant } from '../../src/plan/index.ts'
import { HOUR } from './given.ts'
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
import { plannedDays } from './manyDays.ts'

// Other work may share the machine; alone this takes under five seconds.
vi.setConfig({ testTimeout: 60_000 })

const hours = (from: number, to: number) => tenths(from, to).map((each) => each * HOUR)

const anything: fc.Arbitrary<DaysInput> = fc
  .record({
    input: instances({
      events: fc.oneof(singleEvent, eventsInRow(3)),
      solar: sun,
      battery: batteries().chain(withTaper),
      topUpWindows: fc.oneof(fc.constant([]), chargeWindows),
    }),
    days: fc.array(fc.tuple(loads, tenths(0.3, 3)), { minLength: 1, maxLength: 8 }),
    confidence: fc.constantFrom(0.5, 0.7, 0.9, 0.99),
    maxReadings: fc.integer({ min: 0, max: 4 }),
    before: fc.option(fc.record({ ago: hours(0.1, 6), socPct: fc.integer({ min: 0, max: 100 }) })),
    stage: fc.option(tenths(0.5, 0.9)),
    away: fc.array(fc.tuple(hours(-2, 9), hours(0.1, 6)), { maxLength: 3 }),
    held: fc.boolean(),
    begun: fc.boolean(),
  })
  .map(({ input: { load: _load, ...input }, days, before, stage, away, held, begun, ...rest }) => {
    const first = input.events[0] ?? { start: input.now, end: input.now }
    const now = begun ? asInstant((first.start + first.end) / 2) : input.now
    return {
      ...input,
      ...rest,
      now,
      days: days.map(([load]) => load),
      heavier: days.map(([, factor]) => factor),
      before: before && { at: asInstant(input.now - before.ago), socPct: before.socPct },
      calibrated: stage === null ? null : { stage, coveredOn: 0, days: days.length },
      outOfReach: away.map(([from, length]) => ({
        start: asInstant(input.now + from),
        end: asInstant(input.now + from + length),
      })),
      heldSince: held ? input.now : null,
      spareMargin: { pct: 5 },
    }
  })

describe('every watched plan', () => {
  it('is made of figures, holds in its gap, and looks while somebody can and before it is held', () => {
    let looked = 0
    fc.assert(
      fc.property(anything, (input) => {
        const plan = plannedDays(input)
        let since: number = input.now
        for (const event of plan.events) {
          const { needKwh, reserveKwh, reservePct, holdAtPct, marginLeftKwh } = event
          const figures = [needKwh, reserveKwh, reservePct, holdAtPct, marginLeftKwh]
          expect(figures.every(Number.isFinite)).toBe(true)
          const { holdBy, nextReadingAt: look, releaseAt, end } = event
          if (holdBy !== null) {
            expect(Number.isInteger(holdBy)).toBe(true)
            expect(holdBy).toBeGreaterThanOrEqual(since)
            expect(holdBy).toBeLessThanOrEqual(Math.max(since, releaseAt))
          }
          if (look !== null) {
            looked++
            expect(look).toBeGreaterThan(input.now)
            expect(look).toBeLessThanOrEqual(holdBy ?? releaseAt)
            expect(input.outOfReach.some((gone) => gone.start <= look && look < gone.end)).toBe(
              false,
            )
            expect(input.maxReadings).toBeGreaterThan(0)
            expect(input.heldSince).toBeNull()
          }
          since = end
        }
        const drawn = plan.trajectory.flatMap(({ socPct, reservePct }) => [socPct, reservePct])
        expect(drawn.every(Number.isFinite)).toBe(true)
      }),
      seeded(1000),
    )
    expect(looked).toBeGreaterThan(50)
  })
})
