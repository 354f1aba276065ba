// How much light comes from a clear sky on level ground, and how much of what comes is diffuse.

import { DAY_MS, type Instant } from '../plan/index.ts'

const DEGREE = Math.PI / 180

export const cosDeg = (degrees: number): number => Math.cos(degrees * DEGREE)
export const sinDeg = (degrees: number): number => Math.sin(degrees * DEGREE)

/** Global horizontal irradiance of a clear sky, W/m2, from the sun's apparent elevation: B. Haurwitz, J. Meteorology 2 (1945) 154-166 and 3 (1946) 123-124. */
export function clearSky(elevationDeg: number): number {
  const cosZenith = sinDeg(elevationDeg)
  return cosZenith <= 0 ? 0 : 1098 * cosZenith * Math.exp(-0.059 / cosZenith)
}

/** Irradiance outside the atmosphere, facing the sun, W/m2: Duffie and Beckman, 4th ed., eq. 1.4.1a. */
export function extraterrestrial(at: Instant): number {
  // Days since the start of a mean year: within a day of the calendar's, which is 0.06 % here.
  const day = (at / DAY_MS) % 365.2425
  return 1366.1 * (1 + 0.033 * Math.cos((2 * Math.PI * day) / 365.2425))
}

/**
 * The diffuse share of the global horizontal irradiance, 0 to 1: Erbs, Klein and Duffie, Solar Energy 28 (1982) 293-302,
 * eq. 1. Under an overcast sky it is nearly all. Wholly diffuse when the sun is under 3 degrees, where its fit does not reach.
 */
export function diffuseShare(globalWm2: number, elevationDeg: number, at: Instant): number {
  if (elevationDeg < 3) return 1
  const kt = Math.min(1, globalWm2 / (extraterrestrial(at) * sinDeg(elevationDeg)))
  if (kt <= 0.22) return 1 - 0.09 * kt
  if (kt > 0.8) return 0.165
  return 0.9511 - 0.1604 * kt + 4.388 * kt ** 2 - 16.638 * kt ** 3 + 12.336 * kt ** 4
}
