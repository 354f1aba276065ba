export type { Instant, Span } from './instant.ts'
export {
  DAY_MS,
  HOUR_MS,
  MINUTE_MS,
  asInstant,
  earlier,
  hoursBetween,
  later,
  minutesAfter,
} from './instant.ts'
export { planHolds } from './hold.ts'
export { planCheapest } from './cheapest.ts'
export { daysAsPlanned, planOverDays } from './ensemble.ts'
export type { WorthQuestion } from './worth.ts'
export { worthOf } from './worth.ts'
export type { HalfHour, PastDay } from './days.ts'
export {
  WIDE_LOOK_BACK_DAYS,
  comparableDays,
  isWeekend,
  meanLoad,
  overlayDays,
  seasonedDays,
} from './days.ts'
export { daysNeeded, rankFor } from './rank.ts'
export type { Result } from './result.ts'
export { ok, refuse } from './result.ts'
export type {
  Battery,
  Calibrated,
  Bill,
  Caution,
  CheapestPlan,
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
  Reading,
  Reward,
  Rule,
  Step,
  TrajectoryPoint,
  UnitRate,
  Unpromised,
  Worth,
} from './types.ts'
