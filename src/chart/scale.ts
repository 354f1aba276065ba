// Numbers to places on the paper. Not a drawing.

import type { TrajectoryPoint } from '../plan/index.ts'

/** A straight line that takes the domain's ends to the range's ends. A domain without length goes to the range's start. */
export function scale(
  domain: readonly [number, number],
  range: readonly [number, number],
): (value: number) => number {
  const [from, to] = domain
  const [low, high] = range
  return to === from ? () => low : (value) => low + ((value - from) / (to - from)) * (high - low)
}

/** The top of the percentage axis: the next ten with a little air over the highest point, 40 to 100. */
export function topPct(points: readonly TrajectoryPoint[]): number {
  const highest = Math.max(0, ...points.flatMap((point) => [point.socPct, point.reservePct]))
  return Math.min(100, Math.max(40, Math.ceil((highest + 4) / 10) * 10))
}
