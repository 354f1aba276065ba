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
  const inside = (step: Step) => step.start > start && step.start < end
  const marks = [start, ...[...load, ...solar].filter(inside).map((step) => step.start)].toSorted(
    (a, b) => a - b,
  )
  let [iLoad, iSun] = [Math.max(0, before(load, start)), before(solar, start)]
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

/** The place of the last step that has begun; -1 before the first. */
const before = (steps: readonly Step[], at: Instant): number =>
  steps.findLastIndex((step) => step.start <= at)

/** Two instants this close are one: the trajectory's are whole milliseconds. */
const SAME_MS = 1

/** Expected charge at an instant, % of capacity. */
export function socAt(trajectory: readonly TrajectoryPoint[], at: Instant): number {
  const next = trajectory.findIndex((point) => point.at >= at - SAME_MS)
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
  const here = (each: TrajectoryPoint) => Math.abs(each.at - at) <= SAME_MS
  const point = side === 'before' ? trajectory.find(here) : trajectory.findLast(here)
  return point === undefined ? null : point.reservePct
}

/** When the charge last stopped rising before `until`; `from` if it never rises. */
export function lastRise(
  trajectory: readonly TrajectoryPoint[],
  from: Instant,
  until: Instant,
): Instant {
  const rises = (point: TrajectoryPoint, i: number) =>
    point.socPct > (trajectory[i - 1]?.socPct ?? Infinity) + 1e-9
  const last = trajectory.findLast(
    (point, i) => point.at > from && point.at <= until && rises(point, i),
  )
  return last?.at ?? from
}

/** When hands can release, not later than `at`. */
export function reachableBefore(outOfReach: readonly Span[], at: Instant): Instant {
  const gone = outOfReach.find((span) => span.start <= at && at < span.end)
  return gone === undefined ? at : reachableBefore(outOfReach, asInstant(gone.start - 1))
}

export const minutesOf = (hours: number): number => (hours * HOUR_MS) / 60_000
