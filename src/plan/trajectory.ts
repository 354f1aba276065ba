// The forecast under the plan, with the reserve line beside it: enough points to draw both.

import { rateAt } from './battery.ts'
import type { Planned } from './hold.ts'
import { type Instant, asInstant } from './instant.ts'
import { type Leg, type Line, legKwhAt } from './line.ts'
import type { Mode, PlanInput, TrajectoryPoint } from './types.ts'

/** Points along one taper, so that a polyline looks like the curve. */
const POINTS_ON_A_CURVE = 8

/** Breakpoints in time order from now to the last event's end; at a jump of the reserve there are two at one instant. */
export function trajectoryOf(
  input: PlanInput,
  planned: readonly Planned[],
  nowKwh: number,
): readonly TrajectoryPoint[] {
  const points: TrajectoryPoint[] = []
  const share = (kwh: number) => Math.min(100, Math.max(0, (100 * kwh) / input.battery.capacityKwh))
  const add = (at: Instant, kwh: number, reserveKwh: number, mode: Mode) => {
    const point = { at, socPct: share(kwh), reservePct: share(reserveKwh), mode }
    const last = points.at(-1)
    const repeats =
      last !== undefined &&
      last.at === at &&
      last.mode === mode &&
      Math.abs(last.reservePct - point.reservePct) < 1e-6
    if (!repeats) points.push(point)
  }
  for (const { gapPlan, reserve, served } of planned) {
    for (const { mode, line } of gapPlan.stretches) addLine(line, gapPlan.gap.line, mode, add)
    addLine(served.line, reserve.within, served.mode, add)
  }
  if (points.length === 0) add(input.now, nowKwh, 0, 'run')
  return points
}

type Add = (at: Instant, kwh: number, reserveKwh: number, mode: Mode) => void

/** Walks both lines together, so that every breakpoint of either is a point. */
function addLine(forecast: Line, reserve: Line, mode: Mode, add: Add): void {
  let first = 0
  for (const a of forecast) {
    while (first < reserve.length && (reserve[first]?.end ?? Infinity) <= a.start) first++
    for (let j = first; j < reserve.length; j++) {
      const b = reserve[j] as Leg
      if (b.start >= a.end) break
      const start = asInstant(Math.max(a.start, b.start))
      const end = asInstant(Math.min(a.end, b.end))
      const steps = bends(a) || bends(b) ? POINTS_ON_A_CURVE : 1
      for (let i = 0; i <= steps; i++) {
        const at = asInstant(Math.round(start + ((end - start) * i) / steps))
        add(at, legKwhAt(a, at), legKwhAt(b, at), mode)
      }
    }
  }
}

const bends = (leg: Leg): boolean => leg.curve.kind === 'decay' && rateAt(leg.curve, leg.kwh) !== 0
