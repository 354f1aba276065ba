// Past days on a household's local calendar, laid over the instants of a plan.

import type { DaysInput, Instant, PastDay, Result } from '../../plan/index.ts'
import { DAY_MS, asInstant, ok, overlayDays, refuse, seasonedDays } from '../../plan/index.ts'
import { halfHoursOf, localDay } from '../../schedule/index.ts'
import { problemWords } from '../../words/en/problems.ts'
import { type Problem, refused } from './problem.ts'
import type { PlanRequest } from './schemas/plan.ts'

type DaysLaid = Pick<DaysInput, 'days' | 'heavier'>

export type Days = Extract<PlanRequest['load'], { days: unknown }>['days']

/** How far past days are laid ahead; further off, nothing is known of how the battery was charged in between. */
export const MOST_DAYS_AHEAD = 8

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
  const first = events.reduce((a, b) => (b.start < a.start ? b : a))
  const today = localDay(timeZone, now)
  const past: PastDay[] = days
    .map(({ date, kwh }) => ({ day: Date.parse(`${date}T00:00:00Z`) / DAY_MS, kwh }))
    .filter(({ day }) => day < today)
  const from = previousReading?.at ?? reading.at
  const ahead = halfHoursOf(timeZone, { start: from, end: until })
  const eventDay = localDay(timeZone, first.start)
  const watched = request.maxReadings > 0 || request.calibrated !== undefined
  return watched
    ? seasonedDays(past, ahead, eventDay)
    : { days: overlayDays(past, ahead, eventDay), heavier: null }
}
