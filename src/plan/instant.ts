// Instants, spans and durations. Epoch milliseconds everywhere; no calendar, no zone, no clock.

declare const instant: unique symbol

/** A point in time as epoch milliseconds; may be fractional inside a computation. */
export type Instant = number & { readonly [instant]: true }

/** From `start` up to, not including, `end`. */
export type Span = { readonly start: Instant; readonly end: Instant }

export const MINUTE_MS = 60_000
export const HOUR_MS = 3_600_000
export const DAY_MS = 86_400_000

export const asInstant = (ms: number): Instant => ms as Instant

export const hoursBetween = (from: Instant, to: Instant): number => (to - from) / HOUR_MS

export const hoursAfter = (at: Instant, hours: number): Instant => asInstant(at + hours * HOUR_MS)

export const minutesAfter = (at: Instant, minutes: number): Instant =>
  asInstant(at + minutes * MINUTE_MS)

export const earlier = (a: Instant, b: Instant): Instant => (a < b ? a : b)

export const later = (a: Instant, b: Instant): Instant => (a > b ? a : b)
