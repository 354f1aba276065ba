// A series as days of the local clock, the form in which past days stand in for a day to come.

import { MINUTE_MS } from '../plan/index.ts'
import { isoDate } from './calendar.ts'
import { clockOver, halfHourly } from './halfHours.ts'
import type { Series } from './types.ts'

/** A local day: `2027-01-14`, and 48 half-hours from 00:00 on the clock, kWh. */
export type MeterDay = { readonly date: string; readonly kwh: readonly number[] }

/**
 * The days that a series covers wholly, oldest first. On a day of 23 hours the skipped hour repeats the hour before
 * it (the one after, where the day begins with the gap); on one of 25 hours the doubled hour is the mean of both.
 * So each has the 48 figures that a clock shows, and their sum is not what the meter counted that day.
 */
export function daysOf(series: Series, timeZone: string): readonly MeterDay[] {
  const zone = clockOver(series, timeZone)
  const days = new Map<number, { at: number; wh: number; slot: number }[]>()
  for (const { start, wh } of halfHourly(series, timeZone).intervals) {
    const wall = zone.wallAt(start)
    const day = Math.floor(wall / 1440)
    const slot = Math.floor((wall - day * 1440) / 30)
    const halves = days.get(day)
    if (halves === undefined) days.set(day, [{ at: start, wh, slot }])
    else halves.push({ at: start, wh, slot })
  }
  return [...days].flatMap(([day, halves]) => {
    if (halves.length !== halvesIn(day)) return []
    return [{ date: isoDate(day), kwh: clockSlots(halves) }]
  })

  function halvesIn(day: number): number {
    const change = zone.changes.find(
      ({ at, after }) => Math.floor((at / MINUTE_MS + after) / 1440) === day,
    )
    return change === undefined ? 48 : 48 - (change.after - change.before) / 30
  }
}

function clockSlots(halves: readonly { wh: number; slot: number }[]): readonly number[] {
  const sums = Array.from({ length: 48 }, () => ({ wh: 0, count: 0 }))
  for (const { wh, slot } of halves) {
    const sum = sums[slot]
    if (sum !== undefined) {
      sum.wh += wh
      sum.count += 1
    }
  }
  const mean = (slot: number): number | null => {
    const sum = sums[slot]
    return sum === undefined || sum.count === 0
      ? null
      : Math.round((sum.wh / sum.count) * 1000) / 1e6
  }
  return sums.map((_, slot) => mean(slot) ?? mean(slot - 2) ?? mean(slot + 2) ?? 0)
}
