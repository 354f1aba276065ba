// The half-hours of the local clock over a span: where past days are laid over the time to come.

import { IANAZone } from 'luxon'
import { DAY_MS, type HalfHour, MINUTE_MS, type Span, asInstant } from '../plan/index.ts'

const HALF_HOUR_MS = 30 * MINUTE_MS

/** The local calendar's day at an instant, counted from 1970-01-01. The zone must be known. */
export const localDay = (timeZone: string, at: number): number =>
  Math.floor(localMs(IANAZone.create(timeZone), at) / DAY_MS)

const localMs = (zone: IANAZone, at: number): number => at + zone.offset(at) * MINUTE_MS

/** Every half-hour that the span touches. On a day of 23 hours two are passed over, on one of 25 two come again. */
export function halfHoursOf(timeZone: string, { start, end }: Span): readonly HalfHour[] {
  const zone = IANAZone.create(timeZone)
  const first = start - (((localMs(zone, start) % HALF_HOUR_MS) + HALF_HOUR_MS) % HALF_HOUR_MS)
  const count = Math.ceil((end - first) / HALF_HOUR_MS)
  return Array.from({ length: count }, (_, i) => {
    const at = asInstant(first + i * HALF_HOUR_MS)
    const local = localMs(zone, at)
    const day = Math.floor(local / DAY_MS)
    return { start: at, day, half: Math.floor((local - day * DAY_MS) / HALF_HOUR_MS) }
  })
}
