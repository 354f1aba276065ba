// Powers that add up.

import { type Step, asInstant } from '../plan/index.ts'

/** The sum of several powers over time; each is nothing before its first step. */
export function sumOfSteps(powers: readonly (readonly Step[])[]): readonly Step[] {
  const [only, ...others] = powers.filter((steps) => steps.length > 0)
  if (only === undefined || others.length === 0) return only ?? []
  const all = [only, ...others]
  const times = [...new Set(all.flat().map(({ start }) => start))].toSorted((a, b) => a - b)
  return times.map((start) => ({
    start: asInstant(start),
    kw: all.reduce(
      (sum, steps) => sum + (steps.findLast((each) => each.start <= start)?.kw ?? 0),
      0,
    ),
  }))
}
