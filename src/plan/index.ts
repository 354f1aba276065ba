export type { Instant, Span } from './instant.ts'
export {
  DAY_MS,
  HOUR_MS,
  MINUTE_MS,
  asInstant,
  earlier,
  hoursAfter,
  hoursBetween,
  later,
  minutesAfter,
} from './instant.ts'
export { planHolds } from './hold.ts'
export { planCheapest } from './cheapest.ts'
export { planOverDays } from './ensemble.ts'
export type { HalfHour, PastDay } from './days.ts'
export { LOOK_BACK_DAYS, comparableDays, isWeekend, overlayDays } from './days.ts'
export { daysNeeded, rankFor } from './rank.ts'
export { ruleOfThumbPct } from './cover.ts'
export type { Result } from './result.ts'
export { ok, refuse } from './result.ts'
export type {
  Battery,
  Caution,
  CheapestPlan,
  Confidence,
  DaysEventPlan,
  DaysInput,
  DaysPlan,
  DaysRefusal,
  EventPlan,
  Margin,
  Mode,
  NotCheapest,
  Plan,
  PlanInput,
  PlanRefusal,
  Reading,
  Rule,
  Short,
  Step,
  Taper,
  TopUp,
  TrajectoryPoint,
  UnitRate,
  Unpromised,
  Verdict,
} from './types.ts'
