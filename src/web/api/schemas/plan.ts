// What `POST /api/plan` takes: every field, its bounds and its default (the HTTP contract). Unknown
// fields are refused, so that a misspelt one is not silently lost.

import * as z from 'zod'
import { DAY_MS } from '../../../plan/index.ts'
import { problemWords } from '../../../words/en/problems.ts'
import { Battery, kw, socPct } from './battery.ts'
import { EventSpan, Span, date, instant, onlyWhenSound, timeZone } from './fields.ts'

const MAX_STEPS = 5000
const MAX_SPANS = 100
const MAX_DAYS = 800
export const MAX_EVENTS = 20
const FEWEST_ACTIONS = 2

const Reading = z.strictObject({
  at: instant('When it was read; not later than now. It is walked forward to now.'),
  socPct,
})

/** Steps come in any order; two at one instant are a contradiction. */
const steps = <Value extends z.ZodType<{ start: number }>>(step: Value, description: string) =>
  z
    .array(step)
    .min(1)
    .max(MAX_STEPS)
    .superRefine((list, context) =>
      repeated(list, (it) => it.start, 'start', problemWords.repeatedStart, context),
    )
    .meta({ description })

function repeated<Item>(
  list: readonly Item[],
  of: (item: Item) => unknown,
  field: string,
  message: string,
  context: z.RefinementCtx,
) {
  const seen = new Set<unknown>()
  list.forEach((item, index) => {
    const value = of(item)
    if (seen.has(value)) context.addIssue({ code: 'custom', path: [index, field], message })
    seen.add(value)
  })
}

const LoadStep = z.strictObject({ start: instant('From this instant on.'), kw: kw('Draw, kW.') })
const SolarStep = z.strictObject({ start: instant('From this instant on.'), kw: kw('Yield, kW.') })
const RateStep = z.strictObject({
  start: instant('From this instant on.'),
  perKwh: z.number().min(-1e6).max(1e6).meta({ description: 'Price of a kWh, any currency.' }),
})

const Reward = z
  .strictObject({
    perKwh: z.number().min(0).max(1e6).meta({
      description:
        'What the scheme pays for a kWh less than the baseline, in the currency of the rates.',
    }),
    baselineKwh: z
      .array(z.number().min(0).max(1e6).nullable())
      .min(1)
      .max(MAX_EVENTS)
      .meta({ description: 'For each event in time order, kWh; null where there is none.' }),
  })
  .meta({ id: 'Reward', description: 'What the scheme pays for using less than usual.' })

const Day = z.strictObject({
  date: date('A past day of the local calendar.'),
  kwh: z
    .array(z.number().min(0).max(1000))
    .length(48)
    .meta({ description: 'Import of each half-hour of the local clock, kWh.' }),
})

export const SteadyLoad = z.strictObject({ kw: kw('Steady draw, kW.') })

const Load = z
  .union(
    [
      SteadyLoad,
      z.strictObject({
        steps: steps(
          LoadStep,
          'Each lasts until the next, the last for ever; before the first its power is taken to be the same.',
        ),
      }),
      z.strictObject({
        days: z
          .array(Day)
          .min(1)
          .max(MAX_DAYS)
          .superRefine((list, context) =>
            repeated(list, (it) => it.date, 'date', problemWords.repeatedDate, context),
          )
          .meta({
            description: 'Past days, any order; the plan is then early enough on most of them.',
          }),
      }),
    ],
    { error: problemWords.notLoad },
  )
  .meta({ id: 'Load', description: 'What the household draws: steady, in steps, or as past days.' })

export const Margin = z
  .union(
    [
      z.strictObject({ pct: z.number().min(0).max(100).meta({ description: '% of capacity.' }) }),
      z.strictObject({
        kwh: z.number().min(0).max(1000).meta({ description: 'Stored energy, kWh.' }),
      }),
      z.strictObject({
        hours: z
          .number()
          .min(0)
          .max(24)
          .meta({ description: "Hours of the event's own mean load." }),
      }),
    ],
    { error: problemWords.notMargin },
  )
  .meta({ id: 'Margin', description: 'What is kept beyond the computed need.' })

export const Rule = z
  .strictObject({
    pctPerHour: z.number().min(0).max(100).meta({ description: '% of capacity for each hour.' }),
    extraHours: z
      .number()
      .min(0)
      .max(24)
      .meta({ description: 'Hours added to the length of the event.' }),
  })
  .meta({ id: 'Rule', description: "The household's rule of thumb instead of the modelled need." })

