// Where the sun stands, and when it rises, is highest and sets: the library's figures as instants and degrees.
// The one file that builds a Date.

import { getPosition, getTimes } from 'suncalc'
import { DAY_MS, type Instant, asInstant } from '../plan/index.ts'

/** Degrees, north and east positive. */
export type Place = { readonly latitude: number; readonly longitude: number }

/** Degrees: above the horizon as seen (refraction included); from north, clockwise. */
export type SunPosition = { readonly elevationDeg: number; readonly azimuthDeg: number }

/** The solar day around an instant: `up` the whole of it, `down` the whole of it, or between two instants. */
export type SolarDay = {
  readonly noon: Instant
  readonly light: 'up' | 'down' | { readonly rise: Instant; readonly set: Instant }
}

// The library takes a Date. It reads the epoch milliseconds out of it and neither a clock nor a zone.
// oxlint-disable-next-line no-restricted-globals
const dateOf = (at: Instant) => new Date(at)

const instantOf = (date: { getTime(): number }): Instant => asInstant(date.getTime())

/** About 0.08 degrees at most from the true place (the library's own statement). */
export function sunAt(at: Instant, { latitude, longitude }: Place): SunPosition {
  const { altitude, azimuth } = getPosition(dateOf(at), latitude, longitude)
  return { elevationDeg: altitude, azimuthDeg: azimuth }
}

/** The elevation as seen at which the library lets the sun rise and set: its radius under the horizon. */
const ON_HORIZON = -0.35

/** Rise and set of the sun's upper edge at a sea horizon, to about 15 seconds (the library's own statement). */
export function solarDay(at: Instant, place: Place): SolarDay {
  const { latitude, longitude } = place
  const { solarNoon, sunrise, sunset, alwaysUp } = getTimes(dateOf(at), latitude, longitude)
  const noon = instantOf(solarNoon)
  if (sunrise === null || sunset === null) return { noon, light: alwaysUp === true ? 'up' : 'down' }
  // In a night in which the sun only just sets, the library may be hours off: the light is then taken from or to midnight.
  const trusted = (edge: Instant, midnight: number) =>
    Math.abs(sunAt(edge, place).elevationDeg - ON_HORIZON) < 0.25 ? edge : asInstant(midnight)
  return {
    noon,
    light: {
      rise: trusted(instantOf(sunrise), noon - DAY_MS / 2),
      set: trusted(instantOf(sunset), noon + DAY_MS / 2),
    },
  }
}
