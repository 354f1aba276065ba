// The replay: every past day is played as if it were today, that day left out of its own ensemble. It sets the
// risk of each look, because a risk that is looked at several times is spent several times.

import { reachableHold } from './gap.ts'
import { HAIR_KWH } from './line.ts'
import {
  type Grid,
  type GridDay,
  type Place,
  holdFrom,
  kwhAtPlace,
  placeOf,
  valueAtPlace,
} from './grid.ts'
import { wholeUp } from './hold.ts'
import { type Instant, asInstant } from './instant.ts'
import { inEvent, likeness } from './likeToday.ts'
import { holdAtRisk, lookAtRisk, reserveAtRisk } from './quantile.ts'
import { rankFor } from './rank.ts'
import type { Calibrated, Span } from './types.ts'

/** At most so many readings, and the risk of the plan at the start and after each. */
export type Policy = { readonly readings: number; readonly risk: number }

// Risks that are tried, as shares of the risk asked for: from two and a half times to a seventh, by twentieths.
const MOST_RISK = 2.5
const RISKS = Array.from({ length: 56 }, (_, i) => MOST_RISK * 0.95 ** i)

/**
 * The least stage for which `failures + 1 <= (n + 1) * (1 - confidence)` (conformal risk control: Angelopoulos and others,
 * 2022, from memory), found by halving since a stricter stage seldom fails more; the strictest where none is.
 */
export function calibrate(
  grid: Grid,
  outOfReach: readonly Span[],
  readings: number,
  confidence: number,
): Calibrated {
  const days = grid.days.length
  const allowed = rankFor(days, confidence)
  const risks = RISKS.map((share) => Math.min(0.5, share * (1 - confidence)))
  const failures = (risk: number, enough: number) =>
    failuresOf(grid, outOfReach, { readings, risk }, enough)
  let [low, high] = [0, risks.length - 1]
  let fewEnough: number | null = null
  while (low < high) {
    const middle = Math.floor((low + high) / 2)
    const failed = failures(risks[middle] ?? 0, allowed)
    if (failed < allowed) [high, fewEnough] = [middle, failed]
    else low = middle + 1
  }
  const risk = risks[low] ?? 0
  return { stage: 1 - risk, coveredOn: days - (fewEnough ?? failures(risk, Infinity)), days }
}

/** On how many days a policy would not have covered the event; counted up to `enough`. */
export function failuresOf(
  grid: Grid,
  outOfReach: readonly Span[],
  policy: Policy,
  enough: number,
): number {
  const room = roomFor(grid.days.length - 1)
  let failures = 0
  for (const [day, { covers }] of grid.days.entries()) {
    if (failures >= enough) break
    if (covers < heldAt(grid, outOfReach, policy, day, room)) failures++
  }
  return failures
}

// Room to work in, kept from one replay to the next: a calibration makes tens of thousands of these lists.
type Room = Readonly<Record<'holds' | 'factors' | 'needFactors' | 'needs', Float64Array>>

const roomFor = (count: number): Room => ({
  holds: new Float64Array(count),
  factors: new Float64Array(count),
  needFactors: new Float64Array(count),
  needs: new Float64Array(count),
})

/** When a day would have been held under a policy, exactly as a person would follow the plan; the release if it never was. */
export function heldAt(
  grid: Grid,
  outOfReach: readonly Span[],
  { readings, risk }: Policy,
  day: number,
  room = roomFor(grid.days.length - 1),
): Instant {
  const now = asInstant(grid.times[0] ?? 0)
  const release = asInstant(grid.times.at(-1) ?? now)
  const today = grid.days[day] as GridDay
  const others = grid.days.filter((_, i) => i !== day)
  if (others.length === 0) return now
  const reach = (at: number, from: Instant): Instant => {
    if (at >= release) return release
    const gap = { gapStart: from, from: release, unreachable: false }
    return reachableHold({ outOfReach }, gap, asInstant(Math.max(at, from))) ?? release
  }
  let place = placeOf(grid, now)
  const { holds } = room
  for (const [i, { hold }] of others.entries()) holds[i] = hold
  holds.sort()
  for (let left = readings; left > 0; left--) {
    const look = reach(lookAtRisk(holds, risk, place.at), asInstant(place.at))
    if (look <= place.at) return look
    if (look >= release) break
    const before = place
    place = placeOf(grid, look)
    likenessBetween(room, grid, today, others, before, place)
    const kwh = kwhAtPlace(grid, today, place)
    if (kwh <= shownKwh(grid, reserveAt(room, grid, others, place, risk)) + HAIR_KWH) return look
    for (let i = 0; i < others.length; i++) {
      const [factor, needFactor] = [room.factors[i] ?? 1, room.needFactors[i] ?? 1]
      holds[i] = holdFrom(grid, others[i] as GridDay, place, kwh, factor, needFactor)
    }
    holds.sort()
  }
  return reach(holdAtRisk(holds, risk, place.at), asInstant(place.at))
}

/** Fills in by how much each day is to be made like today; 1 where the sun hides it. */
function likenessBetween(
  { factors, needFactors }: Room,
  { capacityKwh, darkFrom }: Grid,
  today: GridDay,
  others: readonly GridDay[],
  from: Place,
  to: Place,
): void {
  const dark = from.at >= darkFrom
  let mean = 0
  for (let i = 0; i < others.length; i++) {
    const used = usedBetween(others[i] as GridDay, from, to)
    factors[i] = used
    mean += used / others.length
  }
  const own = usedBetween(today, from, to)
  for (let i = 0; i < others.length; i++) {
    const factor = dark ? likeness(own, factors[i] ?? 0, mean, capacityKwh) : 1
    factors[i] = factor
    needFactors[i] = inEvent(factor)
  }
}

const usedBetween = ({ use }: GridDay, from: Place, to: Place): number =>
  valueAtPlace(use, to) - valueAtPlace(use, from)

/** The reserve to see at a place, at a risk, kWh: each day's with the best way to top up, its part above the floor made like today's. */
function reserveAt(
  { needs, needFactors }: Room,
  { floorKwh }: Grid,
  others: readonly GridDay[],
  place: Place,
  risk: number,
): number {
  for (let i = 0; i < others.length; i++) {
    let least = Infinity
    for (const reserve of (others[i] as GridDay).reserves)
      least = Math.min(least, valueAtPlace(reserve, place))
    needs[i] = floorKwh + (least - floorKwh) * (needFactors[i] ?? 1)
  }
  return reserveAtRisk(needs.sort(), risk)
}

/** What the display has to show at most for a hold: the reserve in whole per cent, rounded up, as energy. */
const shownKwh = ({ capacityKwh }: Grid, reserveKwh: number): number =>
  (wholeUp((100 * reserveKwh) / capacityKwh) * capacityKwh) / 100
