// A wall clock in a zone to instants, and back: the one resolver. It never picks in silence: a time
// that the clocks skip, or show twice, is told as such.

import { IANAZone } from 'luxon'
import type { Instant } from '../plan/index.ts'
import { DAY_MS, MINUTE_MS, asInstant } from '../plan/index.ts'
import { dateOf, dayNumber } from './calendarDay.ts'

export type LocalTime = {
  readonly year: number
  readonly month: number
  readonly day: number
  readonly hour: number
  readonly minute: number
}

export type Resolved =
  | { readonly kind: 'one'; readonly at: Instant }
  /** Skipped: `at` takes the offset before the gap (RFC 5545 §3.3.5); the clock then shows `shows`. It goes on at `opens`. */
  | {
      readonly kind: 'gap'
      readonly at: Instant
      readonly shows: LocalTime
      readonly opens: Instant
    }
  /** Shown twice; RFC 5545 §3.3.5 means the first. */
  | { readonly kind: 'fold'; readonly first: Instant; readonly second: Instant }

export type UnknownZone = { readonly kind: 'unknown-zone'; readonly zone: string }

/** Whether a name is an IANA zone that the platform knows; a bare offset is none. */
export const isKnownZone = (zone: string): boolean =>
  zone.length <= 64 && /^[A-Za-z]/.test(zone) && IANAZone.isValidZone(zone)

/** Minutes to add to UTC at an instant, east positive. The zone must be known. */
export const offsetMinutes = (at: Instant, zone: string): number => IANAZone.create(zone).offset(at)

/** What the clock on the wall shows at an instant. The zone must be known. */
export function localTimeOf(at: Instant, zone: string): LocalTime {
  const minutes = Math.floor(at / MINUTE_MS + offsetMinutes(at, zone))
  const day = Math.floor(minutes / 1440)
  const minuteOfDay = minutes - day * 1440
  return { ...dateOf(day), hour: Math.floor(minuteOfDay / 60), minute: minuteOfDay % 60 }
}

/** The local day of an instant, as a day number. */
export const localDayOf = (at: Instant, zone: string): number => dayNumber(localTimeOf(at, zone))

// The minute at which the offset becomes the one it has at `until`, by halving.
function changeBetween(from: Instant, until: Instant, zone: string): Instant {
  const offset = offsetMinutes(until, zone)
  let [before, after] = [Math.floor(from / MINUTE_MS), Math.ceil(until / MINUTE_MS)]
  while (after - before > 1) {
    const middle = Math.floor((before + after) / 2)
    if (offsetMinutes(asInstant(middle * MINUTE_MS), zone) === offset) after = middle
    else before = middle
  }
  return asInstant(after * MINUTE_MS)
}

/** The instants of a wall clock in a known zone; minutes count from the day's 00:00 on the clock and may run over into other days. */
export function resolveMinutes(day: number, minutes: number, zone: string): Resolved {
  const wall = day * DAY_MS + minutes * MINUTE_MS
  // Offsets lie within a day of UTC, and no zone changes its clocks twice in two days.
  const before = offsetMinutes(asInstant(wall - DAY_MS), zone)
  const after = offsetMinutes(asInstant(wall + DAY_MS), zone)
  const instants = [...new Set([before, after])]
    .map((offset) => ({ offset, at: asInstant(wall - offset * MINUTE_MS) }))
    .filter(({ offset, at }) => offsetMinutes(at, zone) === offset)
    .map(({ at }) => at)
    .sort((a, b) => a - b)
  const [first, second] = instants
  if (first === undefined) {
    const at = asInstant(wall - before * MINUTE_MS)
    const opens = changeBetween(asInstant(wall - after * MINUTE_MS), at, zone)
    return { kind: 'gap', at, shows: localTimeOf(at, zone), opens }
  }
  return second === undefined ? { kind: 'one', at: first } : { kind: 'fold', first, second }
}

/** Resolves a wall clock (RFC 5545 §3.3.5); an unknown zone is a refusal. */
export const resolveLocal = (local: LocalTime, zone: string): Resolved | UnknownZone =>
  isKnownZone(zone)
    ? resolveMinutes(dayNumber(local), local.hour * 60 + local.minute, zone)
    : { kind: 'unknown-zone', zone }
