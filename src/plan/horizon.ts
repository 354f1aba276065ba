// How far the cost of a hold is counted, and what energy is worth that is left then.

import { DAY_MS, type Instant, type Span, asInstant, earlier, later } from './instant.ts'
import { piecesBetween } from './net.ts'
import { priceAt } from './spend.ts'
import type { Battery, PlanInput, Step, UnitRate } from './types.ts'

/**
 * From now to the first of: a charge window or surplus after the event, the end of the event where another follows (its
 * reserve is asked for already), 24 h from now; but not before the event's end.
 */
export function horizonEnd(
  { now, topUpWindows, events }: PlanInput,
  net: readonly Step[],
  event: Span,
): Instant {
  if (events.some((other) => other.start >= event.end)) return event.end
  const windows = topUpWindows.map(({ start }) => start).filter((start) => start >= event.end)
  const day = asInstant(now + DAY_MS)
  const surplus = piecesBetween(net, event.end, later(day, event.end)).find(({ kw }) => kw < 0)
  const ends = [...windows, ...(surplus ? [surplus.start] : []), day]
  return later(event.end, ends.reduce(earlier))
}

/**
 * What a stored kWh is worth when the horizon ends: the cheapest rate at which it could be replaced (in the charge windows
 * after the event, or at any time of the day ahead), but never more than it can save at the dearest. On one flat rate
 * that is what it saves at once, so that every hold costs the same.
 */
export function worthPerKwh(
  { now, topUpWindows, battery }: PlanInput,
  rates: readonly UnitRate[],
  event: Span,
  end: Instant,
): number {
  const ahead = { start: now, end: later(end, asInstant(now + DAY_MS)) }
  const windows = topUpWindows.filter(({ start }) => start >= event.end)
  const refilled = (windows.length > 0 ? windows : [ahead]).flatMap((span) => within(rates, span))
  return worth(battery, Math.min(...refilled), Math.max(...within(rates, ahead)))
}

const worth = (battery: Battery, cheapest: number, dearest: number): number =>
  Math.min(cheapest / battery.chargeEfficiency, dearest * battery.dischargeEfficiency)

/** Every rate that is in force at some time of a span. */
const within = (rates: readonly UnitRate[], { start, end }: Span): readonly number[] => [
  priceAt(rates, start),
  ...rates.filter((rate) => rate.start > start && rate.start < end).map((rate) => rate.perKwh),
]
