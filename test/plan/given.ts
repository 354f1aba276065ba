// Builders of valid plan inputs: one worked case that each test spoils in one way, and a plain clock.
// No arithmetic of the planner's.

import type { Battery, Instant, Plan, PlanInput, Span } from '../../src/plan/index.ts'
import { planHolds } from '../../src/plan/index.ts'

/** Midnight UTC of the day all examples play on. */
export const MIDNIGHT = Date.UTC(2031, 0, 14)
export const SECOND = 1000
export const MINUTE = 60 * SECOND
export const HOUR = 60 * MINUTE

export const ms = (at: number): Instant => at as Instant

/** '16:28:36' on the example day; hours may run past 24 into the next. */
export const clock = (text: string): Instant => {
  const [hours = 0, minutes = 0, seconds = 0] = text.split(':').map(Number)
  return ms(MIDNIGHT + hours * HOUR + minutes * MINUTE + seconds * SECOND)
}

export const span = (text: string): Span => {
  const [start = '', end = ''] = text.split('-')
  return { start: clock(start), end: clock(end) }
}

export const steady = (kw: number) => [{ start: ms(MIDNIGHT - 24 * HOUR), kw }]

/** The battery of the worked example in the model's specification. */
export const exampleBattery: Battery = {
  capacityKwh: 9.6,
  outageReservePct: 10,
  maxDischargeKw: 3.6,
  maxChargeKw: Infinity,
  dischargeEfficiency: 0.95,
  chargeEfficiency: 0.95,
  standbyKw: 0,
  taper: null,
}

type Spoilt = Omit<Partial<PlanInput>, 'battery'> & { readonly battery?: Partial<Battery> }

/** The worked example, with what the test changes. */
export const given = ({ battery, ...rest }: Spoilt = {}): PlanInput => ({
  now: clock('13:00'),
  battery: { ...exampleBattery, ...battery },
  reading: { at: rest.now ?? clock('13:00'), socPct: 55 },
  load: steady(0.8),
  solar: steady(0),
  events: [span('17:30-18:30')],
  margin: { pct: 5 },
  rule: null,
  releaseLeadMinutes: 5,
  topUpWindows: [],
  outOfReach: [],
  heldSince: null,
  ...rest,
})

/** The plan of an input that must not be refused. */
export const planned = (input: PlanInput): Plan => {
  const result = planHolds(input)
  if (!result.ok) throw new TypeError(`Plan must not be refused: ${JSON.stringify(result.refusal)}`)
  return result.value
}

/** The only event's part of the plan. */
export const plannedEvent = (input: PlanInput) => {
  const [event] = planned(input).events
  if (event === undefined) throw new TypeError('Plan must have an event')
  return event
}

export const floorKwh = ({ capacityKwh, outageReservePct }: Battery) =>
  (capacityKwh * outageReservePct) / 100
