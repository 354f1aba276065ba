// Which of n comparable days decides, for a confidence asked for: split-conformal ranks, in whole numbers.

/** Confidences count to the millionth, so that 1 - 0.9 is a tenth and not a hair less. */
const PARTS = 1_000_000

/**
 * How many of n days may be worse than the one that decides, plus one: `floor((n + 1) * (1 - confidence))`. Its k-th
 * earliest hold is early enough on a new, exchangeable day with at least that confidence. 0: too few days for it.
 * Source: split conformal prediction, in which the k-th largest is the `ceil((n + 1) * confidence)`-th smallest.
 */
export function rankFor(days: number, confidence: number): number {
  const missParts = PARTS - Math.round(confidence * PARTS)
  return Math.floor(((days + 1) * missParts) / PARTS)
}

/** The fewest days with which a confidence can be promised: the least n with `rankFor(n, confidence) >= 1`. */
export function daysNeeded(confidence: number): number {
  const missParts = PARTS - Math.round(confidence * PARTS)
  return missParts <= 0 ? Infinity : Math.ceil(PARTS / missParts) - 1
}

/** The k-th smallest value, counted from 1; the nearest there is when k is out of range. */
export function kthSmallest(values: readonly number[], k: number): number {
  const sorted = values.toSorted((a, b) => a - b)
  return sorted[Math.min(Math.max(k, 1), sorted.length) - 1] ?? NaN
}

/** The k-th largest value, counted from 1; the nearest there is when k is out of range. */
export const kthLargest = (values: readonly number[], k: number): number =>
  -kthSmallest(
    values.map((value) => -value),
    k,
  )
