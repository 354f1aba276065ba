// Which half of the day: what a clock without am or pm meant. Minutes count from the event day's 00:00
// and run past 1440 into the next day.

import type { Clock } from './clock.ts'
import type { DayPart } from './dayWords.ts'

export type Assumed =
  /** No half of the day was named: the later one was taken. */
  | 'evening'
  /** It ends after midnight, on the day after the one named. */
  | 'next-day'
  /** No day was named: today. */
  | 'today'
  /** Only a start was named: as long as before. */
  | 'same-length'

export type Hours = {
  readonly start: number
  /** Minutes from the day's 00:00. */
  readonly end: number
  readonly assumed: readonly Assumed[]
}

export type HoursRead =
  | { readonly kind: 'one'; readonly hours: Hours }
  | {
      readonly kind: 'ask'
      readonly reason: 'morning_or_evening' | 'midnight'
      readonly options: readonly Hours[]
    }
  | { readonly kind: 'none' }

const DAY = 1440
const SMALL_HOURS = 6 * 60
/** Without a half, an hour up to this is of the afternoon or evening: no event is so early (common practice, no source). */
const LAST_EVENING_HOUR = 6

/** The minutes of day that a clock may mean. */
export function minutesOf({ hour, minute, half, either }: Clock): readonly number[] {
  if (half === null && !either) return [hour * 60 + minute]
  const early = (hour % 12) * 60 + minute
  if (half === 'am') return [early]
  if (half === 'pm') return [early + 12 * 60]
  return [early, early + 12 * 60]
}

const within: Record<DayPart, (minute: number) => boolean> = {
  morning: (m) => m >= 4 * 60 && m < 12 * 60,
  afternoon: (m) => m >= 12 * 60 && m < 18 * 60,
  evening: (m) => m >= 16 * 60,
  night: (m) => m >= 18 * 60,
}

export type HoursEnd =
  | { readonly kind: 'minutes'; readonly minutes: number }
  /** `dayOffset`: days after the start's day, when the end names its own day. */
  | { readonly kind: 'clock'; readonly clock: Clock; readonly dayOffset: number | null }

// The soonest end after a start.
function endFor(start: number, end: HoursEnd): number | null {
  if (end.kind === 'minutes') return end.minutes > 0 ? start + end.minutes : null
  const ends = minutesOf(end.clock)
    .map((minute) =>
      end.dayOffset === null
        ? minute > start
          ? minute
          : minute + DAY
        : minute + end.dayOffset * DAY,
    )
    .filter((minute) => minute > start)
  return ends.length === 0 ? null : Math.min(...ends)
}

/**
 * Chooses the hours of a range. With one clock certain, the shorter event is meant (`11-1pm`, `5-7pm`); with
 * neither, one to six o'clock is the afternoon or evening and said to be assumed; seven to twelve is asked.
 */
export function hoursOf(start: Clock, end: HoursEnd, part: DayPart | null): HoursRead {
  const all = minutesOf(start).flatMap((minute) => {
    const closing = endFor(minute, end)
    return closing === null ? [] : [{ start: minute, end: closing, assumed: [] as Assumed[] }]
  })
  if (all.length === 0) return { kind: 'none' }
  if (start.hour === 24) {
    const early = all.map((hours) => ({ ...hours, start: 0, end: hours.end - DAY }))
    return { kind: 'ask', reason: 'midnight', options: [...early, ...all] }
  }
  const inPart = part === null ? all : all.filter((hours) => within[part](hours.start))
  // `tonight 1-3` is after midnight, if it is not a slip
  const small = all.map((hours) =>
    hours.start < SMALL_HOURS
      ? { ...hours, start: hours.start + DAY, end: hours.end + DAY }
      : hours,
  )
  const late = part === 'evening' || part === 'night'
  const options = inPart.length > 0 ? inPart : late ? small : all
  const one = (hours: Hours, assumed: boolean): HoursRead => ({
    kind: 'one',
    hours: {
      ...hours,
      assumed: [
        ...(assumed ? (['evening'] as const) : []),
        ...(hours.end > DAY ? (['next-day'] as const) : []),
      ],
    },
  })
  const [first, second] = options
  if (first === undefined) return { kind: 'none' }
  if (second === undefined) {
    const mixed = end.kind === 'clock' && end.clock.either && start.half === null && part === null
    return one(first, mixed && first.end >= 12 * 60)
  }
  if (end.kind === 'clock' && !end.clock.either) {
    const shorter = first.end - first.start < second.end - second.start ? first : second
    return one(shorter, end.clock.half === null && shorter === second && start.hour < 12)
  }
  const usual = part === null && start.hour <= LAST_EVENING_HOUR && second.end <= DAY
  return usual
    ? one(second, true)
    : { kind: 'ask', reason: 'morning_or_evening', options: [first, second] }
}
