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

// Risks that are tried, as shares of the risk asked for: from two and a half times to a seventh, by tenths.
const MOST_RISK = 2.5
const RISKS = Array.from({ length: 28 }, (_, i) => MOST_RISK * 0.9 ** i)

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
  while (low < high) {
    const middle = Math.floor((low + high) / 2)
    if (failures(risks[middle] ?? 0, allowed) < allowed) high = middle
    else low = middle + 1
  }
  const risk = risks[low] ?? 0
  return { stage: 1 - risk, coveredOn: days - failures(risk, Infinity), days }
}

/** On how many days a policy would not have covered the event; counted up to `enough`. */
export function failuresOf(
  grid: Grid,
  outOfReach: readonly Span[],
  policy: Policy,
  enough: number,
): number {
  let failures = 0
  for (const [day, { covers }] of grid.days.entries()) {
    if (failures >= enough) break
    if (covers < heldAt(grid, outOfReach, policy, day)) failures++
  }
  return failures
}

/** When a day would have been held under a policy, exactly as a person would follow the plan; the release if it never was. */
export function heldAt(
  grid: Grid,
  outOfReach: readonly Span[],
  { readings, risk }: Policy,
  day: number,
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
  let holds = Float64Array.from(others, ({ hold }) => hold).sort()
  for (let left = readings; left > 0; left--) {
    const look = reach(lookAtRisk(holds, risk, place.at), asInstant(place.at))
    if (look <= place.at) return look
    if (look >= release) break
    const next = placeOf(grid, look)
    const factors = place.at >= grid.darkFrom ? factorsBetween(today, others, place, next) : null
    place = next
    const kwh = kwhAtPlace(grid, today, place)
    const needFactors = factors?.map(inEvent) ?? null
    const needs = others.map((other, i) => reserveOf(grid, other, place, needFactors?.[i] ?? 1))
    if (kwh <= shownKwh(grid, reserveAtRisk(needs, risk)) + HAIR_KWH) return look
    holds = holdsFrom(grid, others, place, kwh, factors, needFactors)
  }
  return reach(holdAtRisk(holds, risk, place.at), asInstant(place.at))
}

function factorsBetween(
  today: GridDay,
  others: readonly GridDay[],
  from: Place,
  to: Place,
): readonly number[] {
  const usedBy = ({ use }: GridDay) => valueAtPlace(use, to) - valueAtPlace(use, from)
  const used = others.map(usedBy)
  const own = usedBy(today)
  const mean = used.reduce((sum, kwh) => sum + kwh, 0) / used.length
  return used.map((kwh) => likeness(own, kwh, mean))
}

const holdsFrom = (
  grid: Grid,
  days: readonly GridDay[],
  from: Place,
  kwh: number,
  factors: readonly number[] | null,
  needFactors: readonly number[] | null,
): Float64Array<ArrayBuffer> =>
  Float64Array.from(days, (day, i) =>
    holdFrom(grid, day, from, kwh, factors?.[i] ?? 1, needFactors?.[i] ?? 1),
  ).sort()

/** The reserve at a place with the best way to top up, its part above the floor made so many times as large, kWh. */
function reserveOf({ floorKwh }: Grid, { reserves }: GridDay, place: Place, factor: number) {
  const least = Math.min(...reserves.map((reserve) => valueAtPlace(reserve, place)))
  return floorKwh + (least - floorKwh) * factor
}

/** What the display has to show at most for a hold: the reserve in whole per cent, rounded up, as energy. */
const shownKwh = ({ capacityKwh }: Grid, reserveKwh: number): number =>
  (wholeUp((100 * reserveKwh) / capacityKwh) * capacityKwh) / 100
