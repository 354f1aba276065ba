// What fits under the inverter's limit beside what is running, and what draws from the grid whatever charge is kept.

import { APPLIANCES, type Appliance, kwhUnder, peakKw } from './table.ts'

export type Room = {
  /** The most that the battery's inverter gives, kW; `Infinity` when no limit is known. */
  readonly limitKw: number
  /** What is running already, kW. */
  readonly backgroundKw: number
  /** Stored energy beyond what the event ahead needs, its background load included, kWh; `null` when not known. */
  readonly aboveReserveKwh: number | null
  readonly capacityKwh: number
  /** One-way, 0.5 to 1. */
  readonly dischargeEfficiency: number
}

export type Fit = {
  readonly appliance: Appliance
  /** The most it draws, kW. */
  readonly kw: number
  /** Nothing of it comes from the grid because of the limit. */
  readonly fits: boolean
  /** What it draws from the grid at its most, beside the background, kW. */
  readonly fromGridKw: number
  /** What one cycle takes out of the battery, stored energy, kWh, and in per cent of the capacity. */
  readonly cycleKwh: number
  readonly cyclePct: number
  /** Whether that is there above the reserve; `null` when not known. */
  readonly enough: boolean | null
}

/** What the limit leaves beside the background, kW: never less than none. */
export const leftKw = ({ limitKw, backgroundKw }: Room): number =>
  Math.max(0, tidy(limitKw - backgroundKw))

/** What the background load alone draws from the grid, over the limit, kW. */
export const overKw = ({ limitKw, backgroundKw }: Room): number =>
  Math.max(0, tidy(backgroundKw - limitKw))

/** Each appliance alone beside the background, in the table's order; two at once add up. */
export function besideBackground(
  room: Room,
  appliances: readonly Appliance[] = APPLIANCES,
): readonly Fit[] {
  const left = leftKw(room)
  return appliances.map((appliance) => {
    const kw = peakKw(appliance)
    const fromGridKw = Math.max(0, tidy(kw - left))
    const cycleKwh = kwhUnder(appliance.cycle, left) / room.dischargeEfficiency
    return {
      appliance,
      kw,
      fits: fromGridKw === 0,
      fromGridKw,
      cycleKwh,
      cyclePct: (100 * cycleKwh) / room.capacityKwh,
      enough: room.aboveReserveKwh === null ? null : tidy(cycleKwh - room.aboveReserveKwh) <= 0,
    }
  })
}

/** Without the last bits of a subtraction: 3.6 - 0.8 is 2.8. To the milliwatt. */
const tidy = (value: number): number =>
  Number.isFinite(value) ? Math.round(value * 1e6) / 1e6 : value
