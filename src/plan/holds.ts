// The holds that cost least, as many as may be (model §6). For each support line the most that it could give is a
// small dynamic programme over the ends; the exact search follows only what could still be the best.

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
  const bounds = new Map<number, Bounds>()
  const supports = choice.supports.map((support) => {
    const bound = bounds.get(support.slope) ?? boundsOf(choice.ends, support.slope, many)
    bounds.set(support.slope, bound)
    return { support, bound, most: offset(support) + (bound.running[many]?.[0] ?? -Infinity) }
  })
  let bar = least
  const found: Rated[] = []
  for (const { support, bound, most } of supports.toSorted((a, b) => b.most - a.most)) {
    if (most < bar - hair(bar)) break
    follow(
      choice,
      support,
      bound,
      many,
      () => bar,
      (holds) => {
        const saved = choice.saved(holds)
        if (saved <= least || saved < bar || !choice.allowed(holds)) return
        bar = Math.max(bar, saved - hair(saved))
        found.push({ holds, saved })
      },
    )
  }
  return found.filter(({ saved }) => saved >= bar)
}

/** What a line gives for nothing kept. */
const offset = ({ worth, slope, from }: Support): number => worth - slope * from

/**
 * The most that holds from an end on can add to a line's offset, were what they keep free: by how many are still to
 * begin, or to end the one that is on among them.
 */
type Bounds = {
  /** What is kept up to an end at the line's slope, less what it saves if it is not. */
  readonly gain: readonly number[]
  readonly running: readonly (readonly number[])[]
  readonly holding: readonly (readonly number[])[]
}

function boundsOf(ends: readonly End[], slope: number, many: number): Bounds {
  const gain = ends.map(({ drawn, saved }) => slope * drawn - saved)
  const running: number[][] = [ends.map(() => 0)]
  const holding: number[][] = [[]]
  for (let left = 1; left <= many; left++) {
    const runs: number[] = []
    const holds: number[] = []
    for (let i = ends.length - 1; i >= 0; i--) {
      const at = gain[i] ?? 0
      const after = left === 1 ? 0 : (running[left - 1]?.[i + 1] ?? -Infinity)
      runs[i] = Math.max(runs[i + 1] ?? -Infinity, (holds[i + 1] ?? -Infinity) - at)
      holds[i] = Math.max(holds[i + 1] ?? -Infinity, at + after)
    }
    running.push(runs)
    holding.push(holds)
  }
  return { gain, running, holding }
}

/** One end that gives way, between an end and the next. */
type Giving = { readonly place: number; readonly cell: number }

/** Takes every choice of exactly `many` holds whose ends suit the line's slope and which keep what the line is for. */
function follow(
  { ends, drawnAt }: Choice,
  support: Support,
  { gain, running, holding }: Bounds,
  many: number,
  bar: () => number,
  take: (holds: readonly Span[]) => void,
): void {
  const { slope, haze, from, to } = support
  const bend = from === to
  const dear = (price: number | null | undefined, unless: number) =>
    (price ?? unless) >= slope - haze
  const cheap = (price: number | null | undefined, unless: number) =>
    (price ?? unless) <= slope + haze
  const path: number[] = []

  const hopeless = (most: number) => offset(support) + most < bar() - hair(bar())

  const begin = (least: number, sum: number, giving: Giving | null): void => {
    const left = many - path.length / 2
    if (left === 0) return finish(giving)
    for (let i = ends.length - 1; i >= Math.max(0, least - 1); i--) {
      const bound = sum - (gain[i] ?? 0) + (holding[left]?.[i + 1] ?? -Infinity)
      if (hopeless(bound)) continue
      if (bend && giving === null && ends[i]?.price === slope)
        end(i + 1, i + 1, sum - (gain[i] ?? 0), { place: path.length, cell: i })
      if (i >= least && dear(ends[i - 1]?.price, Infinity) && cheap(ends[i]?.price, -Infinity))
        end(i, i + 1, sum - (gain[i] ?? 0), giving)
    }
  }

  const end = (start: number, least: number, sum: number, giving: Giving | null): void => {
    const left = many - path.length / 2
    path.push(start)
    for (let i = ends.length - 1; i >= Math.max(0, least - 1); i--) {
      const after = left === 1 ? 0 : (running[left - 1]?.[i + 1] ?? -Infinity)
      if (hopeless(sum + (gain[i] ?? 0) + after)) continue
      path.push(i)
      if (bend && giving === null && ends[i]?.price === slope)
        begin(i + 1, sum + (gain[i] ?? 0), { place: path.length - 1, cell: i })
      if (i >= least && cheap(ends[i - 1]?.price, -Infinity) && dear(ends[i]?.price, Infinity))
        begin(i + 1, sum + (gain[i] ?? 0), giving)
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
