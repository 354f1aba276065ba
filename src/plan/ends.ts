// Where a hold may begin or end, by what a running battery would have drawn until then. Measured so, a hold is as long as
// the energy that it keeps, and only the rates and people's reach bend what it costs: not the load.

import type { Instant, Span } from './instant.ts'
import { lastReachable } from './reach.ts'
import { type Spend, priceAt, valueAt } from './spend.ts'
import type { Battery, UnitRate } from './types.ts'

/** An end at which the rate changes, hands come or go, or the time to hold begins or ends. */
export type End = {
  readonly at: Instant
  /** Stored energy drawn until then, kWh. */
  readonly drawn: number
  /** What the house need not buy for it. */
  readonly saved: number
  /** What it saves per stored kWh from here to the next end; `null` where nobody can hold or release in between. */
  readonly price: number | null
}

/** Between two instants, in time order. Where nothing is drawn for a while, the latest instant stands for all. */
export function endsOf(
  { dischargeEfficiency }: Battery,
  { drawn, saved }: Spend,
  rates: readonly UnitRate[],
  outOfReach: readonly Span[],
  { start, end }: Span,
): readonly End[] {
  const within = drawn.times.filter((at) => at >= start && at <= end)
  const inReach = within.filter((at) => at === end || lastReachable(outOfReach, at, at) !== null)
  const ends = inReach.map((at, i): End => {
    const next = inReach[i + 1] ?? at
    const away = outOfReach.some((span) => span.start < next && span.end > at)
    const price = away || next === at ? null : dischargeEfficiency * priceAt(rates, at)
    return { at, drawn: valueAt(drawn, at), saved: valueAt(saved, at), price }
  })
  return ends
    .filter(({ drawn: kwh }, i) => kwh !== ends[i + 1]?.drawn)
    .filter(({ price }, i, all) => price === null || price !== all[i - 1]?.price)
}
