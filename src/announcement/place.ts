// Hours on a local day to spans: one, or several where the clocks skip or repeat a time.

import type { Instant, Span } from '../plan/index.ts'
import { MINUTE_MS, asInstant } from '../plan/index.ts'
import type { Hours } from './halves.ts'
import type { LocalTime, Resolved } from './localTime.ts'
import { resolveMinutes } from './localTime.ts'

export type Placed =
  | { readonly kind: 'one'; readonly span: Span }
  | { readonly kind: 'gap'; readonly shows: LocalTime; readonly spans: readonly Span[] }
  | { readonly kind: 'fold'; readonly spans: readonly Span[] }

const instantsOf = (resolved: Resolved): readonly Instant[] =>
  resolved.kind === 'fold' ? [resolved.first, resolved.second] : [resolved.at]

/** All spans from a start to an end (or for so many minutes); `nominal` is the length by the wall clock. */
export function spansOf(start: Resolved, end: Resolved | number, nominal: number): Placed {
  const starts = instantsOf(start)
  const pairs = starts.flatMap((from) =>
    (typeof end === 'number' ? [asInstant(from + end * MINUTE_MS)] : instantsOf(end)).map(
      (until) => ({ start: from, end: until }),
    ),
  )
  const other = typeof end === 'number' ? null : end
  const gap = start.kind === 'gap' ? start : other?.kind === 'gap' ? other : null
  if (gap !== null) {
    const kept = starts.map((from) => ({
      start: from,
      end: asInstant(from + nominal * MINUTE_MS),
    }))
    // `01:30-02:30` where the clocks go from 01:00 to 02:00: or only what there is of it.
    const left =
      start.kind === 'gap' && other !== null && other.kind !== 'gap'
        ? instantsOf(other).map((until) => ({ start: start.opens, end: until }))
        : []
    return { kind: 'gap', shows: gap.shows, spans: [...pairs, ...kept, ...left] }
  }
  const [only] = pairs
  return only === undefined || pairs.length > 1
    ? { kind: 'fold', spans: pairs }
    : { kind: 'one', span: only }
}

export const place = (day: number, hours: Hours, length: number | null, zone: string): Placed =>
  spansOf(
    resolveMinutes(day, hours.start, zone),
    length ?? resolveMinutes(day, hours.end, zone),
    hours.end - hours.start,
  )

export const spansPlaced = (placed: Placed): readonly Span[] =>
  placed.kind === 'one' ? [placed.span] : placed.spans
