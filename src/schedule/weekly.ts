// Patterns of the week, on a household's own clock, as spans on the timeline. A pattern begins when the clock first
// comes to its time, and ends when the clock last does: over a change of the clocks it is rather too long than too short.

import { DAY_MS, MINUTE_MS, type Span } from '../plan/index.ts'
import { type Stretch, firstAt, lastAt, stretchesOf, wallAt } from './clock.ts'
import { mergedSpans, spansWithin } from './spans.ts'

/** A pattern of the week on the household's own clock: days by ISO number (1 Monday to 7 Sunday), times `HH:MM`; over midnight where `until` is not later than `from`. */
export type Weekly = {
  readonly days: readonly number[]
  readonly from: string
  readonly until: string
}

export const EVERY_DAY: readonly number[] = [1, 2, 3, 4, 5, 6, 7]

/** The spans of some patterns within a span, merged and in time order. The zone must be known. */
export function weeklySpans(
  patterns: readonly Weekly[],
  timeZone: string,
  within: Span,
): readonly Span[] {
  if (patterns.length === 0 || within.start >= within.end) return []
  const stretches = stretchesOf(timeZone, within)
  const spans = patterns.flatMap((pattern) => eachSpan(pattern, stretches, within))
  return mergedSpans(spansWithin(spans, within))
}

function eachSpan({ days, from, until }: Weekly, stretches: readonly Stretch[], within: Span) {
  const starts = minutesOf(from) * MINUTE_MS
  const ends = minutesOf(until) * MINUTE_MS
  const length = ends > starts ? ends - starts : ends - starts + DAY_MS
  const spans: Span[] = []
  const last = Math.floor(wallAt(stretches, within.end) / DAY_MS)
  // One that began the day before may last into the span.
  for (let day = Math.floor(wallAt(stretches, within.start) / DAY_MS) - 1; day <= last; day++) {
    if (!days.includes(isoWeekday(day))) continue
    const wall = day * DAY_MS + starts
    spans.push({ start: firstAt(stretches, wall), end: lastAt(stretches, wall + length) })
  }
  return spans
}

/** Of a day counted from 1 January 1970, a Thursday. */
const isoWeekday = (day: number): number => ((((day + 3) % 7) + 7) % 7) + 1

function minutesOf(clock: string): number {
  const [hour = 0, minute = 0] = clock.split(':').map(Number)
  return 60 * hour + minute
}
