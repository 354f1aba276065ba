// Sets of instants as spans: what several people have in common, and what any of them takes.

import { type Instant, type Span, asInstant, earlier, later } from '../plan/index.ts'

/** Spans that overlap or touch become one; in time order, empty ones left out. */
export function mergedSpans(spans: readonly Span[]): readonly Span[] {
  const merged: Span[] = []
  for (const span of spans.toSorted((a, b) => a.start - b.start)) {
    if (span.start >= span.end) continue
    const last = merged.at(-1)
    if (last !== undefined && span.start <= last.end)
      merged[merged.length - 1] = { start: last.start, end: later(last.end, span.end) }
    else merged.push(span)
  }
  return merged
}

/** What of the spans lies within another one. */
export const spansWithin = (spans: readonly Span[], { start, end }: Span): readonly Span[] =>
  spans
    .map((span) => ({ start: later(span.start, start), end: earlier(span.end, end) }))
    .filter((span) => span.start < span.end)

/** What all the sets have in common, each of them merged; of no set, nothing. */
export const commonSpans = (sets: readonly (readonly Span[])[]): readonly Span[] =>
  sets.length === 0 ? [] : sets.reduce(common)

function common(one: readonly Span[], other: readonly Span[]): readonly Span[] {
  const both: Span[] = []
  let [i, j] = [0, 0]
  for (let a = one[i], b = other[j]; a !== undefined && b !== undefined;) {
    const span = { start: later(a.start, b.start), end: earlier(a.end, b.end) }
    if (span.start < span.end) both.push(span)
    if (a.end <= b.end) a = one[++i]
    else b = other[++j]
  }
  return both
}

/** What of the spans is in none of the others; both merged. */
export function spansWithout(spans: readonly Span[], others: readonly Span[]): readonly Span[] {
  const start = asInstant(-Infinity)
  const gaps = [...others, { start: asInstant(Infinity), end: asInstant(Infinity) }].map(
    (other, i) => ({ start: others[i - 1]?.end ?? start, end: other.start }),
  )
  return common(spans, gaps)
}

/** The span that an instant lies in; spans end before their end. */
export const spanAt = (spans: readonly Span[], at: Instant): Span | null =>
  spans.find(({ start, end }) => start <= at && at < end) ?? null

/** The last whole millisecond up to `at` that is in none of the merged spans. */
export const lastOutside = (spans: readonly Span[], at: Instant): Instant => {
  const span = spanAt(spans, at)
  return span === null ? at : asInstant(span.start - 1)
}

/** The first instant from `at` on that is in none of the merged spans. */
export const firstOutside = (spans: readonly Span[], at: Instant): Instant =>
  spanAt(spans, at)?.end ?? at
