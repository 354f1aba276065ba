// The one door to the time. On a local run the clock may be set to an instant and run faster, or follow
// the rehearsal's track; what is armed is then mapped to the real time at which it will be.

import { type Instant, asInstant } from './plan/index.ts'

export type Clock = {
  now(): Instant
  /** The real epoch milliseconds at which this clock will show `at`. */
  realAt(at: Instant): number
}

/** So many real milliseconds after its start, the clock shows this. */
type Mark = { readonly afterMs: number; readonly shows: number }

/** A clock started at the real time `since`; straight from mark to mark, and on at the last pace. At least two marks, both rising. */
export type ClockSetting = { readonly since: number; readonly marks: readonly Mark[] }

/** Epoch milliseconds of the real time: what the platform's alarm goes by. */
export const realNow = (): number => Date.now()

/** `null`: the real time. */
export function clockOf(setting: ClockSetting | null): Clock {
  if (setting === null) return { now: () => asInstant(realNow()), realAt: (at) => at }
  const { since, marks } = setting
  return {
    now: () => {
      const after = realNow() - since
      const [a, b] = around(marks, (mark) => mark.afterMs, after)
      return asInstant(Math.floor(a.shows + (after - a.afterMs) * paceOf(a, b)))
    },
    realAt: (at) => {
      const [a, b] = around(marks, (mark) => mark.shows, at)
      return since + a.afterMs + (at - a.shows) / paceOf(a, b)
    },
  }
}

/** A clock that shows `from` now and runs `rate` times as fast. */
export const steadyClock = (from: number, rate: number, since: number): ClockSetting => ({
  since,
  marks: [
    { afterMs: 0, shows: from },
    { afterMs: 1000, shows: from + 1000 * rate },
  ],
})

const paceOf = (a: Mark, b: Mark): number => (b.shows - a.shows) / (b.afterMs - a.afterMs)

/** The two marks that a value lies between; the first or last two outside. */
function around(marks: readonly Mark[], of: (mark: Mark) => number, value: number): [Mark, Mark] {
  const next = marks.findIndex((mark, i) => i > 0 && (of(mark) > value || i === marks.length - 1))
  const [a, b] = [marks[next - 1], marks[next]]
  if (a === undefined || b === undefined)
    throw new RangeError('Cannot run a clock without two marks')
  return [a, b]
}
