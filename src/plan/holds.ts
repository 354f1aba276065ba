// The holds that cost least, as many as may be (model §6). At one price for what is kept, the most that holds can give is
// a small dynamic programme over the ends; it bounds the exact search, which follows only what could still be the best.

import type { End } from './ends.ts'
import { type Instant, type Span, asInstant } from './instant.ts'
import { HAIR_KWH } from './line.ts'
import type { Support } from './support.ts'

export type Choice = {
  readonly ends: readonly End[]
  readonly supports: readonly Support[]
  /** The latest instant at which a running battery has not drawn more, kWh. */
  drawnAt(kwh: number): Instant
  /** In money, with the worth of what is left. */
  saved(holds: readonly Span[]): number
  allowed(holds: readonly Span[]): boolean
}

export type Rated = { readonly holds: readonly Span[]; readonly saved: number }

/** Sums of money this close are the same. */
const hair = (money: number): number => 1e-9 * Math.max(1, Math.abs(money))

/**
 * The best of up to `most` holds that are better than `none`, or `none`. Of those as good the fewest; then those whose
 * first begins, then ends, latest, and so on.
 */
export function bestHolds(choice: Choice, most: number, none: Rated | null): Rated | null {
  let best = none
  for (let many = 1; many <= most; many++) {
    const least = best === null ? -Infinity : best.saved + hair(best.saved)
    best = latest(search(choice, many, least)) ?? best
  }
  return best
}

/** Every choice of exactly `many` holds that saves more than `least`, and about as much as any. */
function search(choice: Choice, many: number, least: number): readonly Rated[] {
  const { ends, supports } = choice
  const prices = [...new Set(supports.flatMap((support) => support.prices))]
  const bounds = prices.map((price) => boundsOf(ends, price, many))
  const bounded = supports.map((support) => ({ support, bound: tightest(support, bounds, many) }))
  let bar = least
  const found: Rated[] = []
  const hopeless = (most: number) => most < bar - hair(bar)
  const take = (holds: readonly Span[]) => {
    const saved = choice.saved(holds)
    if (saved <= least || saved < bar || !choice.allowed(holds)) return
    bar = Math.max(bar, saved - hair(saved))
    found.push({ holds, saved })
  }
  for (const { support, bound } of bounded.toSorted((a, b) => b.bound.most - a.bound.most)) {
    if (hopeless(bound.most)) break
    for (const price of support.prices) follow(choice, support, price, bound, many, hopeless, take)
  }
  return found.filter(({ saved }) => saved >= bar)
}

/**
 * At one price for what is kept, the most that holds from an end on can give, were they free in how much they keep: by
 * how many are still to begin, or to end the one that is on among them.
 */
type Bounds = {
  readonly price: number
  /** What is kept up to an end at that price, less what it saves if it is not. */
  readonly gain: readonly number[]
  readonly running: readonly (readonly number[])[]
  readonly holding: readonly (readonly number[])[]
}

/** A support's bounds at some price, with the worth besides that and the most of all. */
type Bound = Bounds & { readonly besides: number; readonly most: number }

function boundsOf(ends: readonly End[], price: number, many: number): Bounds {
  const gain = ends.map(({ drawn, saved }) => price * drawn - saved)
  const running: number[][] = [ends.map(() => 0)]
  const holding: number[][] = [[]]
  for (let left = 1; left <= many; left++) {
    const runs: number[] = []
    const holds: number[] = []
    let [run, hold] = [-Infinity, -Infinity]
    for (let i = ends.length - 1; i >= 0; i--) {
      const at = gain[i] ?? 0
      hold = Math.max(hold, at + (running[left - 1]?.[i] ?? 0))
      run = Math.max(run, hold - at)
      holds[i] = hold
      runs[i] = run
    }
    running.push(runs)
    holding.push(holds)
  }
  return { price, gain, running, holding }
}

/** Any price bounds what can be saved with what a support keeps: the one that says least. */
function tightest({ from, to, worth }: Support, bounds: readonly Bounds[], many: number): Bound {
  const bound = (each: Bounds): Bound => {
    const besides = Math.max(worth[0] - each.price * from, worth[1] - each.price * to)
    return { ...each, besides, most: besides + (each.running[many]?.[0] ?? -Infinity) }
  }
  return bounds.map(bound).reduce((a, b) => (b.most < a.most ? b : a))
}

