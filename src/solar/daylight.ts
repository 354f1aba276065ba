// The time between sunrise and sunset, and the half-hours in it. Knows no zone.

import {
  DAY_MS,
  type Instant,
  MINUTE_MS,
  type Span,
  asInstant,
  earlier,
  later,
} from '../plan/index.ts'
import { type Place, type SolarDay, solarDay } from './sun.ts'

const HALF_HOUR_MS = 30 * MINUTE_MS

/** The parts of a span in which the sun is up, in time order. */
export function daylight(span: Span, place: Place): readonly Span[] {
  const days: SolarDay[] = []
  for (let at = span.start - DAY_MS; at < span.end + 2 * DAY_MS; at += DAY_MS)
    days.push(solarDay(asInstant(at), place))
  return days.flatMap((day, i) => {
    const before = days[i - 1]
    const after = days[i + 1]
    if (before === undefined || after === undefined || day.light === 'down') return []
    // From midnight to midnight by the sun. Near the polar day the library's rise and set may lie beyond.
    const midnights = { start: between(before.noon, day.noon), end: between(day.noon, after.noon) }
    const light =
      day.light === 'up'
        ? midnights
        : overlap(midnights, { start: day.light.rise, end: day.light.set })
    const part = overlap(light, span)
    return part.start < part.end ? [part] : []
  })
}

/** A span cut at the whole and half hours of UTC. */
export function halfHours(span: Span): readonly Span[] {
  const pieces: Span[] = []
  for (let start = span.start; start < span.end;) {
    const next = asInstant((Math.floor(start / HALF_HOUR_MS) + 1) * HALF_HOUR_MS)
    const end = earlier(next, span.end)
    pieces.push({ start, end })
    start = end
  }
  return pieces
}

/** The common part of two spans; reversed where they have none. */
export const overlap = (a: Span, b: Span): Span => ({
  start: later(a.start, b.start),
  end: earlier(a.end, b.end),
})

export const between = (a: Instant, b: Instant): Instant => asInstant((a + b) / 2)
