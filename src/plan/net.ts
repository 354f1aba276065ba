// Household load less solar, piecewise constant.

import { type Instant, type Span, asInstant, earlier, later } from './instant.ts'
import type { Step } from './types.ts'

/** A stretch of constant net load, kW. */
export type Piece = Span & { readonly kw: number }

/** Load less solar as steps in time order. Before its first step a load is taken as that step's; solar as none. */
export function netLoad(load: readonly Step[], solar: readonly Step[]): readonly Step[] {
  const starts = [...new Set([...load, ...solar].map((step) => step.start))].toSorted(
    (a, b) => a - b,
  )
  const loads = inOrder(load)
  const suns = inOrder(solar)
  const first = loads[0]?.kw ?? 0
  let iLoad = 0
  let iSun = 0
  return starts.map((start) => {
    while (iLoad < loads.length && (loads[iLoad]?.start ?? Infinity) <= start) iLoad++
    while (iSun < suns.length && (suns[iSun]?.start ?? Infinity) <= start) iSun++
    return { start, kw: (loads[iLoad - 1]?.kw ?? first) - (suns[iSun - 1]?.kw ?? 0) }
  })
}

/** The stretches of constant net load between two instants, in time order. */
export function piecesBetween(net: readonly Step[], from: Instant, to: Instant): readonly Piece[] {
  const pieces: Piece[] = []
  for (const [i, step] of net.entries()) {
    const start = i === 0 ? from : later(from, step.start)
    const end = earlier(to, net[i + 1]?.start ?? asInstant(Infinity))
    if (start < end) pieces.push({ start, end, kw: step.kw })
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
