export { halfHoursOf, localDay } from './halfHours.ts'
export type { Rates } from './rates.ts'
export { unitRateSteps } from './rates.ts'
export {
  commonSpans,
  firstOutside,
  lastOutside,
  mergedSpans,
  spanAt,
  spansWithin,
  spansWithout,
} from './spans.ts'
export type { Weekly } from './weekly.ts'
export { EVERY_DAY, weeklySpans } from './weekly.ts'
