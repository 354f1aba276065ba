// Where the best holds can lie, as straight lines on the worth of the energy that they keep. On a straight stretch of that
// worth each end can be judged by itself, at the stretch's price; at a bend one end gives way in a stretch of time with a price
// between those on either side of the bend, and the others are judged at that price.

import { HAIR_KWH } from './line.ts'

/** A line that meets the worth of what is kept from `from` to `to`, kWh; at a bend both are the bend. */
export type Support = {
  readonly from: number
  readonly to: number
  /** The worth of what is kept at `from`, in money. */
  readonly worth: number
  /** Money per kWh. */
  readonly slope: number
  /** How far rounding may have tilted the slope. */
  readonly haze: number
}

const HAZE = 1e-9

/**
 * All lines that can hold an optimum, for what may be kept, `least` to `most`. `bends` are in any order; `prices` are those
 * at which an end can give way.
 */
export function supportsOf(
  worthOfKept: (kwh: number) => number,
  bends: readonly number[],
  { least, most }: { readonly least: number; readonly most: number },
  prices: readonly number[],
): readonly Support[] {
  const kept = [least, ...bends.filter((kwh) => kwh > least && kwh < most), most]
    .toSorted((a, b) => a - b)
    .filter((kwh, i, all) => i === 0 || kwh - (all[i - 1] ?? 0) > HAIR_KWH)
    .map((kwh) => ({ kwh, worth: worthOfKept(kwh) }))
  const stretches = kept.slice(1).map((to, i): Support => {
    const from = kept[i] ?? to
    const length = to.kwh - from.kwh
    const slope = (to.worth - from.worth) / length
    const haze = HAZE * Math.max(1, Math.abs(slope)) + (1e-14 * Math.abs(to.worth)) / length
    return { from: from.kwh, to: to.kwh, worth: from.worth, slope, haze }
  })
  const atBends = kept.flatMap(({ kwh, worth }, i) => {
    const before = stretches[i - 1]
    const after = stretches[i]
    const haze = Math.max(before?.haze ?? HAZE, after?.haze ?? HAZE)
    return prices
      .filter((price) => price <= (before?.slope ?? Infinity) + haze)
      .filter((price) => price >= (after?.slope ?? -Infinity) - haze)
      .map((slope): Support => ({ from: kwh, to: kwh, worth, slope, haze: HAZE }))
  })
  return [...stretches, ...atBends]
}
