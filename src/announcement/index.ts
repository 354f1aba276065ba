export type { Attached } from './attach.ts'
export { dateExists, dateOf, dayNumber, weekdayOf } from './calendarDay.ts'
export { changeOf, isAsking, movesEnd } from './change.ts'
export type { Clock, Found } from './clock.ts'
export type { DayWords } from './dayWords.ts'
export { plainDay } from './dayWords.ts'
export type { Item } from './scan.ts'
export { clockAt } from './clock.ts'
export type { Range } from './range.ts'
export type { Timestamp } from './timestamp.ts'

export { minutesOf } from './halves.ts'
export type { LocalTime } from './localTime.ts'
export {
  isKnownZone,
  localDayOf,
  localTimeOf,
  offsetMinutes,
  resolveLocal,
  resolveMinutes,
} from './localTime.ts'
export { durationAt } from './duration.ts'
export type { Parts } from './parts.ts'
export { newRange, partsOf } from './parts.ts'
export { readAnnouncement } from './read.ts'
export type { QuestionWhy } from './reading.ts'
export { CONFIRMED_DAYS, CONFIRMED_HOURS, limitOf } from './limits.ts'
export type { FoundEvent, Settled } from './settle.ts'
export { literal, settle } from './settle.ts'
export type { Token } from './tokens.ts'
export { plainText, tokensOf } from './tokens.ts'
