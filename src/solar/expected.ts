// The solar power expected ahead, as steps for the planner. Meant to be less than will come: what is not counted on is no loss.

import { DateTime } from 'luxon'
import { type Span, type Step, asInstant, hoursBetween } from '../plan/index.ts'
import { type SolarArray, acKw, dcKw, onPlane } from './array.ts'
import { between, daylight, halfHours, overlap } from './daylight.ts'
import { placeOf } from './place.ts'
import { clearSky } from './sky.ts'
import { type Place, sunAt } from './sun.ts'

/** A day's energy that somebody typed, kWh; its place is the zone's own where none is given. */
export type TypedDay = { readonly kwhPerDay: number; readonly place?: Place }

export type SolarSource = TypedDay | SolarArray

export type SolarOptions = {
  /** The share of the clear sky's light that is counted on, 0 to 1; only for an array. */
  readonly clearSkyShare?: number
  /** The solar inverter's limit, kW on the AC side; only for an array. */
  readonly inverterKw?: number
}

/**
 * What a dull day gives. A wholly overcast sky lets through a quarter of the clear sky's light on average
 * (Kasten and Czeplak, Solar Energy 24 (1980) 177-189: `1 - 0.75 (N/8)^3.4` with N = 8), rain clouds less;
 * that 0.15 is the right caution is common practice, no source.
 */
export const DULL_SKY = 0.15

type Power = Span & { readonly kw: number }

/**
 * Half-hourly steps, kW, over a span: exactly none before sunrise, after sunset and from the span's end on. A typed energy is
 * spread over each local day as a clear sky would, and sums to what was typed; in the polar night it comes to nothing. An array
 * gives what a sky of `clearSkyShare` would, at most its own size and the inverter's limit. The zone must be known; without a
 * place (`UTC`, say, and an energy typed) nothing is counted on.
 */
export function expectedSolar(
  source: SolarSource,
  span: Span,
  timeZone: string,
  options: SolarOptions = {},
): readonly Step[] {
  const place = placeFor(source, timeZone)
  if (place === null) return stepsOf([], span)
  const powers = localDays(span, timeZone).flatMap((day) => {
    const pieces = daylight(day, place).flatMap(halfHours)
    return 'kwhPerDay' in source
      ? typedPowers(source.kwhPerDay, pieces, place)
      : arrayPowers(source, pieces, options)
  })
  return stepsOf(powers, span)
}

const placeFor = (source: SolarSource, timeZone: string): Place | null =>
  'kwhPerDay' in source ? (source.place ?? placeOf(timeZone)) : source

function typedPowers(kwh: number, pieces: readonly Span[], place: Place): readonly Power[] {
  const weights = pieces.map(
    ({ start, end }) =>
      clearSky(sunAt(between(start, end), place).elevationDeg) * hoursBetween(start, end),
  )
  const whole = weights.reduce((sum, weight) => sum + weight, 0)
  if (whole === 0) return []
  return pieces.map((piece, i) => ({
    ...piece,
    kw: (kwh * (weights[i] ?? 0)) / whole / hoursBetween(piece.start, piece.end),
  }))
}

function arrayPowers(
  array: SolarArray,
  pieces: readonly Span[],
  { clearSkyShare = DULL_SKY, inverterKw = Infinity }: SolarOptions,
): readonly Power[] {
  return pieces.map((piece) => {
    const middle = between(piece.start, piece.end)
    const light = onPlane(array, sunAt(middle, array), middle, clearSkyShare)
    return { ...piece, kw: acKw(dcKw(array.kwp, light), Math.min(array.kwp, inverterKw)) }
  })
}

/** The local days that a span touches, of 23 to 25 hours. */
function localDays({ start, end }: Span, timeZone: string): readonly Span[] {
  const days: Span[] = []
  let first = DateTime.fromMillis(start, { zone: timeZone }).startOf('day')
  while (first.toMillis() < end) {
    const next = first.plus({ days: 1 }).startOf('day')
    days.push({ start: asInstant(first.toMillis()), end: asInstant(next.toMillis()) })
    first = next
  }
  return days
}

/** Steps only where the power changes, with none between the powers and at the end of the span. */
function stepsOf(powers: readonly Power[], span: Span): readonly Step[] {
  const steps: Step[] = []
  const add = (step: Step) => {
    if (steps.at(-1)?.start === step.start) steps.pop()
    if (steps.at(-1)?.kw !== step.kw) steps.push(step)
  }
  add({ start: span.start, kw: 0 })
  for (const power of powers) {
    const { start, end } = overlap(power, span)
    if (start >= end) continue
    add({ start, kw: power.kw })
    add({ start: end, kw: 0 })
  }
  return steps
}
