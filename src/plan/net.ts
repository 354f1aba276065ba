// Household load less solar, piecewise constant.

import { type Instant, type Span, asInstant, earlier } from './instant.ts'
import type { Step } from './types.ts'

/** A stretch of constant net load, kW. */
export type Piece = Span & { readonly kw: number }

/** Load less solar as steps in time order. Before its first step a load is taken as that step's; solar as none. */
export function netLoad(load: readonly Step[], solar: readonly Step[]): readonly Step[] {
  const loads = inOrder(load)
  if (solar.length === 0) return loads
  const suns = inOrder(solar)
  const net: Step[] = []
  let [iLoad, iSun] = [0, 0]
  let [loadKw, sunKw] = [loads[0]?.kw ?? 0, 0]
  while (iLoad < loads.length || iSun < suns.length) {
    const nextLoad = loads[iLoad]?.start ?? asInstant(Infinity)
    const nextSun = suns[iSun]?.start ?? asInstant(Infinity)
    const start = earlier(nextLoad, nextSun)
    if (nextLoad === start) loadKw = loads[iLoad++]?.kw ?? 0
    if (nextSun === start) sunKw = suns[iSun++]?.kw ?? 0
    if (net.at(-1)?.start === start) net.pop()
    net.push({ start, kw: loadKw - sunKw })
  }
  return net
}

/** The stretches of constant net load between two instants, in time order. */
export function piecesBetween(net: readonly Step[], from: Instant, to: Instant): readonly Piece[] {
  const pieces: Piece[] = []
  if (from >= to) return pieces
  // The last step that has begun by `from`, by halving: a fortnight of half-hours has many.
  let low = 0
  let high = net.length - 1
  while (low < high) {
    const middle = Math.ceil((low + high) / 2)
    if ((net[middle]?.start ?? Infinity) <= from) low = middle
    else high = middle - 1
  }
  for (let start = from; start < to && low < net.length; low++) {
    const end = earlier(to, net[low + 1]?.start ?? asInstant(Infinity))
    pieces.push({ start, end, kw: net[low]?.kw ?? 0 })
    start = end
  }
  return pieces
}

/** The mean of a function of the net load over a span. */
export function meanOver(net: readonly Step[], span: Span, value: (kw: number) => number): number {
  const weighted = piecesBetween(net, span.start, span.end).map(
    (piece) => value(piece.kw) * (piece.end - piece.start),
  )
  return weighted.reduce((sum, part) => sum + part, 0) / (span.end - span.start)
}

const inOrder = (steps: readonly Step[]): readonly Step[] =>
  steps.toSorted((a, b) => a.start - b.start)
