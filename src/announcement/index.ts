export type { Attached } from './attach.ts'
export type { CalendarDate } from './calendarDay.ts'
export { dateExists, dateOf, dayNumber, weekdayOf } from './calendarDay.ts'
export type { Change } from './change.ts'
export { changeOf } from './change.ts'
export type { Clock, Found } from './clock.ts'
export type { DayWords } from './dayWords.ts'
export { plainDay } from './dayWords.ts'
export type { Item } from './scan.ts'
export { sentencesOf } from './change.ts'
export { clockAt } from './clock.ts'
export type { Range } from './range.ts'
export type { Timestamp } from './timestamp.ts'

export type { Assumed } from './halves.ts'
export { minutesOf } from './halves.ts'
export type { LocalTime, Resolved, UnknownZone } from './localTime.ts'
export {
  isKnownZone,
  localDayOf,
  localTimeOf,
  offsetMinutes,
  resolveLocal,
  resolveMinutes,
} from './localTime.ts'
export { durationAt } from './duration.ts'
export type { AnnouncementContext, Parts } from './parts.ts'
export { newRange, partsOf } from './parts.ts'
export { readAnnouncement } from './read.ts'
export type { AnnouncementReading, QuestionWhy } from './reading.ts'
export type { SettleContext } from './limits.ts'
export { MAX_DAYS_AHEAD, MAX_EVENT_HOURS, limitOf } from './limits.ts'
export type { FoundEvent, Settled, SettleWhy } from './settle.ts'
export { literal, settle } from './settle.ts'
export type { Token } from './tokens.ts'
export { plainText, tokensOf } from './tokens.ts'
