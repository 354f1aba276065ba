// The calendar by arithmetic: a local day is a whole number, days since 1970-01-01, so that tomorrow
// is one more. Proleptic Gregorian; no zone and no clock.

export type CalendarDate = { readonly year: number; readonly month: number; readonly day: number }

/** Days since 1970-01-01; a month or day out of range counts on, as 31 April does to 1 May. */
export function dayNumber({ year, month, day }: CalendarDate): number {
  // Years begin in March, so that the leap day comes last.
  const y = year + Math.floor((month - 3) / 12)
  const m = (((month - 3) % 12) + 12) % 12
  const leapDays = Math.floor(y / 4) - Math.floor(y / 100) + Math.floor(y / 400)
  return y * 365 + leapDays + Math.floor((153 * m + 2) / 5) + day - 1 - 719_468
}

/** The date of a day number: the inverse of `dayNumber` for every date that exists. */
export function dateOf(number: number): CalendarDate {
  const days = number + 719_468
  const era = Math.floor(days / 146_097)
  const dayOfEra = days - era * 146_097
  const yearOfEra = Math.floor(
    (dayOfEra -
      Math.floor(dayOfEra / 1_460) +
      Math.floor(dayOfEra / 36_524) -
      Math.floor(dayOfEra / 146_096)) /
      365,
  )
  const dayOfYear =
    dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100))
  const m = Math.floor((5 * dayOfYear + 2) / 153)
  const month = m < 10 ? m + 3 : m - 9
  return {
    year: yearOfEra + era * 400 + (month <= 2 ? 1 : 0),
    month,
    day: dayOfYear - Math.floor((153 * m + 2) / 5) + 1,
  }
}

export function dateExists(date: CalendarDate): boolean {
  const same = dateOf(dayNumber(date))
  return same.year === date.year && same.month === date.month && same.day === date.day
}

/** 0 is Monday (ISO 8601 less one). */
export const weekdayOf = (number: number): number => (((number + 3) % 7) + 7) % 7
