// What the plan expects over time, looked up in its trajectory, and what the house draws over an interval.

import type { Battery, Instant, Span, Step, TrajectoryPoint } from '../plan/index.ts'
import { HOUR_MS, asInstant, hoursBetween, later } from '../plan/index.ts'

/** What the battery gives over an interval, as long as it is not at its floor. */
export type Draw = {
  readonly hours: number
  /** Mean power to the house, kW: never over the inverter's limit. */
  readonly kw: number
  /** Whether it is the same throughout. */
  readonly even: boolean
  /** The most the house draws less sun, kW. */
  readonly peakKw: number
  /** Stored energy that goes, standing loss included, kWh. */
  readonly takesKwh: number
}

/** `load` and `solar` in time order. */
export function drawOf(
  battery: Battery,
  load: readonly Step[],
  solar: readonly Step[],
  { start, end: until }: Span,
): Draw {
  const end = later(start, until)
  let iLoad = firstFrom(load, startOf, start + AFTER) - 1
  let iSun = firstFrom(solar, startOf, start + AFTER) - 1
  const inside = (steps: readonly Step[], first: number) =>
    steps.slice(first, firstFrom(steps, startOf, end)).map(startOf)
  const marks = [start, ...inside(load, iLoad + 1), ...inside(solar, iSun + 1)].toSorted(
    (a, b) => a - b,
  )
  // Before its first step a load is taken as that step's; sun as none.
  iLoad = Math.max(0, iLoad)
  let [kwh, peakKw] = [0, -Infinity]
  const powers = new Set<number>()
  for (const [i, at] of marks.entries()) {
    while ((load[iLoad + 1]?.start ?? Infinity) <= at) iLoad++
    while ((solar[iSun + 1]?.start ?? Infinity) <= at) iSun++
    const net = (load[iLoad]?.kw ?? 0) - (solar[iSun]?.kw ?? 0)
    const kw = Math.min(Math.max(0, net), battery.maxDischargeKw)
    const hours = hoursBetween(at, marks[i + 1] ?? end)
    if (hours > 0) powers.add(kw)
    kwh += kw * hours
    peakKw = Math.max(peakKw, net)
  }
  const hours = hoursBetween(start, end)
  return {
    hours,
    kw: powers.size === 1 ? ([...powers][0] ?? 0) : hours > 0 ? kwh / hours : 0,
    even: powers.size <= 1,
    peakKw,
    takesKwh: kwh / battery.dischargeEfficiency + battery.standbyKw * hours,
  }
}

const startOf = (step: Step): Instant => step.start
const atOf = (point: TrajectoryPoint): Instant => point.at

/** Steps begin on whole milliseconds, or near enough: what begins with an interval is not inside it. */
const AFTER = 1e-3

/** The place of the first item not before `at` in a list in time order, by halving: a fortnight of half-hours has many. */
function firstFrom<Item>(
  list: readonly Item[],
  timeOf: (item: Item) => number,
  at: number,
): number {
  let [low, high] = [0, list.length]
  while (low < high) {
    const middle = Math.floor((low + high) / 2)
    const item = list[middle]
    if (item !== undefined && timeOf(item) < at) low = middle + 1
    else high = middle
  }
  return low
}

/** Two instants this close are one: the trajectory's are whole milliseconds. */
const SAME_MS = 1

/** Expected charge at an instant, % of capacity. */
export function socAt(trajectory: readonly TrajectoryPoint[], at: Instant): number {
  const next = firstFrom(trajectory, atOf, at - SAME_MS)
  const after = trajectory[next] ?? trajectory.at(-1)
  const earlier = trajectory[next - 1]
  if (after === undefined) return 0
  if (after.at <= at + SAME_MS || earlier === undefined) return after.socPct
  const share = (at - earlier.at) / (after.at - earlier.at)
  return earlier.socPct + share * (after.socPct - earlier.socPct)
}

/** The reserve line at a breakpoint, % of capacity; where it jumps, on that side of it. */
export function reserveAt(
  trajectory: readonly TrajectoryPoint[],
  at: Instant,
  side: 'before' | 'after',
): number | null {
  const from = firstFrom(trajectory, atOf, at - SAME_MS)
  const until = firstFrom(trajectory, atOf, at + SAME_MS + AFTER)
  const point = from < until ? trajectory[side === 'before' ? from : until - 1] : undefined
  return point === undefined ? null : point.reservePct
}

/** When the charge last stopped rising before `until`; `from` if it never rises. */
export function lastRise(
  trajectory: readonly TrajectoryPoint[],
  from: Instant,
  until: Instant,
): Instant {
  const first = firstFrom(trajectory, atOf, from + AFTER)
  for (let i = firstFrom(trajectory, atOf, until + AFTER) - 1; i >= first; i--) {
    const [before, point] = [trajectory[i - 1], trajectory[i]]
    if (before && point && point.socPct > before.socPct + 1e-9) return point.at
  }
  return from
}

/** When hands can release, not later than `at`. */
export function reachableBefore(outOfReach: readonly Span[], at: Instant): Instant {
  const gone = outOfReach.find((span) => span.start <= at && at < span.end)
  return gone === undefined ? at : reachableBefore(outOfReach, asInstant(gone.start - 1))
}

export const minutesOf = (hours: number): number => (hours * HOUR_MS) / 60_000
