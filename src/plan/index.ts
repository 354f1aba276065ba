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
export { ruleOfThumbPct } from './cover.ts'
export type { Result } from './result.ts'
export { ok, refuse } from './result.ts'
export type {
  Battery,
  Caution,
  EventPlan,
  Margin,
  Mode,
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
  Verdict,
} from './types.ts'
