// The worked example of the plan, and random households, each planned by the planner itself.

import * as fc from 'fast-check'
import type { Instant, Plan, PlanInput } from '../../src/plan/index.ts'
import { HOUR_MS, asInstant, planHolds } from '../../src/plan/index.ts'
import type { PictureInput } from '../../src/chart/index.ts'
import { format } from '../../src/words/index.ts'

export const ZONE = 'America/Halifax'

export const at = (text: string): Instant => asInstant(Date.parse(text))

export const battery: PlanInput['battery'] = {
  capacityKwh: 9.6,
  outageReservePct: 10,
  maxDischargeKw: 3.6,
  maxChargeKw: 3,
  dischargeEfficiency: 0.95,
  chargeEfficiency: 0.95,
  standbyKw: 0,
  taper: null,
}

export const NOON = at('2027-01-14T13:00:00-04:00')

/** 55 % at 13:00, 0.8 kW, one event 17:30 to 18:30. */
export const worked: PlanInput = {
  now: NOON,
  battery,
  reading: { at: NOON, socPct: 55 },
  load: [{ start: NOON, kw: 0.8 }],
  solar: [],
  events: [{ start: at('2027-01-14T17:30:00-04:00'), end: at('2027-01-14T18:30:00-04:00') }],
  margin: { pct: 5 },
  rule: null,
  releaseLeadMinutes: 5,
  topUpWindows: [],
  outOfReach: [],
  heldSince: null,
}

export function planned(input: PlanInput): Plan {
  const plan = planHolds(input)
  if (!plan.ok) throw new Error(`Cannot plan the case: ${JSON.stringify(plan.refusal)}`)
  return plan.value
}

export const pictureOf = (input: PlanInput, more: Partial<PictureInput> = {}): PictureInput => ({
  plan: planned(input),
  done: [],
  now: input.now,
  timeZone: ZONE,
  format: format('en', ZONE),
  ...more,
})

/** One to three events within two days, any charge, any load, now and then a top-up or a hold already made. */
export const anyInput: fc.Arbitrary<PlanInput> = fc
  .record({
    socPct: fc.integer({ min: 0, max: 100 }),
    kw: fc.double({ min: 0.05, max: 5, noNaN: true }),
    gaps: fc.array(
      fc.record({
        before: fc.double({ min: -0.4, max: 20, noNaN: true }),
        hours: fc.double({ min: 0.5, max: 3, noNaN: true }),
      }),
      { minLength: 1, maxLength: 3 },
    ),
    lead: fc.integer({ min: 0, max: 60 }),
    topUp: fc.boolean(),
    held: fc.boolean(),
  })
  .map(({ socPct, kw, gaps, lead, topUp, held }) => {
    let last = NOON
    const events = gaps.map(({ before, hours }, index) => {
      const start = asInstant(last + (index === 0 ? before : Math.abs(before)) * HOUR_MS)
      last = asInstant(start + hours * HOUR_MS)
      return { start, end: last }
    })
    const first = events[0]?.start ?? NOON
    return {
      ...worked,
      reading: { at: NOON, socPct },
      load: [{ start: NOON, kw }],
      events,
      releaseLeadMinutes: lead,
      topUpWindows:
        topUp && first - NOON > 4 * HOUR_MS
          ? [{ start: asInstant(first - 4 * HOUR_MS), end: asInstant(first - HOUR_MS) }]
          : [],
      heldSince: held ? NOON : null,
    }
  })
