// Meter data: what can be said of a file beside it, and what is answered when it was taken in.

import * as z from 'zod'
import { at } from './answerFields.ts'

/** What a file may be sent as. */
export const METER_TYPES = [
  'text/csv',
  'text/plain',
  'application/xml',
  'text/xml',
  'application/atom+xml',
  'application/octet-stream',
] as const

const name = (description: string) => z.string().min(1).max(400).optional().meta({ description })

/** Answers to the questions that a file can raise, as query parameters. */
export const MeterAnswers = z.strictObject({
  dateOrder: z
    .enum(['day-first', 'month-first'])
    .optional()
    .meta({ description: 'The order of day and month in the dates of the file.' }),
  stamps: z
    .enum(['start', 'end'])
    .optional()
    .meta({ description: 'Whether a time stands for the start of its interval or for its end.' }),
  unit: z.enum(['kWh', 'Wh', 'kW', 'W']).optional().meta({ description: 'Of the figures.' }),
  clock: z.enum(['local', 'utc', 'standard']).optional().meta({
    description:
      "The clock of times without an offset: the household's, UTC, or the household's without summer time.",
  }),
  column: z
    .string()
    .regex(/^\d{1,4}$/)
    .optional()
    .meta({ description: 'The column of the electricity taken from the grid, counted from 0.' }),
  series: name('The series of a Green Button file, as the question named it.'),
  kind: name('The rows to take where a column says what each row is, as the question named them.'),
})

const count = (description: string) => z.int().meta({ description })
const date = (description: string) => z.string().meta({ description, format: 'date' })

export const MeterSummary = z
  .strictObject({
    takenAt: at('When the last of them arrived.'),
    from: date('The first whole day.'),
    until: date('The last whole day.'),
    wholeDays: count('Days of which no half-hour is missing.'),
    missingDays: count('Days between the first and the last that are not whole.'),
    idleShare: z.number().meta({
      description:
        'The share of the newest half-hours in which next to nothing came in; over 0.05 the plan does not go by these days.',
    }),
  })
  .meta({ id: 'Meter', description: "The household's meter data, as whole days of its clock." })

const counted = <Item extends z.ZodType>(item: Item) =>
  z.strictObject({
    count: z.int(),
    first: z.array(item).meta({ description: 'The first of them, as evidence.' }),
  })

export const MeterAnswer = z
  .strictObject({
    understood: z.strictObject({
      form: z.enum(['row-per-interval', 'row-per-day', 'green-button']),
      delimiter: z.string().nullable(),
      columns: z.array(
        z.strictObject({
          name: z.string(),
          role: z.enum(['time', 'date', 'clock', 'period', 'kind', 'energy', 'unused']),
        }),
      ),
      unit: z.enum(['kWh', 'Wh', 'kW', 'W']),
      minutes: count('The length of an interval.'),
      stamps: z.enum(['start', 'end']),
      clock: z
        .enum(['local', 'utc', 'standard', 'offset'])
        .meta({ description: '`offset`: each time carries its own.' }),
      dateOrder: z
        .enum(['day-first', 'month-first'])
        .nullable()
        .meta({ description: 'Null where no date would read either way.' }),
      flow: z.enum(['import', 'export', 'net']),
      notMeasured: count('Intervals that the meter did not measure as such.'),
    }),
    from: at('The start of the first interval.'),
    until: at('The end of the last interval.'),
    intervals: z.int(),
    wholeDays: count('The whole days in this file alone.'),
    gaps: counted(z.strictObject({ start: at('From.'), end: at('Up to.') })),
    duplicates: z.strictObject({
      equal: count('Intervals that stand twice with the same figure.'),
      different: counted(
        z.strictObject({ at: at('When.'), keptWh: z.number(), otherWh: z.number() }),
      ),
    }),
    skippedRows: counted(z.strictObject({ line: z.int(), reason: z.string(), text: z.string() })),
    ahead: count('Intervals that lie ahead of now; they were left out.'),
    newHalfHours: count('Half-hours that were not there before.'),
    replacedHalfHours: count('Half-hours that took the place of another figure.'),
    tooOldHalfHours: count('Half-hours over ten years older than the newest; they are not kept.'),
    newDays: count('Whole days that there are now and were not before.'),
    meter: MeterSummary,
    said: z.array(z.string()).meta({ description: 'The same in words.' }),
  })
  .meta({ id: 'MeterTaken', description: 'What was understood of a file, and what there is now.' })

export type MeterAnswer = z.input<typeof MeterAnswer>
