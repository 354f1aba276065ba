// One event of a plan with all that its figures come from.

import type {
  Battery,
  CheapestPlan,
  DaysEventPlan,
  DaysInput,
  DaysPlan,
  EventPlan,
  Instant,
  Margin,
  Plan,
  PlanInput,
  Step,
} from '../plan/index.ts'
import { later, minutesAfter, rankFor } from '../plan/index.ts'
import type { Format } from '../words/index.ts'
import { type Draw, drawOf, reachableBefore, reserveAt, socAt } from './course.ts'
import { HAIR_KWH } from './sum.ts'

export type AnyPlan = Plan | DaysPlan | CheapestPlan

export type AnyInput = PlanInput | DaysInput

/** What past days add: which of them decides, and how often it would have worked. */
export type Days = {
  readonly loads: readonly (readonly Step[])[]
  /** They were made like these weeks and like today. */
  readonly madeLike: boolean
  readonly confidence: DaysEventPlan['confidence']
  /** The k of the k-th earliest hold; 0 when there are too few days. */
  readonly rank: number
  readonly margin: Margin
  /** The margin is the one for too few days. */
  readonly spare: boolean
}

export type Case = {
  readonly plan: AnyPlan
  readonly input: AnyInput
  readonly event: EventPlan
  readonly index: number
  readonly battery: Battery
  readonly margin: Margin
  /** The one load that was planned from; none where past days stand in for it. */
  readonly load: readonly Step[] | null
  readonly days: Days | null
  readonly solar: readonly Step[]
  /** Now, or the end of the event before. */
  readonly gapStart: Instant
  /** From here to the event's end the battery serves the house. */
  readonly from: Instant
  readonly f: Format
}

/** The case of every event of a plan, in its order; `input` is what the plan was made from. */
export function casesOf(plan: AnyPlan, input: AnyInput, f: Format): readonly Case[] {
  const load = 'days' in input ? null : inOrder(input.load)
  const loads = 'days' in input ? input.days.map(inOrder) : []
  const solar = inOrder(input.solar)
  return plan.events.map((event, index): Case => {
    const gapStart = plan.events[index - 1]?.end ?? input.now
    const days = 'days' in input && 'confidence' in event ? daysOf(loads, event, input) : null
    return {
      plan,
      input,
      event,
      index,
      battery: input.battery,
      margin: days?.margin ?? input.margin,
      load,
      days,
      solar,
      gapStart,
      from: servesFrom(plan, input, event, gapStart),
      f,
    }
  })
}

const inOrder = (steps: readonly Step[]): readonly Step[] =>
  steps.toSorted((a, b) => a.start - b.start)

function daysOf(
  loads: Days['loads'],
  { confidence, ...event }: DaysEventPlan,
  input: DaysInput,
): Days {
  const rank = rankFor(loads.length, confidence.stage)
  const without = event.needKwh + floorKwh(input.battery)
  const keeps = (margin: Margin) => {
    const kwh = marginKwh(margin, input.battery)
    return kwh !== null && Math.abs(without + kwh - event.reserveKwh) < HAIR_KWH
  }
  const spare = keeps(input.spareMargin) || (rank === 0 && !keeps(input.margin))
  const madeLike = input.heavier !== null
  return {
    loads,
    madeLike,
    confidence,
    rank,
    margin: spare ? input.spareMargin : input.margin,
    spare,
  }
}

/** Energy, or a share of capacity, kWh; `null` for hours of a load. */
const marginKwh = (margin: Margin, { capacityKwh }: Battery): number | null =>
  'kwh' in margin ? margin.kwh : 'pct' in margin ? (margin.pct / 100) * capacityKwh : null

/** The cheapest hold may end before the cover begins; any other ends there. */
function servesFrom(
  plan: AnyPlan,
  { releaseLeadMinutes, outOfReach }: AnyInput,
  { start, releaseAt }: EventPlan,
  gapStart: Instant,
): Instant {
  if (!('notCheapest' in plan)) return releaseAt
  const latest = minutesAfter(start, -releaseLeadMinutes)
  return later(gapStart, later(releaseAt, reachableBefore(outOfReach, latest)))
}

/** Expected energy, kWh. */
export const kwhAt = ({ plan, battery }: Case, at: Instant): number =>
  (socAt(plan.trajectory, at) / 100) * battery.capacityKwh

/** The reserve line, kWh; `null` between its breakpoints. */
export function reserveKwhAt(
  { plan, battery }: Case,
  at: Instant,
  side: 'before' | 'after',
): number | null {
  const pct = reserveAt(plan.trajectory, at, side)
  return pct === null ? null : (pct / 100) * battery.capacityKwh
}

export const floorKwh = ({ outageReservePct, capacityKwh }: Battery): number =>
  (outageReservePct / 100) * capacityKwh

export const drawn = (c: Case, load: readonly Step[], start: Instant, end: Instant): Draw =>
  drawOf(c.battery, load, c.solar, { start, end })

/** Whether the discharge was paused already when this was planned. */
export const isHeld = ({ index, input }: Case): boolean => index === 0 && input.heldSince !== null

/** A time, with its day where that is not the event's. */
export const when = ({ f, event }: Case, at: Instant): string =>
  f.isoDay(at) === f.isoDay(event.start) ? f.time(at) : `${f.time(at)} (${f.shortDay(at)})`
