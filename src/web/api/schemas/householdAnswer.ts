// A household as it is answered: its events, reminders, messages, and all of it.

import * as z from 'zod'
import { SettingsAnswer } from './household.ts'
import { MeterSummary } from './meter.ts'
import { at } from './answerFields.ts'
import { HouseholdPlanAnswer } from './planAnswer.ts'

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
    meter: MeterSummary.nullable().meta({ description: 'Null until meter data were taken in.' }),
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
        purpose: z.enum(['ask', 'settle']),
        channel: z.string().meta({ description: 'The id of a channel, or `webhook`.' }),
        state: z.enum(['queued', 'sending', 'accepted', 'dropped']),
        attempts: z.int(),
        nextAt: at('When it is tried next.').nullable(),
        note: z.string().nullable(),
        acceptedAt: at('When the channel took it.').nullable(),
        handle: z.string().nullable().meta({ description: 'What the channel calls it.' }),
        doubtful: z
          .boolean()
          .meta({ description: 'An attempt ended unknown: it may have come twice.' }),
      }),
    ),
    channels: z
      .array(
        z.strictObject({
          id: z.string(),
          person: z.string(),
          label: z.string(),
          kind: z.enum(['push', 'telegram', 'mail', 'publish']),
          state: z.enum(['waiting', 'on', 'off']),
          last: z
            .strictObject({
              at: at('When it was last tried.'),
              outcome: z.enum(['delivered', 'unreachable', 'gone']),
              note: z.string().nullable(),
            })
            .nullable(),
        }),
      )
      .meta({ description: 'In the order in which they are tried; where they lead is left out.' }),
    plan: HouseholdPlanAnswer,
  })
  .meta({ id: 'Household', description: 'All that is kept of a household: its export.' })

export type HouseholdAnswer = z.input<typeof HouseholdAnswer>

export const ChangedHouseholdAnswer = HouseholdAnswer.extend({
  webhookSecret: z
    .string()
    .optional()
    .meta({ description: 'Only when the webhook is new; shown this once.' }),
}).meta({ id: 'ChangedHousehold', description: 'The household after the change.' })
