// What the API answers with, for the description and for the tests that hold every answer to it.

import * as z from 'zod'
import { SettingsAnswer } from './household.ts'

const at = (description: string) => z.string().meta({ description, format: 'date-time' })
const number = (description: string) => z.number().meta({ description })

const TopUpAnswer = z
  .strictObject({
    from: at('Start to charge.'),
    until: at('Stop.'),
    kwh: number('Stored by it, kWh.'),
  })
  .meta({ id: 'TopUp', description: 'One interval of charging from the grid.' })

const ShortAnswer = z
  .strictObject({
    kwh: number('Stored energy that is missing, kWh.'),
    coveredUntil: at('Until when the charge lasts.'),
    loadKw: number('The mean load at which it would last to the end, kW.'),
  })
  .meta({ id: 'Short', description: 'By how much the charge falls short.' })

const ConfidenceAnswer = z
  .strictObject({
    days: z.int().meta({ description: 'Comparable days that were played.' }),
    coveredOn: z.int().meta({ description: 'On how many of them the event was covered.' }),
    stage: number('The confidence that each look is computed with.'),
  })
  .meta({ id: 'Confidence', description: 'On how many past days this would have worked.' })

const eventPlan = {
  start: at('As asked.'),
  end: at('As asked.'),
  verdict: z.enum(['no-hold', 'hold', 'hold-now', 'short']).meta({ description: 'What to do.' }),
  needKwh: number('Stored energy that the event takes, kWh.'),
  reserveKwh: number('To have at the release, kWh.'),
  reservePct: number('The same, % of capacity, not rounded.'),
  holdBy: at('The latest safe instant to pause the discharge; null with no-hold.').nullable(),
  holdAtPct: z.int().meta({ description: 'Hold when the display shows this, %, rounded up.' }),
  releaseAt: at('When to let it run again.'),
  nextReadingAt: at('When to look; null without load.days.').nullable(),
  marginLeftKwh: number('Expected above the floor at the end of the event, kWh.'),
  topUp: TopUpAnswer.nullable(),
  short: ShortAnswer.nullable(),
  confidence: ConfidenceAnswer.nullable(),
}

const PlannedEvent = z
  .strictObject(eventPlan)
  .meta({ id: 'PlannedEvent', description: 'What to do for one event.' })

const TrajectoryAnswer = z
  .strictObject({
    at: at('A breakpoint.'),
    socPct: number('Expected charge under the plan, %.'),
    reservePct: number('The reserve line, %.'),
    mode: z.enum(['run', 'hold', 'fill']).meta({ description: 'From here on.' }),
  })
  .meta({ id: 'TrajectoryPoint', description: 'The forecast under the plan, at a breakpoint.' })

const plan = {
  trajectory: z.array(TrajectoryAnswer),
  cautions: z.array(z.string()).meta({ description: 'What to know besides, in words.' }),
}

export const PlanAnswer = z
  .strictObject({ events: z.array(PlannedEvent), ...plan })
  .meta({ id: 'Plan', description: 'When to hold and when to release, for each event.' })

export type PlanAnswer = z.infer<typeof PlanAnswer>

const HouseholdPlannedEvent = z
  .strictObject({ id: z.string().meta({ description: 'The id of the event.' }), ...eventPlan })
  .meta({
    id: 'HouseholdPlannedEvent',
    description: "What to do for one of the household's events.",
  })

export const HouseholdPlanAnswer = z
  .strictObject({ events: z.array(HouseholdPlannedEvent), ...plan })
  .meta({
    id: 'HouseholdPlan',
    description: 'The plan as last computed; empty lists while there is none.',
  })

export type HouseholdPlanAnswer = z.infer<typeof HouseholdPlanAnswer>

export const CreatedAnswer = z
  .strictObject({
    id: z.string(),
    link: z
      .string()
      .meta({ description: "The household's own page: whoever has it may do everything." }),
    token: z.string().meta({ description: 'For the Authorization header of this API.' }),
    calendar: z.string().meta({ description: 'The address of the calendar feed, read only.' }),
    webhookSecret: z
      .string()
      .optional()
      .meta({ description: 'Signs what is sent to the webhook.' }),
  })
  .meta({ id: 'CreatedHousehold', description: 'The secrets are shown this once.' })

