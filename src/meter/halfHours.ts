// A series of any interval laid into the half-hours of a local clock: finer ones summed, coarser ones parted evenly.

import type { Instant } from '../plan/index.ts'
import { MINUTE_MS, asInstant } from '../plan/index.ts'
import type { Interval, Series } from './types.ts'
import { type ZoneClock, zoneClock } from './zone.ts'

const HALF_HOUR_MS = 30 * MINUTE_MS

/** Half-hours of the local clock that the series covers wholly, in order. The zone must be known. */
export function halfHourly(series: Series, timeZone: string): Series {
  const zone = clockOver(series, timeZone)
  const length = series.minutes * MINUTE_MS
  const halves: Interval[] = []
  let start = -Infinity
  let covered = 0
  let wh = 0
  const close = () => {
    if (covered === HALF_HOUR_MS) halves.push({ start: asInstant(start), wh })
  }
  for (const interval of series.intervals) {
    let from: number = interval.start
    const end = interval.start + length
    while (from < end) {
      if (from >= start + HALF_HOUR_MS) {
        close()
        start = halfHourOf(from, zone)
        covered = 0
        wh = 0
      }
      const until = Math.min(end, start + HALF_HOUR_MS)
      covered += until - from
      wh += (interval.wh * (until - from)) / length
      from = until
    }
  }
  close()
  return { minutes: 30, intervals: halves }
}

/** The clock of a zone over a series. */
export function clockOver({ intervals }: Series, timeZone: string): ZoneClock {
  const first: Instant = intervals[0]?.start ?? asInstant(0)
  return zoneClock(timeZone, first, intervals.at(-1)?.start ?? first)
}

/** The start of the half-hour on the clock that holds an instant. */
const halfHourOf = (at: number, zone: ZoneClock): number => {
  const wall = zone.wallAt(at) * MINUTE_MS
  return at - (((wall % HALF_HOUR_MS) + HALF_HOUR_MS) % HALF_HOUR_MS)
}
