// Reads the forecast between its breakpoints. It is straight between them, but for a charge taper,
// where the straight line is near enough for a drawing.

import type { Instant, Mode, Span, TrajectoryPoint } from '../plan/index.ts'

export type Level = { readonly socPct: number; readonly reservePct: number }

/**
 * Charge and reserve at an instant, per cent of capacity. Where two breakpoints share the instant
 * (a step of the reserve line) the first counts: what must be there before the step. Outside the
 * forecast its nearest end stands.
 */
export function levelAt(points: readonly TrajectoryPoint[], at: Instant): Level | null {
  const next = points.find((point) => point.at >= at) ?? points.at(-1)
  if (next === undefined) return null
  const before = points.findLast((point) => point.at < at)
  if (before === undefined || next.at <= before.at) return next
  const share = Math.min(1, (at - before.at) / (next.at - before.at))
  return {
    socPct: before.socPct + share * (next.socPct - before.socPct),
    reservePct: before.reservePct + share * (next.reservePct - before.reservePct),
  }
}

/** The intervals in one mode, neighbours joined. */
export function stretches(points: readonly TrajectoryPoint[], mode: Mode): Span[] {
  const spans: Span[] = []
  for (const [index, point] of points.entries()) {
    const next = points[index + 1]
    if (point.mode !== mode || next === undefined || next.at <= point.at) continue
    const last = spans.at(-1)
    if (last !== undefined && last.end === point.at)
      spans[spans.length - 1] = { start: last.start, end: next.at }
    else spans.push({ start: point.at, end: next.at })
  }
  return spans
}

/** The part of the forecast inside the span, with a breakpoint at either edge. */
export function within(points: readonly TrajectoryPoint[], span: Span): TrajectoryPoint[] {
  const inside = points.filter((point) => point.at >= span.start && point.at <= span.end)
  const edge = (at: Instant): TrajectoryPoint[] => {
    const before = points.findLast((point) => point.at < at)
    const after = points.find((point) => point.at > at)
    const level = levelAt(points, at)
    return before === undefined || after === undefined || level === null
      ? []
      : [{ ...level, at, mode: before.mode }]
  }
  const has = (at: Instant) => inside.some((point) => point.at === at)
  return [
    ...(has(span.start) ? [] : edge(span.start)),
    ...inside,
    ...(has(span.end) ? [] : edge(span.end)),
  ]
}
