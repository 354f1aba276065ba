// Stored energy over time as legs that each follow one curve: walked forward from what is there, or back
// from what must be there. Crossings are solved, never searched by stepping through time.

import {
  type Curve,
  STILL,
  type Use,
  floorKwh,
  hoursUntil,
  kwhAfter,
  motion,
  rateAt,
} from './battery.ts'
import { type Instant, type Span, asInstant, earlier, hoursAfter, hoursBetween } from './instant.ts'
import type { Piece } from './net.ts'
import type { Battery } from './types.ts'

/** One curve from `start` to `end`; `kwh` is the energy at `start`. */
export type Leg = Span & { readonly kwh: number; readonly curve: Curve }

/** Legs in time order, without gaps. The energy may jump where a margin is added. */
export type Line = readonly Leg[]

/** Under this, energy counts as none, kWh: a rounding hair, not a watt-hour. */
export const HAIR_KWH = 1e-9

export const legKwhAt = (leg: Leg, at: Instant): number =>
  kwhAfter(leg.curve, leg.kwh, hoursBetween(leg.start, at))

/** The energy at an instant; at a jump, the value after it. Before and after the line, its ends. */
export function kwhAt(line: Line, at: Instant): number {
  const leg = line.findLast((each) => each.start <= at) ?? line[0]
  return leg === undefined ? 0 : legKwhAt(leg, at < leg.start ? leg.start : earlier(at, leg.end))
}

/** The energy at the line's end. */
export const lastKwh = (line: Line, otherwise: number): number => {
  const leg = line.at(-1)
  return leg === undefined ? otherwise : legKwhAt(leg, leg.end)
}

/** The part of a line from an instant on. */
export const lineFrom = (line: Line, at: Instant): Line =>
  line
    .filter((leg) => leg.end > at)
    .map((leg) => (leg.start >= at ? leg : { ...leg, start: at, kwh: legKwhAt(leg, at) }))

/** The part of a line up to an instant. */
export const lineUntil = (line: Line, at: Instant): Line =>
  line.filter((leg) => leg.start < at).map((leg) => (leg.end <= at ? leg : { ...leg, end: at }))

/** Walks forward through the pieces from `kwh`, in one use. */
export function walkForward(
  battery: Battery,
  use: Use,
  pieces: readonly Piece[],
  kwh: number,
): Line {
  const legs: Leg[] = []
  for (const piece of pieces) {
    let at = piece.start
    while (at < piece.end) {
      const { curve: moving, low, high } = motion(battery, use, piece.kw, kwh, 1)
      const bound = rateAt(moving, kwh) > 0 ? high : low
      // Levels so close that rounding cannot tell them apart: nothing moves between them.
      const curve = kwh === bound ? STILL : moving
      const end = earlier(piece.end, hoursAfter(at, hoursUntil(curve, kwh, bound)))
      if (end > at) legs.push({ start: at, end, kwh, curve })
      // Landing on the level itself keeps rounding from hanging just beside it.
      kwh = end < piece.end ? bound : kwhAfter(curve, kwh, hoursBetween(at, end))
      at = end
    }
  }
  return legs
}

/**
 * Walks back through the pieces from the `kwh` that must be there at their end: the least energy that has to be
 * there before (model §2). Never under the floor, never over `ceiling`.
 */
export function walkBack(
  battery: Battery,
  use: 'serve' | 'hold' | 'fill',
  pieces: readonly Piece[],
  kwh: number,
  ceiling: number,
  floor = floorKwh(battery),
): Line {
  const legs: Leg[] = []
  for (const piece of pieces.toReversed()) {
    let at = piece.end
    while (at > piece.start) {
      const { curve, low, high } = motion(battery, use, piece.kw, kwh, -1)
      const rising = rateAt(curve, kwh) < 0
      const bound = rising ? Math.min(high, ceiling) : Math.max(low, floor)
      const stuck = kwh === bound || (rising ? kwh >= ceiling : kwh <= floor)
      const along = stuck ? STILL : curve
      const hours = stuck ? -Infinity : -Math.abs(hoursUntil(curve, kwh, bound))
      const start = asInstant(Math.max(piece.start, hoursAfter(at, hours)))
      const before = start > piece.start ? bound : kwhAfter(along, kwh, hoursBetween(at, start))
      if (start < at) prepend(legs, { start, end: at, kwh: before, curve: along })
      kwh = before
      at = start
    }
  }
  return legs.toReversed()
}

/** Adds a leg before the last one added; straight on, it becomes part of that one. */
function prepend(legs: Leg[], leg: Leg): void {
  const next = legs.at(-1)
  const straight =
    next?.curve.kind === 'line' && leg.curve.kind === 'line' && next.curve.rate === leg.curve.rate
  if (straight) legs[legs.length - 1] = { ...leg, end: next.end }
  else legs.push(leg)
}

/**
 * The last instant up to which `upper` has not been under `lower`; `null` if it never is. Both lines cover the
 * same time. Lines that run on each other, as at the floor, are not under.
 */
export function lastNotUnder(upper: Line, lower: Line): Instant | null {
  let i = 0
  let j = 0
  while (i < upper.length && j < lower.length) {
    const a = upper[i] as Leg
    const b = lower[j] as Leg
    const start = asInstant(Math.max(a.start, b.start))
    const end = earlier(a.end, b.end)
    if (end > start) {
      const at = underWithin(a, b, start, end)
      if (at !== null) return at
    }
    if (a.end <= end) i++
    if (b.end <= end) j++
  }
  return null
}

/** The instant within one stretch at which leg `a` goes under leg `b`. */
function underWithin(a: Leg, b: Leg, start: Instant, end: Instant): Instant | null {
  const above = (at: Instant) => legKwhAt(a, at) - legKwhAt(b, at)
  if (above(start) < -HAIR_KWH) return start
  const low = lowestWithin(a, b, start, end)
  if (above(low) >= -HAIR_KWH) return null
  if (a.curve.kind === 'line' && b.curve.kind === 'line')
    return earlier(
      end,
      hoursAfter(start, Math.max(0, above(start)) / (b.curve.rate - a.curve.rate)),
    )
  // From `start` to the lowest point the difference only falls, so halving the stretch closes in on its one root.
  let [safe, under] = [start, low]
  for (let halving = 0; halving < 64 && under - safe > 1e-4; halving++) {
    const middle = asInstant((safe + under) / 2)
    if (above(middle) < 0) under = middle
    else safe = middle
  }
  return safe
}

/**
 * Where the difference of the two legs is least. Two tapers of one battery share their exponential, and two lines
 * have none, so the difference turns at most once: where the taper's rate equals the other's.
 */
function lowestWithin(a: Leg, b: Leg, start: Instant, end: Instant): Instant {
  const above = (at: Instant) => legKwhAt(a, at) - legKwhAt(b, at)
  const [taper, straight] = a.curve.kind === 'decay' ? [a, b] : [b, a]
  let low = above(start) <= above(end) ? start : end
  if (taper.curve.kind === 'decay' && straight.curve.kind === 'line') {
    const { toward, perHour } = taper.curve
    const turnsAtKwh = toward - straight.curve.rate / perHour
    const turn = hoursAfter(taper.start, hoursUntil(taper.curve, taper.kwh, turnsAtKwh))
    if (turn > start && turn < end && above(turn) < above(low)) low = turn
  }
  return low
}
