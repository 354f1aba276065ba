// Which stretch of time the picture shows.

import type { EventPlan, Instant, Plan, Span } from '../plan/index.ts'
import { HOUR_MS, asInstant } from '../plan/index.ts'

// A day and a half still leaves an hour's event wide enough to be seen on a phone.
const LONGEST_MS = 36 * HOUR_MS
const BEFORE_FIRST_MS = 8 * HOUR_MS

const firstAct = (event: EventPlan): Instant =>
  asInstant(
    Math.min(event.holdBy ?? event.start, event.topUp?.from ?? event.start, event.releaseAt),
  )

/**
 * From the beginning of the forecast to the end of the last event within a day and a half. When even the first
 * event is further off, it begins a few hours before the first thing to do. `null` when there is nothing to draw.
 */
export function frame(plan: Plan): Span | null {
  const [first] = plan.events
  const begin = plan.trajectory[0]?.at
  const last = plan.trajectory.at(-1)?.at
  if (first === undefined || begin === undefined || last === undefined || last <= begin) return null
  const near = first.end - begin <= LONGEST_MS
  const start = near ? begin : asInstant(Math.max(begin, firstAct(first) - BEFORE_FIRST_MS))
  const shown = plan.events.filter((event) => event.end - start <= LONGEST_MS)
  const end = Math.max(first.end, ...shown.map((event) => event.end))
  return start < end ? { start, end: asInstant(end) } : null
}
