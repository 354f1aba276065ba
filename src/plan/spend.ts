// What a running battery draws and saves, cumulated over time. Straight between breakpoints, so every value and
// every instant is solved for.

import { dischargeKw } from './battery.ts'
import { type Instant, type Span, asInstant, hoursBetween } from './instant.ts'
import { piecesBetween } from './net.ts'
import type { Battery, Step, UnitRate } from './types.ts'

/** Straight stretches between instants in time order. */
export type Cumulated = { readonly times: readonly Instant[]; readonly values: readonly number[] }

export type Spend = {
  /** Stored energy drawn for the house if the battery ran from the start, without the standing loss, kWh. */
  readonly drawn: Cumulated
  /** The same with the standing loss, kWh. */
  readonly lost: Cumulated
  /** What the house need not buy for it, in the currency of the rates. */
  readonly saved: Cumulated
}

/** The rate at an instant, from rates in time order; before the first, that one's. */
export function priceAt(rates: readonly UnitRate[], at: Instant): number {
  // The last that has begun, by halving.
  let [low, high] = [0, rates.length - 1]
  while (low < high) {
    const middle = Math.ceil((low + high) / 2)
    if ((rates[middle]?.start ?? Infinity) <= at) low = middle
    else high = middle - 1
  }
  return rates[low]?.perKwh ?? 0
}

/** Over a span, with breakpoints wherever load, sun or rate change, and at `besides`. */
export function spendOver(
  battery: Battery,
  net: readonly Step[],
  rates: readonly UnitRate[],
  { start, end }: Span,
  besides: readonly Instant[],
): Spend {
  const within = [...net, ...rates].map((step) => step.start).concat(besides, start, end)
  const times = [...new Set(within)]
    .filter((at) => at >= start && at <= end)
    .toSorted((a, b) => a - b)
  const [drawn, lost, saved] = [[0], [0], [0]] as [number[], number[], number[]]
  for (const [i, at] of times.slice(0, -1).entries()) {
    const next = times[i + 1] ?? at
    const hours = hoursBetween(at, next)
    const kw = dischargeKw(battery, piecesBetween(net, at, next)[0]?.kw ?? 0)
    const out = (kw * hours) / battery.dischargeEfficiency
    drawn.push((drawn[i] ?? 0) + out)
    lost.push((lost[i] ?? 0) + out + battery.standbyKw * hours)
    saved.push((saved[i] ?? 0) + kw * hours * priceAt(rates, at))
  }
  return {
    drawn: { times, values: drawn },
    lost: { times, values: lost },
    saved: { times, values: saved },
  }
}

export function valueAt({ times, values }: Cumulated, at: Instant): number {
  const i = Math.max(0, lastIndex(times, at))
  const [from, to] = [times[i] ?? at, times[i + 1]]
  const [low, high] = [values[i] ?? 0, values[i + 1]]
  if (to === undefined || high === undefined || to === from) return low
  return low + (high - low) * Math.min(1, (at - from) / (to - from))
}

/** The last instant at which a value that never falls is not over `value`; the end if it never is. */
export function lastAtMost({ times, values }: Cumulated, value: number): Instant {
  const i = Math.max(0, lastIndex(values, value))
  const [from, to] = [times[i] ?? asInstant(0), times[i + 1]]
  const [low, high] = [values[i] ?? 0, values[i + 1]]
  if (to === undefined || high === undefined) return from
  return asInstant(from + (to - from) * Math.max(0, Math.min(1, (value - low) / (high - low))))
}

/** The last place in an ascending list that is not over `value`, by halving; -1 if all are. */
function lastIndex(ascending: readonly number[], value: number): number {
  let [low, high] = [-1, ascending.length - 1]
  while (low < high) {
    const middle = Math.ceil((low + high) / 2)
    if ((ascending[middle] ?? Infinity) <= value) low = middle
    else high = middle - 1
  }
  return low
}
