// Dates as day numbers, days since 1970-01-01: plain arithmetic, no zone and no clock.

const DAYS_BEFORE = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334]
const LENGTHS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]

const isLeap = (year: number): boolean => year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0)

/** The day number of a date in the Gregorian calendar, or `null` where there is no such date. */
export function dayNumber(year: number, month: number, day: number): number | null {
  const length = (LENGTHS[month - 1] ?? 0) + (month === 2 && isLeap(year) ? 1 : 0)
  if (day < 1 || day > length) return null
  const y = year - 1
  const leapDays = Math.floor(y / 4) - Math.floor(y / 100) + Math.floor(y / 400)
  const inYear = (DAYS_BEFORE[month - 1] ?? 0) + (month > 2 && isLeap(year) ? 1 : 0) + day
  return y * 365 + leapDays + inYear - 719_163
}

/** `2027-01-14` for a day number. */
export function isoDate(number: number): string {
  let year = 1970 + Math.floor(number / 365.2425)
  while ((dayNumber(year, 1, 1) ?? 0) > number) year -= 1
  while ((dayNumber(year + 1, 1, 1) ?? 0) <= number) year += 1
  let month = 12
  while ((dayNumber(year, month, 1) ?? 0) > number) month -= 1
  const day = number - (dayNumber(year, month, 1) ?? 0) + 1
  return `${year}-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}`
}
