// When a person's hands can touch the inverter (model §5).

import { type Instant, type Span, asInstant, later } from './instant.ts'

const coveredBy = (outOfReach: readonly Span[], at: Instant): Span | undefined =>
  outOfReach.find((span) => span.start <= at && at < span.end)

/** The last reachable instant from `from` up to `at`; `null` if there is none. */
export function lastReachable(
  outOfReach: readonly Span[],
  from: Instant,
  at: Instant,
): Instant | null {
  let reachable = at
  for (let span = coveredBy(outOfReach, reachable); span; span = coveredBy(outOfReach, reachable)) {
    // The millisecond before hands are gone; at the very start of time that is none.
    reachable = asInstant(span.start - 1)
    if (reachable < from) return null
  }
  return reachable < from ? null : reachable
}

/** The first reachable instant from `at` up to `until`; `null` if there is none. */
export function firstReachable(
  outOfReach: readonly Span[],
  at: Instant,
  until: Instant,
): Instant | null {
  let reachable = at
  for (let span = coveredBy(outOfReach, reachable); span; span = coveredBy(outOfReach, reachable))
    reachable = later(reachable, span.end)
  return reachable > until ? null : reachable
}
