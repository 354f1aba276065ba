// A battery and what its display shows, as requests give them.

import * as z from 'zod'
import { problemWords } from '../../../words/en/problems.ts'
import { onlyWhenSound } from './fields.ts'

// A watt-hour: less is no battery, and so little that the arithmetic loses its footing.
const LEAST_KWH = 0.001

export const kw = (description: string) => z.number().min(0).max(1000).meta({ description })
const limit = (description: string) =>
  z.number().positive().max(1000).nullable().meta({ description })
const efficiency = (description: string) => z.number().min(0.5).max(1).meta({ description })

/** The battery's fields without defaults, so that a change of settings does not fill them in. */
export const batteryFields = {
  capacityKwh: z
    .number()
    .positive()
    .max(1000)
    .refine((kwh) => kwh >= LEAST_KWH, {
      message: problemWords.numberAtLeast(LEAST_KWH),
      when: onlyWhenSound,
    })
    .meta({ description: "Energy between 0 % and 100 % on the battery's own display, kWh." }),
  outageReservePct: z
    .number()
    .min(0)
    .max(90)
    .meta({ description: 'Kept for a power cut, % of capacity; a plan never spends it.' }),
  maxDischargeKw: limit('Most the inverter discharges, kW on the AC side; none: no limit.'),
  maxChargeKw: limit(
    'Most it charges, kW on the AC side; needed for topUp and taper; none: no limit for solar.',
  ),
  dischargeEfficiency: efficiency('From the store to the house, one way.'),
  chargeEfficiency: efficiency('From the grid or the sun into the store, one way.'),
  standbyKw: z
    .number()
    .min(0)
    .max(10)
    .meta({ description: 'Standing loss, kW, taken from the store at all times.' }),
  taper: z
    .strictObject({
      fromPct: z
        .number()
        .min(0)
        .lt(100)
        .meta({ description: 'Where the charge power starts to fall, %.' }),
      toKw: kw('The charge power when full, kW.'),
    })
    .nullable()
    .meta({
      description: 'Charge power falls linearly from maxChargeKw at fromPct to toKw when full.',
    }),
}

export const Battery = z
  .strictObject({
    capacityKwh: batteryFields.capacityKwh,
    outageReservePct: batteryFields.outageReservePct.default(10),
    maxDischargeKw: batteryFields.maxDischargeKw.default(null),
    maxChargeKw: batteryFields.maxChargeKw.default(null),
    dischargeEfficiency: batteryFields.dischargeEfficiency.default(0.95),
    chargeEfficiency: batteryFields.chargeEfficiency.default(0.95),
    standbyKw: batteryFields.standbyKw.default(0),
    taper: batteryFields.taper.default(null),
  })
  .meta({ id: 'Battery', description: 'A home battery as its display and its data sheet tell it.' })

export const socPct = z.number().min(0).max(100).meta({ description: 'What the display shows, %.' })
