// Where a household is when nobody said: its time zone's principal place.

import type { Place } from './sun.ts'
import { ZONE_PLACES } from './zonePlaces.ts'

/** The principal place of an IANA zone, to the minute of arc; `null` for one without, such as `UTC`. A wide zone's edge may be hours of sun away. */
export function placeOf(timeZone: string): Place | null {
  const slash = timeZone.lastIndexOf('/') + 1
  const area = `\n@${timeZone.slice(0, slash)}\n`
  const from = ZONE_PLACES.indexOf(area)
  if (from < 0) return null
  const entries = ZONE_PLACES.slice(from + area.length).split('@', 1)[0] ?? ''
  const name = timeZone.slice(slash)
  const entry = entries
    .split(/\s+/)
    .find((each) => each.startsWith(name) && /^[+-]\d{4}[+-]\d{5}$/.test(each.slice(name.length)))
  if (entry === undefined) return null
  const iso6709 = entry.slice(name.length)
  return { latitude: degrees(iso6709.slice(0, 5)), longitude: degrees(iso6709.slice(5)) }
}

/** `+4439` and `-06336` as degrees. */
const degrees = (text: string): number => {
  const size = Number(text.slice(1, -2)) + Number(text.slice(-2)) / 60
  return text.startsWith('-') ? -size : size
}
