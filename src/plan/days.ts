// Past days of half-hourly readings laid over the half-hours ahead. The calendar is the caller's: days are
// numbered from 1970-01-01, and each half-hour ahead says which local day and which half of it it is.

import type { Instant } from './instant.ts'
import type { Step } from './types.ts'

/** A past day by the local clock: 48 half-hours, kWh. */
export type PastDay = { readonly day: number; readonly kwh: readonly number[] }

/** A half-hour ahead: its first instant, its local day, and its place 0 to 47 on the local clock. */
export type HalfHour = { readonly start: Instant; readonly day: number; readonly half: number }

/** How far back a day is comparable, and how many days are enough: households change with the season. */
export const LOOK_BACK_DAYS = 120
export const MOST_DAYS = 40

/** Saturdays and Sundays; 1970-01-01 was a Thursday. */
export const isWeekend = (day: number): boolean => (((day + 3) % 7) + 7) % 7 >= 5

/** The past days of the same kind (weekday or weekend), most recent first, at most 40 within 120 days before. */
export const comparableDays = (days: readonly PastDay[], day: number): readonly PastDay[] =>
  days
    .filter(
      (past) =>
        past.day < day &&
        past.day >= day - LOOK_BACK_DAYS &&
        isWeekend(past.day) === isWeekend(day),
    )
    .toSorted((a, b) => b.day - a.day)
    .slice(0, MOST_DAYS)

/**
 * The loads ahead, one for each day comparable with `eventDay`, most recent first. In the r-th of them every local
 * day ahead takes the r-th most recent day of its own kind, so an event on another day than today, or several on
 * several days, meet days of the right kind; what ties one evening to the next is not kept. Where a kind has fewer
 * days they begin again. Half-hours of a day without any are left to the step before.
 */
export function overlayDays(
  past: readonly PastDay[],
  ahead: readonly HalfHour[],
  eventDay: number,
): readonly (readonly Step[])[] {
  const byDay = new Map(
    [...new Set(ahead.map(({ day }) => day))].map((day) => [day, comparableDays(past, day)]),
  )
  return comparableDays(past, eventDay).map((comparable, rank) =>
    ahead.flatMap(({ start, day, half }) => {
      const own = byDay.get(day) ?? []
      const kwh =
        day === eventDay ? comparable.kwh[half] : own[rank % Math.max(1, own.length)]?.kwh[half]
      return kwh === undefined ? [] : [{ start, kw: 2 * kwh }]
    }),
  )
}

/** For plans with readings: how far back a day stands in, and how many are enough. Weekends stand in for weekdays too: more days tell more (measured). */
export const WIDE_LOOK_BACK_DAYS = 200
export const MOST_WIDE_DAYS = 139

/** A day is as heavy as the two weeks before it were, allowing for some days missing. */
const LEVEL_DAYS = 14
const LEVEL_LOOK_BACK_DAYS = 18

/** Loads ahead as past days had them, most recent first, and by how much each is to be made heavier to be of this season. */
export type SeasonedDays = {
  readonly days: readonly (readonly Step[])[]
  readonly heavier: readonly number[]
}

/**
 * The loads ahead, one for each of the last 139 days within 200, of any kind, most recent first: `eventDay` as the past day
 * was, days before it as the days before that one. Each is to be as much heavier or lighter as the two weeks before
 * today were than the two weeks before it, half-way: the mean of all levels is added to both.
 */
export function seasonedDays(
  past: readonly PastDay[],
  ahead: readonly HalfHour[],
  eventDay: number,
): SeasonedDays {
  const byDay = new Map(past.map(({ day, kwh }) => [day, kwh]))
  const halves = [...new Set(ahead.map(({ half }) => half))]
  const today = ahead[0]?.day ?? eventDay
  const standIns = past
    .filter(({ day }) => day < today && day >= today - WIDE_LOOK_BACK_DAYS)
    .toSorted((a, b) => b.day - a.day)
    .slice(0, MOST_WIDE_DAYS)
  const own = levelBefore(byDay, today, halves)
  const levels = standIns.map(({ day }) => levelBefore(byDay, day, halves))
  const known = levels.filter((level) => level !== null)
  const mean = known.reduce((sum, level) => sum + level, 0) / Math.max(1, known.length)
  return {
    days: standIns.map(({ day, kwh }) =>
      ahead.map(({ start, day: aheadDay, half }) => {
        const like = byDay.get(day + aheadDay - eventDay) ?? kwh
        return { start, kw: 2 * (like[half] ?? 0) }
      }),
    ),
    heavier: levels.map((level) =>
      own === null || level === null || mean <= 0 ? 1 : (own + mean) / (level + mean),
    ),
  }
}

/** The mean use in these half-hours over the two weeks before a day, kWh; `null` where no day is known. */
function levelBefore(
  byDay: ReadonlyMap<number, readonly number[]>,
  day: number,
  halves: readonly number[],
): number | null {
  let [sum, count] = [0, 0]
  for (let ago = 1; ago <= LEVEL_LOOK_BACK_DAYS && count < LEVEL_DAYS; ago++) {
    const kwh = byDay.get(day - ago)
    if (kwh === undefined) continue
    for (const half of halves) sum += kwh[half] ?? 0
    count++
  }
  return count === 0 ? null : sum / count
}

/** The mean of several loads, step by step. */
export function meanLoad(loads: readonly (readonly Step[])[]): readonly Step[] {
  const starts = [...new Set(loads.flat().map((step) => step.start))].toSorted((a, b) => a - b)
  const next = loads.map(() => 0)
  return starts.map((start) => {
    const kws = loads.map((load, i) => {
      while ((load[next[i] ?? 0]?.start ?? Infinity) <= start) next[i] = (next[i] ?? 0) + 1
      return (load[(next[i] ?? 0) - 1] ?? load[0])?.kw ?? 0
    })
    return { start, kw: kws.reduce((sum, kw) => sum + kw, 0) / kws.length }
  })
}
