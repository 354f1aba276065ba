// How the stored energy moves at one instant (model §1): which curve it follows and between which
// levels that curve holds. No time passes here; `line.ts` joins the curves over time.

import type { Battery } from './types.ts'

/** What the battery does: a person's three modes, and `serve`, which is `run` without regard to the floor: what a reserve has to be worth. */
export type Use = 'run' | 'hold' | 'fill' | 'serve'

/** A straight line in kWh per hour, or the taper's exponential towards a level. */
export type Curve =
  | { readonly kind: 'line'; readonly rate: number }
  | { readonly kind: 'decay'; readonly toward: number; readonly perHour: number }

/** A curve and the levels between which it holds, kWh. */
export type Motion = { readonly curve: Curve; readonly low: number; readonly high: number }

export const STILL: Curve = { kind: 'line', rate: 0 }

/** The energy kept for a power cut, kWh. */
export const floorKwh = (battery: Battery): number =>
  (battery.outageReservePct / 100) * battery.capacityKwh

export const rateAt = (curve: Curve, kwh: number): number =>
  curve.kind === 'line' ? curve.rate : (curve.toward - kwh) * curve.perHour

/** The energy `hours` after it was `kwh`; negative hours look back. */
export const kwhAfter = (curve: Curve, kwh: number, hours: number): number =>
  curve.kind === 'line'
    ? kwh + curve.rate * hours
    : curve.toward + (kwh - curve.toward) * Math.exp(-curve.perHour * hours)

/** Hours until the energy is `target`: negative if it was so before, `Infinity` if the curve never gets there. */
export function hoursUntil(curve: Curve, kwh: number, target: number): number {
  if (target === kwh) return 0
  if (curve.kind === 'line') return curve.rate === 0 ? Infinity : (target - kwh) / curve.rate
  const ratio = (kwh - curve.toward) / (target - curve.toward)
  return ratio > 0 && Number.isFinite(ratio) ? Math.log(ratio) / curve.perHour : Infinity
}

/**
 * The motion of a store of `kwh` under a net load, kW (negative: solar surplus). `heading` is 1 when the
 * walk goes forward in time and -1 when it goes back; it decides which curve holds at a level where two meet.
 */
export function motion(
  battery: Battery,
  use: Use,
  netKw: number,
  kwh: number,
  heading: 1 | -1,
): Motion {
  const charging = use === 'fill' || netKw < 0
  if (charging) return charge(battery, use === 'fill' ? Infinity : -netKw, kwh, heading)
  const floor = floorKwh(battery)
  const loss = battery.standbyKw
  if (netKw > 0 && (use === 'serve' || (use === 'run' && kwh > floor))) {
    const rate = -dischargeKw(battery, netKw) / battery.dischargeEfficiency - loss
    return { curve: { kind: 'line', rate }, low: use === 'run' ? floor : 0, high: Infinity }
  }
  return kwh <= 0 && heading > 0 ? still() : { curve: line(-loss), low: 0, high: Infinity }
}

/** What the inverter gives to a load, kW on the AC side; the rest is imported. */
export const dischargeKw = (battery: Battery, netKw: number): number =>
  Math.min(Math.max(0, netKw), battery.maxDischargeKw)

/** Charging at what is offered, up to the inverter's limit, and falling in the taper (constant current, then constant voltage). */
function charge(battery: Battery, offeredKw: number, kwh: number, heading: 1 | -1): Motion {
  const { capacityKwh, maxChargeKw, chargeEfficiency, standbyKw, taper } = battery
  const flatKw = Math.min(offeredKw, maxChargeKw)
  const flat = line(flatKw * chargeEfficiency - standbyKw)
  const taperFrom = taper === null ? capacityKwh : (taper.fromPct / 100) * capacityKwh
  const slope = taper === null ? 0 : (maxChargeKw - taper.toKw) / (capacityKwh - taperFrom)
  // Where the falling limit meets what is offered; with a weak surplus the taper may never bind.
  const meets =
    slope > 0 ? Math.min(capacityKwh, taperFrom + (maxChargeKw - flatKw) / slope) : capacityKwh
  const falling: Curve = {
    kind: 'decay',
    toward: taperFrom + (maxChargeKw - standbyKw / chargeEfficiency) / slope,
    perHour: chargeEfficiency * slope,
  }
  const rate = rateAt(kwh > meets ? falling : flat, kwh)
  const upward = rate * heading > 0
  if (rate === 0 || (kwh >= capacityKwh && upward) || (kwh <= 0 && !upward)) return still()
  if (kwh > capacityKwh) return still()
  return kwh < meets || (kwh === meets && !upward)
    ? { curve: flat, low: 0, high: meets }
    : { curve: falling, low: meets, high: capacityKwh }
}

const line = (rate: number): Curve => ({ kind: 'line', rate })

const still = (): Motion => ({ curve: STILL, low: -Infinity, high: Infinity })
