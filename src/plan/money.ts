// What holds are worth in money: what the house need not buy up to the horizon, and what is left then. For a
// battery that only runs and holds; no surplus, no filling.

import { floorKwh } from './battery.ts'
import { type Instant, type Span, hoursAfter, hoursBetween } from './instant.ts'
import { type Spend, lastAtMost, valueAt } from './spend.ts'
import type { Battery } from './types.ts'

/** From when the battery has to be at its floor for the standing loss to empty it by the end. */
export const emptyFrom = (battery: Battery, end: Instant): Instant =>
  battery.standbyKw > 0 ? hoursAfter(end, -floorKwh(battery) / battery.standbyKw) : end

export type Money = {
  /** Net of what is left at the horizon's end. */
  saved(holds: readonly Span[]): number
  /** The same, before it is taken off what the house buys during the holds: all that counts then is how much they keep, kWh. */
  worthOfKept(keptKwh: number): number
  /** The energy at an instant after the holds, before the floor is met, kWh. */
  kwhAt(holds: readonly Span[], at: Instant): number
  /** How much the holds must keep from being drawn, so that the energy at `at` is `kwh`. */
  kept(at: Instant, kwh: number): number
}

/** The time counted, the energy at its start, and what a stored kWh is worth at its end. */
type Counted = Span & { readonly startKwh: number; readonly worth: number }

export function moneyOf(
  battery: Battery,
  { drawn, lost, saved }: Spend,
  { end, startKwh, worth }: Counted,
): Money {
  const floor = floorKwh(battery)
  const over = (values: typeof drawn, holds: readonly Span[]) =>
    holds.reduce((sum, hold) => sum + valueAt(values, hold.end) - valueAt(values, hold.start), 0)
  const worthOfKept = (keptKwh: number) => {
    const stock = startKwh - floor + keptKwh
    const spentAt = lastAtMost(lost, stock)
    const leftKwh =
      spentAt < end
        ? Math.max(0, floor - battery.standbyKw * hoursBetween(spentAt, end))
        : floor + stock - valueAt(lost, end)
    return valueAt(saved, spentAt) + worth * leftKwh
  }
  return {
    worthOfKept,
    saved: (holds) => worthOfKept(over(drawn, holds)) - over(saved, holds),
    kwhAt: (holds, at) => startKwh + over(drawn, holds) - valueAt(lost, at),
    kept: (at, kwh) => kwh + valueAt(lost, at) - startKwh,
  }
}
