// What a plan is worth as it is answered: both bills and what lies between them.

import * as z from 'zod'
import { at, number } from './answerFields.ts'

const HorizonAnswer = z.strictObject({ start: at('Now.'), end: at('Up to here it is counted.') })

const bill = {
  importKwh: number('From the grid up to the horizon, kWh.'),
  cost: number('At the unit rates.'),
  leftKwh: number('Stored at the horizon, kWh.'),
  leftWorth: number('What that is worth.'),
  reward: number('Of all events.'),
}

const BillAnswer = z
  .strictObject({
    importKwh: bill.importKwh,
    deliveredKwh: number('From the battery to the house, kWh.'),
    importByHalfHour: z
      .array(z.strictObject({ start: at('Begins.'), kwh: number('From the grid, kWh.') }))
      .meta({ description: 'Begin on the hour and the half; the first and last may be cut.' }),
    cost: bill.cost,
    leftKwh: bill.leftKwh,
    leftWorth: bill.leftWorth,
    events: z
      .array(
        z.strictObject({
          start: at('As asked.'),
          end: at('As asked.'),
          importKwh: number('From the grid in it, from now on, kWh.'),
          reward: number('perKwh for each kWh less than the baseline.'),
        }),
      )
      .meta({ description: 'In time order.' }),
    reward: bill.reward,
    net: number('Cost less reward and the worth of what is left.'),
  })
  .meta({ id: 'Bill', description: 'Money in the currency of the rates.' })

export const WorthAnswer = z
  .strictObject({
    horizon: HorizonAnswer,
    withPlan: BillAnswer,
    withoutPlan: BillAnswer,
    difference: z.strictObject(bill).meta({ description: 'With the plan less without it.' }),
    gain: number('What the plan is worth in all; negative where it is not worth it.'),
  })
  .meta({
    id: 'Worth',
    description: 'Both sides: with the plan, and with the battery left running.',
  })

export type WorthAnswer = z.infer<typeof WorthAnswer>
