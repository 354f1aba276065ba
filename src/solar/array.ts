// What an array gives under a sky: light on its plane, then power. A forecast of one dull or clear sky, not of the weather.

import type { Instant } from '../plan/index.ts'
import { clearSky, cosDeg, diffuseShare, sinDeg } from './sky.ts'
import type { Place, SunPosition } from './sun.ts'

export type SolarArray = Place & {
  /** Rated power, kW. */
  readonly kwp: number
  /** From level, degrees. */
  readonly tiltDeg: number
  /** Which way it faces, from north, clockwise, degrees. */
  readonly azimuthDeg: number
}

/** PVWatts' default losses together (soiling 2 %, shading 3, mismatch 2, wiring 2, …): its version 5 manual, NREL/TP-6A20-62641. */
export const LOSSES = 0.14075660688264469

/** The inverter's nominal efficiency, and the one its curve was made for: the same manual. */
const NOMINAL = 0.96
const REFERENCE = 0.9637

/** The cosine of the angle between the sun and the plane's normal; negative when the sun is behind it. */
export const incidence = (
  { tiltDeg, azimuthDeg }: Pick<SolarArray, 'tiltDeg' | 'azimuthDeg'>,
  sun: SunPosition,
): number =>
  cosDeg(tiltDeg) * sinDeg(sun.elevationDeg) +
  sinDeg(tiltDeg) * cosDeg(sun.elevationDeg) * cosDeg(sun.azimuthDeg - azimuthDeg)

/**
 * Irradiance on the plane, W/m2, when the sky lets through a share of the clear sky's light: direct light by its angle,
 * diffuse light as from an evenly bright sky (Liu and Jordan, Solar Energy 7 (1963) 53-74), none from the ground.
 */
export function onPlane(
  array: SolarArray,
  sun: SunPosition,
  at: Instant,
  clearSkyShare: number,
): number {
  const level = clearSkyShare * clearSky(sun.elevationDeg)
  if (level <= 0) return 0
  const diffuse = level * diffuseShare(level, sun.elevationDeg, at)
  const direct = ((level - diffuse) * Math.max(0, incidence(array, sun))) / sinDeg(sun.elevationDeg)
  return direct + (diffuse * (1 + cosDeg(array.tiltDeg))) / 2
}

/** DC power of an array, kW, losses taken off; its cells at 25 degrees, which a dull sky does not take them far over. */
export const dcKw = (kwp: number, irradianceWm2: number): number =>
  ((kwp * irradianceWm2) / 1000) * (1 - LOSSES)

/** AC power, kW, of an inverter rated `ratedKw`: the same manual's curve. */
export function acKw(dc: number, ratedKw: number, nominal = NOMINAL): number {
  const load = dc / (ratedKw / nominal)
  if (!(load > 0)) return 0
  const efficiency = (nominal / REFERENCE) * (-0.0162 * load - 0.0059 / load + 0.9858)
  return Math.min(ratedKw, Math.max(0, efficiency * dc))
}
