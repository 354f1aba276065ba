// The replay: every comparable day is played as if it were today, that day left out of its own ensemble. It
// sets the confidence of each look, because a risk that is looked at several times is spent several times.

import { type DayCase, type DayHold, holdFrom, reserveAt } from './dayCase.ts'
import { reachableHold } from './gap.ts'
import { wholeUp } from './hold.ts'
import { type Instant, asInstant } from './instant.ts'
import { kwhAt } from './line.ts'
import { kthLargest, kthSmallest, rankFor } from './rank.ts'
import type { Span } from './types.ts'

/** Every comparable day, with the margin asked for and with the one for too few days. */
export type Cases = {
  readonly now: Instant
  readonly outOfReach: readonly Span[]
  readonly asked: readonly DayCase[]
  readonly spare: readonly DayCase[]
}

/** At most so many readings, and the confidence of the plan at the start and after each. */
export type Policy = { readonly readings: number; readonly stage: number }

export type Calibrated = { readonly stage: number; readonly coveredOn: number }

/** The least stage for which `failures + 1 <= (n + 1) * (1 - confidence)` (conformal risk control), else the strictest. */
export function calibrate(cases: Cases, readings: number, confidence: number): Calibrated {
  const days = cases.asked.length
  const allowed = rankFor(days, confidence)
  let rank = NaN
  for (const stage of ladder(confidence)) {
    // Stages between two ranks play alike; the least of them comes first.
    if (rankFor(days - 1, stage) === rank) continue
    rank = rankFor(days - 1, stage)
    const failures = failuresOf(cases, { readings, stage }, allowed)
    if (failures < allowed) return { stage, coveredOn: days - failures }
  }
  return { stage: STRICTEST, coveredOn: coveredOn(cases, { readings, stage: STRICTEST }) }
}

/** On how many days a policy would have covered the event. */
export const coveredOn = (cases: Cases, policy: Policy): number =>
  cases.asked.length - failuresOf(cases, policy, Infinity)

/** When a day would have been held under a policy; the release if it never was. */
export function heldAt(cases: Cases, policy: Policy, day: number): Instant {
  const { now, outOfReach, asked } = cases
  const today = asked[day]
  const others = (ranksOf(cases, policy) > 0 ? asked : cases.spare).filter((_, i) => i !== day)
  if (today === undefined || others.length === 0) return now
  const rank = Math.max(1, ranksOf(cases, policy))
  const reach = (safe: number, from: Instant): Instant => {
    if (safe >= today.cover.from) return today.cover.from
    const cover = { ...today.cover, gapStart: from }
    return reachableHold({ outOfReach }, cover, asInstant(Math.max(safe, from))) ?? cover.from
  }
  let at = now
  let hold = reach(deciding(others, rank), now)
  for (let left = policy.readings; left > 0 && hold > at && hold < today.cover.from; left--) {
    at = hold
    const kwh = kwhAt(today.run, at)
    const reserves = others.map((other) => reserveAt(other, at))
    if (kwh <= shownKwh(today, kthLargest(reserves, rank))) return at
    const holds = others.map((other) => holdFrom(other, at, kwh))
    hold = reach(deciding(holds, rank), at)
  }
  return hold
}

/** The k-th earliest of the latest safe holds; where that is none, of what the days would do all the same. */
function deciding(days: readonly DayHold[], rank: number): number {
  const safe = kthSmallest(
    days.map((day) => day.safe),
    rank,
  )
  return safe > -Infinity
    ? safe
    : kthSmallest(
        days.map((day) => day.hold),
        rank,
      )
}

const STRICTEST = 0.99

/** Stages from 0.80, or the confidence itself if it is less, to 0.99 by hundredths. */
function ladder(confidence: number): readonly number[] {
  const from = Math.min(80, Math.floor(100 * confidence))
  return Array.from({ length: 100 - from }, (_, i) => (from + i) / 100)
}

/** The rank within the days that are left when one is left out. */
const ranksOf = (cases: Cases, { stage }: Policy): number => rankFor(cases.asked.length - 1, stage)

function failuresOf(cases: Cases, policy: Policy, enough: number): number {
  let failures = 0
  for (const [day, { covers }] of cases.asked.entries()) {
    if (failures >= enough) break
    if (covers < heldAt(cases, policy, day)) failures++
  }
  return failures
}

/** What the display has to show at most for a hold: the reserve in whole per cent, rounded up, as energy. */
const shownKwh = ({ battery }: DayCase, reserveKwh: number): number =>
  (wholeUp((100 * reserveKwh) / battery.capacityKwh) * battery.capacityKwh) / 100
