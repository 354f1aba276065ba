// Past days on a household's local calendar, laid over the instants of a plan. Here is where the time zone is
// resolved; the planner knows none.

import { IANAZone } from 'luxon'
import type { DaysInput, HalfHour, Instant, PastDay, Result, Span } from '../../plan/index.ts'
import {
  DAY_MS,
  MINUTE_MS,
  asInstant,
  ok,
  overlayDays,
  refuse,
  seasonedDays,
} from '../../plan/index.ts'
import { problemWords } from '../../words/en/problems.ts'
import { type Problem, refused } from './problem.ts'
import type { PlanRequest } from './schemas/plan.ts'

type DaysLaid = Pick<DaysInput, 'days' | 'heavier'>

export type Days = Extract<PlanRequest['load'], { days: unknown }>['days']

/** How far past days are laid ahead; further off, nothing is known of how the battery was charged in between. */
export const MOST_DAYS_AHEAD = 8

const HALF_HOUR_MS = 30 * MINUTE_MS

/**
 * The loads ahead as past days had them, or what to change: without readings the comparable days as they were, with readings
 * all recent days, made like these weeks.
 */
export function daysAhead(
  days: Days,
  request: PlanRequest,
  timeZone: string,
): Result<DaysLaid, Problem> {
  const { events, reading } = request
  const until = Math.max(...events.map((event) => event.end))
  if (until - reading.at > MOST_DAYS_AHEAD * DAY_MS)
    return refuse(refused(['load', 'days'], problemWords.daysTooFarAhead(MOST_DAYS_AHEAD)))
  const laid = laidAhead(days, request, timeZone, asInstant(until))
  return laid.days.length === 0
    ? refuse(refused(['load', 'days'], problemWords.noComparableDay))
    : ok(laid)
}

/** The same days laid over all half-hours up to an instant. */
export function laidAhead(
  days: Days,
  request: PlanRequest,
  timeZone: string,
  until: Instant,
): DaysLaid {
  const { events, reading, previousReading, now } = request
  const zone = IANAZone.create(timeZone)
  const first = events.reduce((a, b) => (b.start < a.start ? b : a))
  const today = localDay(zone, now)
  const past: PastDay[] = days
    .map(({ date, kwh }) => ({ day: Date.parse(`${date}T00:00:00Z`) / DAY_MS, kwh }))
    .filter(({ day }) => day < today)
  const from = previousReading?.at ?? reading.at
  const ahead = halfHours(zone, { start: from, end: until })
  const eventDay = localDay(zone, first.start)
  const watched = request.maxReadings > 0 || request.calibrated !== undefined
  return watched
    ? seasonedDays(past, ahead, eventDay)
    : { days: overlayDays(past, ahead, eventDay), heavier: null }
}

/** The local calendar's day at an instant, counted from 1970-01-01. */
const localDay = (zone: IANAZone, at: number): number => Math.floor(localMs(zone, at) / DAY_MS)

const localMs = (zone: IANAZone, at: number): number => at + zone.offset(at) * MINUTE_MS

/** The half-hours of the local clock over a span. On a day of 23 hours two are passed over, on one of 25 two come again. */
export function halfHours(zone: IANAZone, { start, end }: Span): readonly HalfHour[] {
  const first = start - (((localMs(zone, start) % HALF_HOUR_MS) + HALF_HOUR_MS) % HALF_HOUR_MS)
  const count = Math.ceil((end - first) / HALF_HOUR_MS)
  return Array.from({ length: count }, (_, i) => {
    const at: Instant = asInstant(first + i * HALF_HOUR_MS)
    const local = localMs(zone, at)
    const day = Math.floor(local / DAY_MS)
    return { start: at, day, half: Math.floor((local - day * DAY_MS) / HALF_HOUR_MS) }
  })
}
