// What flows from the grid while a battery is walked through one stretch of constant load, in closed form.

import { dischargeKw, floorKwh, hoursUntil, kwhAfter } from './battery.ts'
import { hoursBetween } from './instant.ts'
import { type Leg, lastKwh, walkForward } from './line.ts'
import type { Piece } from './net.ts'
import type { Battery, Mode } from './types.ts'

/** Energies of a stretch on the AC side, and what is stored at its end, kWh. */
export type Flow = {
  readonly importKwh: number
  /** Discharged to the house. */
  readonly deliveredKwh: number
  readonly kwh: number
}

/** Walks a stretch in one mode from `kwh`. */
export function flowThrough(battery: Battery, mode: Mode, piece: Piece, kwh: number): Flow {
  const line = walkForward(battery, mode, [piece], kwh)
  let [importKwh, deliveredKwh] = [0, 0]
  for (const leg of line) {
    const hours = hoursBetween(leg.start, leg.end)
    const serves = mode === 'run' && leg.kwh > floorKwh(battery)
    const delivered = serves ? dischargeKw(battery, piece.kw) * hours : 0
    deliveredKwh += delivered
    importKwh +=
      mode === 'fill'
        ? filledKwh(battery, leg, piece.kw)
        : Math.max(0, piece.kw) * hours - delivered
  }
  return { importKwh, deliveredKwh, kwh: lastKwh(line, kwh) }
}

/** What is imported on one leg of filling: load and charge, less the sun. */
function filledKwh(battery: Battery, leg: Leg, netKw: number): number {
  const { standbyKw, chargeEfficiency, maxChargeKw } = battery
  const whole = hoursBetween(leg.start, leg.end)
  let hours = whole
  if (netKw < 0 && leg.curve.kind === 'decay') {
    // In the taper the charge falls; from where the sun alone is enough, nothing is imported.
    const enoughKwh = leg.curve.toward - (-netKw * chargeEfficiency - standbyKw) / leg.curve.perHour
    const until = hoursUntil(leg.curve, leg.kwh, enoughKwh)
    if (until >= 0) hours = Math.min(whole, until)
  }
  const stored = kwhAfter(leg.curve, leg.kwh, hours) - leg.kwh
  const charged = Math.min(maxChargeKw * hours, (stored + standbyKw * hours) / chargeEfficiency)
  return Math.max(0, netKw * hours + charged)
}
