export type { CalendarDate } from './calendarDay.ts'
export { dateExists, dateOf, dayNumber, weekdayOf } from './calendarDay.ts'
export type { LocalTime, Resolved, UnknownZone } from './localTime.ts'
export {
  isKnownZone,
  localDayOf,
  localTimeOf,
  offsetMinutes,
  resolveLocal,
  resolveMinutes,
} from './localTime.ts'
