// What a named day is: the day number meant, and what else the same words could mean.

export type DayPart = 'morning' | 'afternoon' | 'evening' | 'night'

export type DayWords = {
  /** The day meant, and what else the same words could mean. */
  readonly day: number
  readonly others: readonly number[]
  /** Why it takes a question, if it does. */
  readonly unsure: 'which_week' | 'weekday_mismatch' | 'no_such_day' | 'no_day' | null
  /** By the name of a weekday alone: it comes again in seven days. */
  readonly byWeekday: boolean
  readonly part: DayPart | null
  /** Written as ISO 8601 has it: clocks beside it run to 24. */
  readonly iso: boolean
}

export type DayContext = {
  readonly today: number
  /** What the clock on the wall shows: minutes from 00:00. */
  readonly minuteOfDay: number
  readonly dayFirst: boolean
}

export const plainDay = (day: number, part: DayPart | null = null): DayWords => ({
  day,
  others: [],
  unsure: null,
  byWeekday: false,
  part,
  iso: false,
})

// 31 April: said to be wrong, never read as some other day.
export const noSuchDay = (today: number): DayWords => ({
  ...plainDay(today),
  unsure: 'no_such_day',
})

// `next week`, `at the weekend`: about a day, but none.
export const noDay = (today: number): DayWords => ({ ...plainDay(today), unsure: 'no_day' })
