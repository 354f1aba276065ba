// Placed intervals to a series: in order, on one grid, none twice, gaps kept as gaps.

import { MINUTE_MS, asInstant } from '../plan/index.ts'
import { INTERVAL_MINUTES, MOST_KW, MOST_YEARS } from './limits.ts'
import { type Step, noted, refuseFile } from './stop.ts'
import type { Duplicate, Gap, Interval, MeterReading, SkippedRow } from './types.ts'

export type Placed = { readonly at: number; readonly wh: number; readonly line: number }

export type Settled = Pick<
  Extract<MeterReading, { kind: 'understood' }>,
  'series' | 'gaps' | 'duplicates' | 'skippedRows'
>

const YEAR_MINUTES = 365.25 * 1440

/** The distinct times in order, if they are enough and not of too many years. Times in minutes. */
export function boundSpan(times: readonly number[]): Step<readonly number[]> {
  const sorted = [...new Set(times)].sort((a, b) => a - b)
  if (sorted.length < 2) return refuseFile({ reason: 'too_few_rows', rows: sorted.length })
  const years = ((sorted.at(-1) ?? 0) - (sorted[0] ?? 0)) / YEAR_MINUTES
  return years > MOST_YEARS
    ? refuseFile({ reason: 'too_long', years: Math.round(years), mostYears: MOST_YEARS })
    : { ok: true, value: sorted }
}

/** The commonest step between times, if a meter could have it. Times in minutes, in any order. */
export function stepOf(times: readonly number[]): Step<number> {
  const span = boundSpan(times)
  if (!span.ok) return span
  const sorted = span.value
  const counts = new Map<number, number>()
  for (const [i, time] of sorted.entries()) {
    const step = time - (sorted[i - 1] ?? time)
    if (step > 0) counts.set(step, (counts.get(step) ?? 0) + 1)
  }
  const [step, count] = [...counts].reduce((a, b) => (b[1] > a[1] ? b : a))
  const isRegular = INTERVAL_MINUTES.includes(step) && count >= (sorted.length - 1) / 2
  return isRegular
    ? { ok: true, value: step }
    : refuseFile({
        reason: 'interval_length',
        minutes: count >= (sorted.length - 1) / 2 ? step : null,
      })
}

export function settle(
  placed: readonly Placed[],
  minutes: number,
  before: readonly SkippedRow[],
): Settled {
  const length = minutes * MINUTE_MS
  const skipped = [...before]
  const phases = new Map<number, number>()
  for (const { at } of placed) phases.set(at % length, (phases.get(at % length) ?? 0) + 1)
  const phase = [...phases].reduce((a, b) => (b[1] > a[1] ? b : a), [0, 0])[0]
  const intervals: Interval[] = []
  const gaps: Gap[] = []
  const different: Duplicate[] = []
  let equal = 0
  // A stable sort, so that of two the first in the file comes first.
  for (const { at, wh, line } of placed.toSorted((a, b) => a.at - b.at)) {
    const skip = (reason: SkippedRow['reason']) =>
      skipped.push({ line, reason, text: `${Math.round(wh * 10) / 10} Wh` })
    const last = intervals.at(-1)
    if (at % length !== phase) skip('off-grid')
    else if (Math.abs(wh) > (MOST_KW * 1000 * minutes) / 60) skip('implausible')
    else if (last?.start === at) {
      if (last.wh === wh) equal += 1
      else different.push({ at: last.start, keptWh: last.wh, otherWh: wh })
    } else {
      const due = last === undefined ? at : last.start + length
      if (at > due) gaps.push({ start: asInstant(due), end: asInstant(at) })
      intervals.push({ start: asInstant(at), wh })
    }
  }
  return {
    series: { minutes, intervals },
    gaps: noted(gaps),
    duplicates: { equal, different: noted(different) },
    skippedRows: noted(skipped.sort((a, b) => a.line - b.line)),
  }
}

/** A register counts up for ever: it never falls, and stands far above what it gains in an interval. Oldest first. */
export function isRegister(values: readonly number[]): boolean {
  const first = values[0]
  const last = values.at(-1)
  if (first === undefined || last === undefined || values.length < 48) return false
  const gained = last - first
  return (
    gained > 0 &&
    first > (20 * gained) / values.length &&
    values.every((value, i) => value >= (values[i - 1] ?? value))
  )
}