export const releaseLeadMinutes = z
  .number()
  .min(0)
  .max(60)
  .meta({ description: 'How long before the start a person lets the battery run again, minutes.' })

const spans = (description: string) => z.array(Span).max(MAX_SPANS).meta({ description })

export const PlanRequest = z
  .strictObject({
    now: instant('The instant to plan from.'),
    timeZone: timeZone.optional(),
    battery: Battery,
    reading: Reading,
    previousReading: Reading.optional().meta({
      description:
        'With load.days: the reading before, if the battery only ran since; before reading. What was used since then tells of the rest of the day.',
    }),
    load: Load,
    solar: z
      .strictObject({
        steps: steps(
          SolarStep,
          'Each lasts until the next, the last for ever; none before the first.',
        ),
      })
      .optional()
      .meta({ description: 'Expected yield.' }),
    events: z
      .array(EventSpan)
      .min(1)
      .max(MAX_EVENTS)
      .meta({ description: 'In any order, not overlapping, none over.' }),
    margin: Margin.optional().meta({
      description: '{ "pct": 5 } when none is given; none with load.days.',
    }),
    rule: Rule.optional(),
    releaseLeadMinutes: releaseLeadMinutes.default(5),
    confidence: z.number().min(0.5).max(0.99).default(0.9).meta({
      description: 'With load.days: the share of days on which the hold is to be early enough.',
    }),
    maxReadings: z
      .int()
      .min(0)
      .max(6)
      .default(2)
      .meta({ description: 'With load.days: how often somebody is asked to look at most.' }),
    calibrated: z
      .strictObject({
        days: z.int().min(1).max(MAX_DAYS),
        coveredOn: z.int().min(0).max(MAX_DAYS),
        stage: z.number().min(0.5).lt(1),
      })
      .optional()
      .meta({
        description:
          'With load.days: the confidence that the first answer of the day gave, to keep it at the readings that follow.',
      }),
    topUp: z
      .strictObject({ windows: spans('Where charging from the grid is allowed.') })
      .optional()
      .meta({
        description: 'Windows that are given are meant to be used, as late as they suffice.',
      }),
    outOfReach: spans('When nobody can touch the inverter.').optional(),
    unitRates: steps(RateStep, 'Each lasts until the next, the last for ever.').optional(),
    cheapest: z
      .boolean()
      .default(false)
      .meta({ description: 'With unitRates: the hold is the cheapest, not the latest.' }),
    maxActions: z.int().min(FEWEST_ACTIONS).max(6).default(FEWEST_ACTIONS).meta({
      description:
        'With cheapest: how often hands may be asked before the first event; two for each hold.',
    }),
    reward: Reward.optional().meta({
      description: 'With unitRates: counted in what the plan is worth.',
    }),
  })
  .refine(({ load, timeZone: zone }) => !('days' in load) || zone !== undefined, {
    path: ['timeZone'],
    message: problemWords.zoneWithDays,
    when: onlyWhenSound,
  })
  .refine(
    ({ previousReading, reading }) =>
      !previousReading ||
      (previousReading.at < reading.at && reading.at - previousReading.at <= DAY_MS),
    {
      path: ['previousReading', 'at'],
      message: problemWords.previousReadingLater,
      when: onlyWhenSound,
    },
  )
  .refine(({ cheapest, unitRates }) => !cheapest || unitRates !== undefined, {
    path: ['unitRates'],
    message: problemWords.ratesWithCheapest,
    when: onlyWhenSound,
  })
  .refine(({ cheapest, maxActions }) => cheapest || maxActions === FEWEST_ACTIONS, {
    path: ['cheapest'],
    message: problemWords.cheapestWithActions,
    when: onlyWhenSound,
  })
  .refine(({ reward, unitRates }) => reward === undefined || unitRates !== undefined, {
    path: ['unitRates'],
    message: problemWords.ratesWithReward,
    when: onlyWhenSound,
  })
  .refine(({ reward, events }) => !reward || reward.baselineKwh.length === events.length, {
    path: ['reward', 'baselineKwh'],
    message: problemWords.baselineForEach,
    when: onlyWhenSound,
  })
  .meta({
    id: 'PlanRequest',
    description: 'A battery, a reading, the load and the events to plan for.',
  })

export type PlanRequest = z.output<typeof PlanRequest>
