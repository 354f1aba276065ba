// Instants, sums over steps, and a second sun: what the tests of this folder share.

import { DateTime } from 'luxon'
import { type Instant, type Span, type Step, asInstant } from '../../src/plan/index.ts'
import type { Place } from '../../src/solar/index.ts'

export const at = (iso: string): Instant => asInstant(DateTime.fromISO(iso).toMillis())

/** A local day, from midnight to midnight. */
export const localDay = (date: string, timeZone: string): Span => {
  const midnight = DateTime.fromISO(date, { zone: timeZone })
  return {
    start: asInstant(midnight.toMillis()),
    end: asInstant(midnight.plus({ days: 1 }).toMillis()),
  }
}

export const kwAt = (steps: readonly Step[], instant: Instant): number =>
  steps.findLast((step) => step.start <= instant)?.kw ?? NaN

export const kwhIn = (steps: readonly Step[], { start, end }: Span): number =>
  steps.reduce((sum, step, i) => {
    const until = Math.min(steps[i + 1]?.start ?? Infinity, end)
    const from = Math.max(step.start, start)
    return sum + (until > from ? (step.kw * (until - from)) / 3_600_000 : 0)
  }, 0)

/**
 * The sun's true elevation, degrees: the Astronomical Almanac's low-precision formula (Michalsky, Solar Energy 40 (1988)
 * 227-235), good to 0.011 degrees against the SPA. Without refraction.
 */
export function almanacElevation(instant: number, { latitude, longitude }: Place): number {
  const rad = Math.PI / 180
  const n = instant / 86_400_000 + 2440587.5 - 2451545
  const g = (357.528 + 0.9856003 * n) * rad
  const lambda = (280.46 + 0.9856474 * n + 1.915 * Math.sin(g) + 0.02 * Math.sin(2 * g)) * rad
  const obliquity = (23.439 - 4e-7 * n) * rad
  const declination = Math.asin(Math.sin(obliquity) * Math.sin(lambda))
  const ascension = Math.atan2(Math.cos(obliquity) * Math.sin(lambda), Math.cos(lambda))
  const hours = (((instant / 3_600_000) % 24) + 24) % 24
  const hourAngle = 15 * (6.697375 + 0.0657098242 * n + hours) * rad + longitude * rad - ascension
  return (
    Math.asin(
      Math.sin(latitude * rad) * Math.sin(declination) +
        Math.cos(latitude * rad) * Math.cos(declination) * Math.cos(hourAngle),
    ) / rad
  )
}
