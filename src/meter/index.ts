export { readMeter } from './read.ts'
export { compact, expand } from './compact.ts'
export type { MeterDay } from './days.ts'
export { daysOf } from './days.ts'
export { halfHourly } from './halfHours.ts'
export type { Said } from './say.ts'
export { sayQuestion, sayRefusal, sayTaken } from './say.ts'
export type {
  Answers,
  Asked,
  Clock,
  DateOrder,
  Duplicate,
  Flow,
  Gap,
  Interval,
  MeterReading,
  MeterRefusal,
  Noted,
  Question,
  Series,
  SkippedRow,
  SkipReason,
  Stamps,
  Understood,
  Unit,
  WallClock,
} from './types.ts'