export const EventAnswer = z
  .strictObject({
    id: z.string(),
    start: at('When it begins.'),
    end: at('When it ends.'),
    state: z.enum(['announced', 'cancelled']),
    sequence: z.int().meta({ description: 'Rises with each change (RFC 5546 §2.1.4).' }),
    changedAt: at('When it was last changed.'),
    heldAt: at('When somebody said that the discharge is paused.').nullable(),
    releasedAt: at('When somebody said that it runs again.').nullable(),
    outcomePct: z
      .number()
      .nullable()
      .meta({ description: 'What the display showed afterwards, %.' }),
  })
  .meta({ id: 'Event', description: 'An event as the household knows it.' })

export type EventAnswer = z.infer<typeof EventAnswer>

const reminderKind = z.enum([
  'plan',
  'enrol',
  'overnight',
  'reading',
  'hold',
  'release',
  'restore',
  'outcome',
])

export const ReminderAnswer = z
  .strictObject({
    key: z.string(),
    kind: reminderKind,
    eventId: z.string(),
    dueAt: at('When it is first to be sent.'),
    uselessAfter: at('After this it asks for nothing that still helps.'),
    state: z.enum(['waiting', 'sent', 'acknowledged', 'lapsed', 'replaced', 'missed']),
    text: z.string().nullable().meta({ description: 'As last sent; null until then.' }),
    sentAt: at('When it was last sent.').nullable(),
    acknowledgedBy: z.string().nullable(),
  })
  .meta({ id: 'Reminder', description: 'One message that asks for one action.' })

export type ReminderAnswer = z.infer<typeof ReminderAnswer>

export const RemindersAnswer = z.array(ReminderAnswer).meta({ id: 'Reminders' })

const ReplyAnswer = z.strictObject({
  text: z.string(),
  buttons: z.array(z.strictObject({ label: z.string(), send: z.string() })),
})

export const RepliesAnswer = z
  .strictObject({ replies: z.array(ReplyAnswer) })
  .meta({ id: 'Replies', description: 'What is answered, each with what can be tapped.' })

export const ReadAnswer = z
  .strictObject({ events: z.array(EventAnswer), replies: z.array(ReplyAnswer) })
  .meta({
    id: 'ReadAnnouncement',
    description: 'The events after the text was read, and what is answered to it.',
  })

export const HouseholdAnswer = z
  .strictObject({
    id: z.string(),
    revision: z.int().meta({ description: 'Rises with every change of plan.' }),
    demo: z.boolean().meta({ description: 'An invented household to look around in.' }),
    settings: SettingsAnswer,
    events: z.array(EventAnswer),
    readings: z.array(
      z.strictObject({
        at: at('When.'),
        socPct: z.number(),
        reckoned: z.boolean().meta({ description: 'From the plan, not from a person.' }),
      }),
    ),
    reminders: z.array(ReminderAnswer),
    messages: z.array(
      z.strictObject({
        seq: z.int(),
        at: at('When.'),
        from: z.enum(['household', 'holdbell']),
        text: z.string(),
        buttons: z.array(z.strictObject({ label: z.string(), send: z.string() })),
        reminderKey: z.string().nullable(),
      }),
    ),
    deliveries: z.array(
      z.strictObject({
        id: z.string(),
        reminderKey: z.string(),
        kind: reminderKind,
        repeat: z.int(),
        channel: z.literal('webhook'),
        state: z.enum(['queued', 'sending', 'accepted', 'dropped']),
        attempts: z.int(),
        nextAt: at('When it is tried next.').nullable(),
        note: z.string().nullable(),
      }),
    ),
    plan: HouseholdPlanAnswer,
  })
  .meta({ id: 'Household', description: 'All that is kept of a household: its export.' })

export type HouseholdAnswer = z.input<typeof HouseholdAnswer>

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
  })
  .meta({ id: 'Problem', description: 'RFC 9457 problem details.' })

export const HealthAnswer = z
  .strictObject({ status: z.literal('ok'), version: z.string() })
  .meta({ id: 'Health' })

export const ChangedHouseholdAnswer = HouseholdAnswer.extend({
  webhookSecret: z
    .string()
    .optional()
    .meta({ description: 'Only when the webhook is new; shown this once.' }),
}).meta({ id: 'ChangedHousehold', description: 'The household after the change.' })

export const DescriptionAnswer = z
  .looseObject({ openapi: z.string() })
  .meta({ id: 'Description', description: 'OpenAPI 3.1.' })
