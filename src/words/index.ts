export { calendarWords } from './en/calendar.ts'
export type { Format } from './format.ts'
export { format } from './format.ts'
export { reminderWords } from './en/reminders.ts'
