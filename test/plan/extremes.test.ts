// Sizes no household has, to find divisions by nothing: finite numbers come out, and nothing is thrown.

import * as fc from 'fast-check'
import { describe, expect, it, vi } from 'vitest'
import type { PlanInput } from '../../src/plan/index.ts'
import { planHolds } from '../../src/plan/index.ts'
import { HOUR, clock, given, ms, planned, plannedEvent, steady } from './given.ts'
import { chargeWindows, eventsInRow, instances, seeded, sun } from './instances.ts'

// Other work may share the machine; alone each of these takes under five seconds.
vi.setConfig({ testTimeout: 60_000 })

const expectFinite = (value: unknown, path = 'plan'): void => {
  if (typeof value === 'number') expect(Number.isFinite(value), `${path} is ${value}`).toBe(true)
  else if (typeof value === 'object' && value !== null)
    for (const [key, inner] of Object.entries(value)) expectFinite(inner, `${path}.${key}`)
}

const sizes = fc.constantFrom(0, 1e-9, 1e-6, 1e-3, 1, 1e3, 1e6)
const positive = fc.constantFrom(1e-9, 1e-6, 1e-3, 1, 1e3, 1e6)

const extremes: fc.Arbitrary<PlanInput> = fc
  .record({
    base: instances({ events: eventsInRow(3), solar: sun, topUpWindows: chargeWindows }),
    capacityKwh: positive,
    maxDischargeKw: fc.oneof(fc.constant(Infinity), positive),
    maxChargeKw: positive,
    standbyKw: sizes,
    loadFactor: sizes,
    sunFactor: sizes,
    marginKwh: sizes,
    taperShare: fc.constantFrom(null, 1e-9, 0.5, 1),
    taperFromPct: fc.constantFrom(0, 50, 99.999999, 100),
    outageReservePct: fc.constantFrom(0, 1e-9, 50, 100),
    lead: fc.constantFrom(0, 1e-9, 5, 1e6),
  })
  .map(({ base, ...by }) => ({
    ...base,
    battery: {
      ...base.battery,
      capacityKwh: by.capacityKwh,
      outageReservePct: by.outageReservePct,
      maxDischargeKw: by.maxDischargeKw,
      maxChargeKw: by.maxChargeKw,
      standbyKw: by.standbyKw,
      taper:
        by.taperShare === null
          ? null
          : { fromPct: by.taperFromPct, toKw: by.maxChargeKw * by.taperShare },
    },
    load: base.load.map(({ start, kw }) => ({ start, kw: kw * by.loadFactor })),
    solar: base.solar.map(({ start, kw }) => ({ start, kw: kw * by.sunFactor })),
    margin: { kwh: by.marginKwh },
    releaseLeadMinutes: by.lead,
  }))

describe('huge and tiny', () => {
  it('gives finite numbers and throws nothing', () => {
    fc.assert(
      fc.property(extremes, (input) => {
        const result = planHolds(input)
        expect(result.ok).toBe(true)
        expectFinite(result)
      }),
      seeded(1000),
    )
  })
})

it('without any load there is nothing to hold for', () => {
  const event = plannedEvent(given({ load: steady(0), margin: { kwh: 0 } }))
  expect(event).toMatchObject({ verdict: 'no-hold', needKwh: 0, holdBy: null, short: null })
})

it('without any load series the house draws nothing', () => {
  expectFinite(planned(given({ load: [], solar: [] })))
})

it('plans fifty events over as many days', () => {
  const events = Array.from({ length: 50 }, (_, day) => ({
    start: ms(clock('17:30') + day * 24 * HOUR),
    end: ms(clock('18:30') + day * 24 * HOUR),
  }))
  const load = events.flatMap(({ start }) => [
    { start: ms(start - 17.5 * HOUR), kw: 0.01 },
    { start, kw: 0.1 },
    { start: ms(start + HOUR), kw: 0.01 },
  ])
  const plan = planned(given({ events, load, margin: { kwh: 0 } }))
  expect(plan.events).toHaveLength(50)
  expectFinite(plan)
  // By hand: 0.1 kW for an hour and 0.01 kW for the five minutes' lead, each day the same.
  for (const { needKwh } of plan.events) expect(needKwh).toBeCloseTo((0.1 + 0.01 / 12) / 0.95, 9)
})
