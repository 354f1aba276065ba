// What a household is used to, as requests give it: who can reach the battery when, what power costs when, the sun.

import * as z from 'zod'
import { problemWords } from '../../../words/en/problems.ts'
import { Span, clock, line, onlyWhenSound } from './fields.ts'
import { kw } from './battery.ts'

const MOST_PEOPLE = 12
const MOST_PATTERNS = 40
const MOST_ABSENCES = 100

const weekly = {
  days: z
    .array(z.int().min(1).max(7))
    .min(1)
    .max(7)
    .refine((days) => new Set(days).size === days.length, { message: problemWords.repeatedDay })
    .default([1, 2, 3, 4, 5, 6, 7])
    .meta({ description: 'Days of the week it begins on, 1 Monday to 7 Sunday; all if left out.' }),
  from: clock('Begins, local clock.'),
  until: clock('Ends, local clock; the day after where it is not later.'),
}
const sameClock = { path: ['until'], message: problemWords.sameClock, when: onlyWhenSound }
const lasts = ({ from, until }: { from: string; until: string }) => from !== until

const Weekly = z
  .strictObject(weekly)
  .refine(lasts, sameClock)
  .meta({ id: 'Weekly', description: "A pattern of the week on the household's own clock." })

const Quiet = z
  .strictObject({ from: weekly.from, until: weekly.until })
  .refine(lasts, sameClock)
  .meta({ id: 'Quiet', description: 'Every day.' })

const Person = z
  .strictObject({
    name: line(60, 'Who.'),
    away: z
      .array(Weekly)
      .max(MOST_PATTERNS)
      .default([])
      .meta({ description: 'When this person cannot touch the inverter, every week.' }),
    absences: z
      .array(Span)
      .max(MOST_ABSENCES)
      .default([])
      .meta({ description: 'When this person cannot, once.' }),
    quiet: Quiet.nullable()
      .default(null)
      .meta({ description: 'When this person sleeps or is not to be disturbed.' }),
  })
  .meta({ id: 'Person', description: 'Somebody who can pause the battery and let it run again.' })

const price = z.number().min(-1e6).max(1e6)

const Band = z
  .strictObject({ ...weekly, perKwh: price.meta({ description: 'Price of a kWh in it.' }) })
  .refine(lasts, sameClock)
  .meta({ id: 'RateBand', description: 'When a kWh has another price, every week.' })

const Rates = z
  .strictObject({
    currency: z
      .string()
      .regex(/^[A-Z]{3}$/, problemWords.notCurrency)
      .meta({ description: 'ISO 4217.', examples: ['CAD'] }),
    perKwh: price.meta({ description: 'Price of a kWh outside the bands.' }),
    bands: z
      .array(Band)
      .max(MOST_PATTERNS)
      .default([])
      .meta({ description: 'Where two overlap, the first counts.' }),
  })
  .meta({ id: 'Rates', description: 'What a kWh costs, by time of use.' })

const SolarArray = z.strictObject({
  kwp: z.number().positive().max(1000).meta({ description: 'Size of the array, kWp.' }),
  tiltDeg: z.number().min(0).max(90).meta({ description: 'From level, degrees.' }),
  azimuthDeg: z.number().min(0).max(360).meta({ description: 'From north, clockwise, degrees.' }),
  latitude: z.number().min(-90).max(90).meta({ description: 'Degrees north.' }),
  longitude: z.number().min(-180).max(180).meta({ description: 'Degrees east.' }),
})

const Solar = z
  .union(
    [
      z.strictObject({
        kwhPerDay: kw('What the sun is expected to give on an event day, kWh.'),
      }),
      SolarArray,
    ],
    { error: problemWords.notSolar },
  )
  .meta({ id: 'Solar', description: 'Typed, or from an array and its place, a dull day assumed.' })

/** The fields without defaults, so that a change of settings does not fill them in. */
export const habitFields = {
  people: z.array(Person).max(MOST_PEOPLE).meta({
    description: 'Who can reach the battery. Nobody listed: somebody always can.',
  }),
  topUp: z
    .strictObject({ windows: z.array(Weekly).min(1).max(MOST_PATTERNS) })
    .nullable()
    .meta({ description: 'Where charging from the grid by hand is allowed; needs maxChargeKw.' }),
  unitRates: Rates.nullable(),
  solar: Solar.nullable(),
  confidence: z.number().min(0.5).max(0.99).meta({
    description: 'With meter data: the share of days on which a hold is to be early enough.',
  }),
  maxReadings: z.int().min(0).max(6).meta({
    description: 'How often a reading is asked for before an event at most.',
  }),
  cheapest: z
    .boolean()
    .meta({ description: 'With unitRates: hold where it costs least, not as late as possible.' }),
  maxActions: z.int().min(2).max(6).meta({
    description: 'With cheapest: how often hands may be asked before an event; two for each hold.',
  }),
  rewardPerKwh: price.nullable().meta({ description: 'What the scheme pays for a kWh saved.' }),
}

export const newHabitFields = {
  people: habitFields.people.default([]),
  topUp: habitFields.topUp.default(null),
  unitRates: habitFields.unitRates.default(null),
  solar: habitFields.solar.default(null),
  confidence: habitFields.confidence.default(0.9),
  maxReadings: habitFields.maxReadings.default(2),
  cheapest: habitFields.cheapest.default(false),
  maxActions: habitFields.maxActions.default(2),
  rewardPerKwh: habitFields.rewardPerKwh.default(null),
}
