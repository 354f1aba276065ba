// The hours under the curve, by the household's own clock, also on the two days a year that have
// 23 or 25 of them. The only file here that knows the calendar.

import { DateTime } from 'luxon'
import type { Instant, Span } from '../plan/index.ts'
import { HOUR_MS, MINUTE_MS, asInstant } from '../plan/index.ts'

export type Tick = {
  readonly at: Instant
  /** Hour of the local day, 0 to 23. */
  readonly hour: number
}

const STEPS = [1, 2, 3, 4, 6, 12, 24]

// Every zone's offset is a multiple of this (IANA tz database, all rules since 1972).
const GRID_MS = 15 * MINUTE_MS

/**
 * The full local hours in the span at the finest step that gives at most `most` of them. An hour that the clock skips
 * has no tick, one that it repeats has two.
 */
export function ticks(span: Span, timeZone: string, most: number): Tick[] {
  const hours = (span.end - span.start) / HOUR_MS
  const step = STEPS.find((each) => hours / each <= most) ?? 24
  const found: Tick[] = []
  for (let at = Math.ceil(span.start / GRID_MS) * GRID_MS; at <= span.end; at += GRID_MS) {
    const { hour, minute } = DateTime.fromMillis(at, { zone: timeZone })
    if (minute === 0 && hour % step === 0) found.push({ at: asInstant(at), hour })
  }
  return found
}
