// Where the best holds can lie, as straight lines on the worth of the energy that they keep. On a straight stretch of that
// worth each end can be judged by itself, at the stretch's price; at a bend one end gives way in a stretch of time with a price
// between those on either side of the bend, and the others are judged at that price.

import { HAIR_KWH } from './line.ts'

/** What may be kept, from `from` to `to` kWh, with the lines on which an optimum there lies; at a bend both are the bend. */
export type Support = {
  readonly from: number
  readonly to: number
  /** The worth of what is kept at `from` and at `to`, in money; straight in between. */
  readonly worth: readonly [number, number]
  /** The prices at which ends are judged, in money per kWh: a stretch's own, or those at which one may give way. */
  readonly prices: readonly number[]
  /** How far rounding may have moved a stretch's price. */
  readonly haze: number
}

const HAZE = 1e-9

/**
 * All that can hold an optimum of what may be kept, `least` to `most`. `bends` are in any order; `prices` are those at which
 * an end can give way.
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
  const stretches = kept.slice(1).map((to, i) => {
    const from = kept[i] ?? to
    const length = to.kwh - from.kwh
    const price = (to.worth - from.worth) / length
    const haze = HAZE * Math.max(1, Math.abs(price)) + (1e-14 * Math.abs(to.worth)) / length
    return { from, to, price, haze }
  })
  const atBends = kept.map(({ kwh, worth }, i): Support => {
    const [before, after] = [stretches[i - 1], stretches[i]]
    const dearest = before === undefined ? Infinity : before.price + before.haze
    const cheapest = after === undefined ? -Infinity : after.price - after.haze
    const between = prices.filter((price) => cheapest <= price && price <= dearest)
    return { from: kwh, to: kwh, worth: [worth, worth], prices: between, haze: HAZE }
  })
  const along = stretches.map(({ from, to, price, haze }): Support => {
    const worth = [from.worth, to.worth] as const
    return { from: from.kwh, to: to.kwh, worth, prices: [price], haze }
  })
  return [...along, ...atBends.filter(({ prices: between }) => between.length > 0)]
}
