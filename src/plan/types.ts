// What goes into a plan and what comes out. Energies in kWh, powers in kW, shares in per cent of
// capacity, instants in epoch milliseconds.

import type { Instant, Span } from './instant.ts'

/** Power falls linearly from the charge limit at `fromPct` to `toKw` when full (constant current, then constant voltage). */
export type Taper = { readonly fromPct: number; readonly toKw: number }

export type Battery = {
  /** Energy between 0 % and 100 % on the battery's own display. */
  readonly capacityKwh: number
  /** Kept for a power cut; a plan never spends it. */
  readonly outageReservePct: number
  /** Inverter limits on the AC side; `Infinity` when none is given. */
  readonly maxDischargeKw: number
  readonly maxChargeKw: number
  /** One-way efficiencies, 0.5 to 1. */
  readonly dischargeEfficiency: number
  readonly chargeEfficiency: number
  /** Standing loss, taken from the store at all times. */
  readonly standbyKw: number
  readonly taper: Taper | null
}

/** A power that lasts from `start` until the next step; the last one lasts for ever. */
export type Step = { readonly start: Instant; readonly kw: number }

export type Reading = { readonly at: Instant; readonly socPct: number }

/** What is kept beyond the computed need: energy, a share of capacity, or hours of the event's own mean load. */
export type Margin =
  { readonly kwh: number } | { readonly pct: number } | { readonly hours: number }

/** A household's rule of thumb: `pctPerHour * (hours + extraHours)` per cent (common practice, no source). */
export type Rule = { readonly pctPerHour: number; readonly extraHours: number }

export type PlanInput = {
  readonly now: Instant
  readonly battery: Battery
  readonly reading: Reading
  readonly load: readonly Step[]
  readonly solar: readonly Step[]
  /** In any order, not overlapping, none over yet. */
  readonly events: readonly Span[]
  readonly margin: Margin
  readonly rule: Rule | null
  /** Minutes before the start at which a person releases; they count as part of what is covered. */
  readonly releaseLeadMinutes: number
  /** Where a top-up from the grid is allowed. */
  readonly topUpWindows: readonly Span[]
  /** When nobody can touch the inverter. */
  readonly outOfReach: readonly Span[]
  /** Since when the discharge is paused already; `null` while the battery runs. */
  readonly heldSince: Instant | null
}

export type Mode = 'run' | 'hold' | 'fill'

export type Verdict = 'no-hold' | 'hold' | 'hold-now' | 'short'

export type TopUp = { readonly from: Instant; readonly until: Instant; readonly kwh: number }

export type Short = {
  /** Stored energy that is missing, kWh. */
  readonly kwh: number
  /** The instant at which the battery reaches the floor. */
  readonly coveredUntil: Instant
  /** The mean load at which it would last to the end, kW. */
  readonly loadKw: number
}

export type EventPlan = {
  readonly start: Instant
  readonly end: Instant
  readonly verdict: Verdict
  /** Stored energy that the cover takes, kWh. */
  readonly needKwh: number
  /** Stored energy to have at the release (floor, margin and what later events need included), kWh, at most the capacity. */
  readonly reserveKwh: number
  /** The same as a share of capacity, not rounded. */
  readonly reservePct: number
  /** `null` when there is nothing to hold for. */
  readonly holdBy: Instant | null
  /** What the display shows when it is time to hold: whole, rounded up. */
  readonly holdAtPct: number
  readonly releaseAt: Instant
  /** Expected above the floor when the event ends, kWh. */
  readonly marginLeftKwh: number
  readonly topUp: TopUp | null
  readonly short: Short | null
}

/** A breakpoint of the forecast under the plan, with the reserve line beside it. */
export type TrajectoryPoint = {
  readonly at: Instant
  readonly socPct: number
  readonly reservePct: number
  readonly mode: Mode
}

export type Caution =
  /** The expected load in the event is over the inverter's limit: the rest is imported whatever the reserve. */
  | { readonly kind: 'load-over-limit'; readonly loadKw: number; readonly limitKw: number }
  /** The reading is old, so the forecast has drifted. */
  | { readonly kind: 'old-reading'; readonly hours: number }
  /** Nobody can reach the inverter between now and the release. */
  | { readonly kind: 'nobody-in-reach'; readonly event: number }

export type Plan = {
  readonly events: readonly EventPlan[]
  readonly trajectory: readonly TrajectoryPoint[]
  readonly cautions: readonly Caution[]
}

