// Powers that add up.

import { type Step, asInstant } from '../plan/index.ts'

/**
 * The sum of several powers over time; each is nothing before its first step, and of its steps that begin at one instant
 * the last counts. In one pass: a fortnight of sun has hundreds.
 */
export function sumOfSteps(powers: readonly (readonly Step[])[]): readonly Step[] {
  const [only, ...others] = powers.filter((steps) => steps.length > 0)
  if (only === undefined || others.length === 0) return only ?? []
  const all = [only, ...others].map((steps) => steps.toSorted((a, b) => a.start - b.start))
  const times = [...new Set(all.flat().map(({ start }) => start))].toSorted((a, b) => a - b)
  const passed = all.map(() => 0)
  return times.map((start) => {
    const kw = all.map((steps, i) => {
      let next = passed[i] ?? 0
      while ((steps[next]?.start ?? Infinity) <= start) next++
      passed[i] = next
      return steps[next - 1]?.kw ?? 0
    })
    return { start: asInstant(start), kw: kw.reduce((sum, each) => sum + each, 0) }
  })
}
