// What the API answers with, all in one place, and what belongs to no concept: trouble and health.

import * as z from 'zod'

export {
  ChangedHouseholdAnswer,
  CreatedAnswer,
  EventAnswer,
  HouseholdAnswer,
  ReadAnswer,
  ReminderAnswer,
  RemindersAnswer,
  RepliesAnswer,
} from './householdAnswer.ts'
export { MeterAnswer, MeterSummary } from './meter.ts'
export { HouseholdPlanAnswer, PlanAnswer } from './planAnswer.ts'

/** RFC 9457 §3.1, with the field pointers of its own example. */
export const ProblemAnswer = z
  .object({
    type: z.string().meta({ format: 'uri-reference' }),
    title: z.string(),
    status: z.int().min(400).max(599),
    detail: z.string(),
    errors: z
      .array(
        z.object({
          pointer: z
            .string()
            .meta({ description: 'A JSON Pointer as a URI fragment (RFC 6901 §6).' }),
          detail: z.string(),
        }),
      )
      .optional(),
    question: z
      .object({
        about: z.string(),
        text: z.string().meta({ description: 'The question in words.' }),
        choices: z.array(
          z.object({
            text: z.string().meta({ description: 'The choice in words.' }),
            answer: z
              .record(z.string(), z.union([z.string(), z.number()]))
              .meta({ description: 'The query parameters that make this choice.' }),
          }),
        ),
      })
      .optional()
      .meta({ description: 'With 409: what has to be answered first.' }),
  })
  .meta({ id: 'Problem', description: 'RFC 9457 problem details.' })

export const HealthAnswer = z
  .strictObject({ status: z.literal('ok'), version: z.string() })
  .meta({ id: 'Health' })

export const DescriptionAnswer = z
  .looseObject({ openapi: z.string() })
  .meta({ id: 'Description', description: 'OpenAPI 3.1.' })
