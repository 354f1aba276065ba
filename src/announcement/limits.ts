// What is entered without asking, what takes a person's yes, and what is never offered.

import type { Instant, Span } from '../plan/index.ts'
import { HOUR_MS } from '../plan/index.ts'
import { localDayOf } from './localTime.ts'

export type LimitWhy =
  | { readonly reason: 'in_the_past'; readonly start: Instant; readonly end: Instant }
  | { readonly reason: 'too_long'; readonly hours: number }
  | { readonly reason: 'too_short'; readonly minutes: number }
  | { readonly reason: 'too_far'; readonly days: number }

export type SettleContext = {
  readonly now: Instant
  readonly timeZone: string
  /** A person said yes: long and far-off events are meant. */
  readonly confirmed?: boolean
  /** It is only to be recognised, not entered: the past and its length do not matter. */
  readonly anyTime?: boolean
}

/** An event longer than this, or further ahead, is asked about; common practice, no source. */
export const MAX_EVENT_HOURS = 6
export const MAX_DAYS_AHEAD = 21
const MIN_EVENT_MINUTES = 5
/** What even a person's yes does not lift. */
export const CONFIRMED_HOURS = 24
export const CONFIRMED_DAYS = 366

/** Why a span is not entered without asking, or null. */
export function limitOf(span: Span, context: SettleContext): LimitWhy | null {
  const { now, timeZone, confirmed = false, anyTime = false } = context
  const hours = (span.end - span.start) / HOUR_MS
  if (hours * 60 < MIN_EVENT_MINUTES)
    return { reason: 'too_short', minutes: Math.round(hours * 60) }
  if (anyTime) return null
  if (span.end <= now) return { reason: 'in_the_past', start: span.start, end: span.end }
  const days = localDayOf(span.start, timeZone) - localDayOf(now, timeZone)
  if (days > (confirmed ? CONFIRMED_DAYS : MAX_DAYS_AHEAD)) return { reason: 'too_far', days }
  if (hours > (confirmed ? CONFIRMED_HOURS : MAX_EVENT_HOURS)) return { reason: 'too_long', hours }
  return null
}

/** What may be offered: entered at once, or with a yes. */
export const offered = (spans: readonly Span[], context: SettleContext): readonly Span[] => {
  const distinct = new Map(spans.map((span) => [`${span.start} ${span.end}`, span]))
  return [...distinct.values()].filter(
    (span) => limitOf(span, { ...context, confirmed: true }) === null,
  )
}