export type PlanRefusal =
  | {
      readonly reason: 'event_over'
      readonly event: number
      readonly end: Instant
      readonly now: Instant
    }
  | { readonly reason: 'event_reversed'; readonly event: number }
  | { readonly reason: 'events_overlap'; readonly event: number; readonly other: number }
  | { readonly reason: 'reading_in_future'; readonly at: Instant; readonly now: Instant }
  | { readonly reason: 'taper_without_limit' }
  | { readonly reason: 'taper_over_limit'; readonly toKw: number; readonly maxChargeKw: number }
  | { readonly reason: 'top_up_without_limit' }

/** As `PlanInput`, with past days standing in for the load to come (model §4). */
export type DaysInput = Omit<PlanInput, 'load'> & {
  /** The load ahead as each comparable day would have it, most recent first. */
  readonly days: readonly (readonly Step[])[]
  /** By how much each day is to be made heavier to be like these weeks, in the same order; `null` to take them as they were. */
  readonly heavier: readonly number[] | null
  /** The share of days on which the hold is to be early enough, 0.5 to 0.99. */
  readonly confidence: number
  /** How often somebody can be asked for a reading before the event. */
  readonly maxReadings: number
  /** Of the day's first plan, kept at the readings that follow; `null` to calibrate. */
  readonly calibrated: Calibrated | null
  /** The reading before this one, where the battery only ran since: what today used tells of the rest of it. */
  readonly before: Reading | null
  /** Kept on top of the earliest day when there are too few days. */
  readonly spareMargin: Margin
}

export type Confidence = {
  /** Past days that stood in for this one. */
  readonly days: number
  /** On how many of them this would have covered the event, each left out of its own plan. */
  readonly coveredOn: number
  /** The confidence each look is planned at, so that all together keep the one asked for. */
  readonly stage: number
}

/** What the replay found for the first event. */
export type Calibrated = Confidence

export type DaysEventPlan = EventPlan & {
  /** When to look: at or under `holdAtPct` hold, over it report the figure. `null` when no look is left or needed. */
  readonly nextReadingAt: Instant | null
  readonly confidence: Confidence
}

/** Why the confidence asked for cannot be promised. */
export type Unpromised =
  | { readonly reason: 'too_few_days'; readonly days: number; readonly needed: number }
  | { readonly reason: 'replay_missed'; readonly days: number; readonly coveredOn: number }

export type DaysPlan = Omit<Plan, 'events'> & {
  readonly events: readonly DaysEventPlan[]
  readonly unpromised: Unpromised | null
}

export type DaysRefusal = PlanRefusal | { readonly reason: 'no_comparable_day' }

/** The price of a kWh from `start` until the next step; the last one lasts for ever. Any currency. */
export type UnitRate = { readonly start: Instant; readonly perKwh: number }

/** Why the hold is the latest and not the cheapest: a charge window or surplus before the event, an event over a day away, or rates and loads of too many steps. */
export type NotCheapest = 'top_up' | 'surplus' | 'more_than_a_day' | 'too_many_steps'

export type CheapestPlan = Plan & {
  /** The first event's holds, in time order: `holdBy` is the first one's start, `releaseAt` the last one's end. */
  readonly holds: readonly Span[]
  readonly notCheapest: NotCheapest | null
}

/** What the scheme pays for using less than usual; the baseline of each event in time order, kWh, `null` where there is none. */
export type Reward = {
  readonly perKwh: number
  readonly baselineKwh: readonly (number | null)[]
}

/** What one way to use the battery comes to, from now to the horizon. Energies in kWh, money in the currency of the rates. */
export type Bill = {
  readonly importKwh: number
  /** From the battery to the house, on the AC side. */
  readonly deliveredKwh: number
  /** By half-hours that begin on the hour and the half in UTC; the first and the last may be cut short. */
  readonly importByHalfHour: readonly { readonly start: Instant; readonly kwh: number }[]
  readonly cost: number
  /** Stored at the horizon, and what that is worth. */
  readonly leftKwh: number
  readonly leftWorth: number
  readonly events: readonly (Span & { readonly importKwh: number; readonly reward: number })[]
  /** Of all events. */
  readonly reward: number
  /** Cost less reward and the worth of what is left. */
  readonly net: number
}

export type Worth = {
  readonly horizon: Span
  readonly withPlan: Bill
  /** The battery left running, or what was compared with instead. */
  readonly withoutPlan: Bill
  /** With the plan less without it. */
  readonly difference: {
    readonly importKwh: number
    readonly cost: number
    readonly leftKwh: number
    readonly leftWorth: number
    readonly reward: number
  }
  /** What the plan is worth in money, all counted; negative where it is not worth it. */
  readonly gain: number
}

export type { Instant, Span }