/** One end that gives way, between an end and the next. */
type Giving = { readonly place: number; readonly cell: number }

/** Takes every choice of exactly `many` holds whose ends suit a price and which keep what the support is for. */
function follow(
  { ends, drawnAt }: Choice,
  { haze, from, to }: Support,
  price: number,
  { besides, gain, running, holding }: Bound,
  many: number,
  hopeless: (most: number) => boolean,
  take: (holds: readonly Span[]) => void,
): void {
  const bend = from === to
  const priceFrom = (i: number, unless: number) => ends[i]?.price ?? unless
  const mayBegin = (i: number) =>
    priceFrom(i - 1, Infinity) >= price - haze && priceFrom(i, -Infinity) <= price + haze
  const mayEnd = (i: number) =>
    priceFrom(i - 1, -Infinity) <= price + haze && priceFrom(i, Infinity) >= price - haze
  const mayGiveWay = (i: number) => bend && ends[i]?.price === price
  const gainAt = (i: number) => gain[i] ?? -Infinity
  const path: number[] = []

  const begin = (first: number, sum: number, giving: Giving | null): void => {
    const left = many - path.length / 2
    if (left === 0) return finish(giving)
    for (let i = ends.length - 2; i >= Math.max(0, first - 1); i--) {
      const after = holding[left]?.[i] ?? -Infinity
      const gives = giving === null && mayGiveWay(i)
      const least = gives ? Math.min(gainAt(i), gainAt(i + 1)) : gainAt(i)
      if (hopeless(besides + sum - least + after)) continue
      if (gives) end(i + 1, i + 1, sum - least, { place: path.length, cell: i })
      if (i >= first && mayBegin(i)) end(i, i + 1, sum - gainAt(i), giving)
    }
  }

  const end = (start: number, first: number, sum: number, giving: Giving | null): void => {
    const left = many - path.length / 2
    path.push(start)
    for (let i = ends.length - 1; i >= Math.max(0, first - 1); i--) {
      const after = running[left - 1]?.[i] ?? -Infinity
      const gives = giving === null && mayGiveWay(i)
      const most = gives ? Math.max(gainAt(i), gainAt(i + 1)) : gainAt(i)
      if (hopeless(besides + sum + most + after)) continue
      path.push(i)
      if (gives) begin(i + 1, sum + most, { place: path.length - 1, cell: i })
      if (i >= first && mayEnd(i)) begin(i + 1, sum + gainAt(i), giving)
      path.pop()
    }
    path.pop()
  }

  const finish = (giving: Giving | null): void => {
    const drawn = path.map((i) => ends[i]?.drawn ?? 0)
    const kept = drawn.reduce((sum, kwh, i) => (i % 2 === 0 ? sum - kwh : sum + kwh), 0)
    const instants = path.map((i) => ends[i]?.at ?? asInstant(0))
    if (giving === null) {
      if (kept < from - HAIR_KWH || kept > to + HAIR_KWH) return
    } else {
      const room = (ends[giving.cell + 1]?.drawn ?? 0) - (ends[giving.cell]?.drawn ?? 0)
      const more = from - kept
      if (more < 0 || more > room) return
      const sign = giving.place % 2 === 0 ? -1 : 1
      instants[giving.place] = drawnAt((drawn[giving.place] ?? 0) + sign * more)
    }
    const holds: Span[] = []
    for (let i = 0; i < instants.length; i += 2)
      holds.push({ start: instants[i] ?? asInstant(0), end: instants[i + 1] ?? asInstant(0) })
    take(holds)
  }

  begin(0, 0, null)
}

/** Of choices as good, the one whose first hold begins, then ends, latest, and so on. */
function latest(found: readonly Rated[]): Rated | null {
  const order = (a: Rated, b: Rated): number => {
    for (const [i, hold] of a.holds.entries()) {
      const other = b.holds[i] ?? hold
      if (hold.start !== other.start) return hold.start - other.start
      if (hold.end !== other.end) return hold.end - other.end
    }
    return 0
  }
  return found.reduce<Rated | null>((a, b) => (a !== null && order(a, b) >= 0 ? a : b), null)
}
