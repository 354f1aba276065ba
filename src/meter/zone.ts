// A zone's clock over a stretch of time. The offsets are looked up once a day and then found by search, because
// the platform's own conversion is too slow for every row of a file.

import { IANAZone } from 'luxon'
import type { Instant } from '../plan/index.ts'
import { DAY_MS, MINUTE_MS, asInstant } from '../plan/index.ts'

/** From `at` on the clock stands `offset` minutes before UTC's; the first one holds from ever. */
type Shift = { readonly at: number; readonly offset: number }

export type Change = { readonly at: Instant; readonly before: number; readonly after: number }

export type ZoneClock = {
  /** Minutes to add to UTC at an instant, east positive. */
  offsetAt(at: number): number
  /** What the clock shows, as minutes since 1970-01-01 00:00 of that clock. */
  wallAt(at: number): number
  /** The instants at which the clock shows a minute: none where it is skipped, two where it comes twice. */
  instantsOf(wall: number): readonly Instant[]
  /** Where the clock is put forward or back. */
  readonly changes: readonly Change[]
  /** The offset without summer time: the least of those in use. */
  readonly standard: number
}

/** Whether a name is an IANA zone that the platform knows; a bare offset is none. */
export const isKnownZone = (zone: string): boolean =>
  zone.length <= 64 && /^[A-Za-z]/.test(zone) && IANAZone.isValidZone(zone)

/** The clock of a known zone from two days before `from` to two days after `until`, epoch milliseconds. */
export function zoneClock(timeZone: string, from: number, until: number): ZoneClock {
  const zone = IANAZone.create(timeZone)
  const shifts = shiftsOf(zone, from - 2 * DAY_MS, until + 2 * DAY_MS)
  // A year around the data tells standard time from summer time.
  const year = Array.from({ length: 12 }, (_, month) => zone.offset(from + month * 30 * DAY_MS))
  const offsetAt = (at: number): number => {
    let low = 0
    let high = shifts.length - 1
    while (low < high) {
      const middle = (low + high + 1) >> 1
      if ((shifts[middle]?.at ?? Infinity) <= at) low = middle
      else high = middle - 1
    }
    return shifts[low]?.offset ?? 0
  }
  const offsets = [...new Set(shifts.map(({ offset }) => offset))]
  return {
    offsetAt,
    wallAt: (at) => at / MINUTE_MS + offsetAt(at),
    instantsOf: (wall) =>
      offsets
        .map((offset) => asInstant((wall - offset) * MINUTE_MS))
        .filter((at) => offsetAt(at) === wall - at / MINUTE_MS)
        .sort((a, b) => a - b),
    changes: shifts.slice(1).map(({ at, offset }, i) => ({
      at: asInstant(at),
      before: shifts[i]?.offset ?? offset,
      after: offset,
    })),
    standard: Math.min(...year, ...offsets),
  }
}

function shiftsOf(zone: IANAZone, from: number, until: number): readonly Shift[] {
  const shifts: Shift[] = [{ at: -Infinity, offset: zone.offset(from) }]
  for (let day = from; day < until; day += DAY_MS) {
    const offset = zone.offset(day + DAY_MS)
    const before = shifts[shifts.length - 1]?.offset
    if (offset !== before) shifts.push({ at: changeBetween(zone, day, day + DAY_MS), offset })
  }
  return shifts
}

/** The minute of a change that lies in a day. */
function changeBetween(zone: IANAZone, from: number, until: number): number {
  const before = zone.offset(from)
  let low = Math.floor(from / MINUTE_MS)
  let high = Math.ceil(until / MINUTE_MS)
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (zone.offset(middle * MINUTE_MS) === before) low = middle
    else high = middle
  }
  return high * MINUTE_MS
}
