// What the household's addresses take: its settings, whole or in part, and what people do.

import * as z from 'zod'
import { problemWords } from '../../../words/en/problems.ts'
import { clock, instant, line, onlyWhenSound, text, timeZone } from './fields.ts'
import { Battery, batteryFields, socPct } from './battery.ts'
import { habitFields, newHabitFields } from './habits.ts'
import { Margin, Rule, SteadyLoad, releaseLeadMinutes } from './plan.ts'

const NightCharge = z
  .strictObject({ from: clock('Begins, local clock.'), until: clock('Ends, local clock.') })
  .refine((span) => span.from !== span.until, {
    path: ['until'],
    message: problemWords.sameClock,
  })
  .meta({
    id: 'NightCharge',
    description:
      'When the battery charges itself from the grid every night; the forecast counts on it.',
  })

const Webhook = z
  .strictObject({ url: z.string().min(1).max(2048).meta({ description: 'https, public.' }) })
  .meta({ id: 'Webhook', description: 'Where reminders are sent too, signed (Standard Webhooks).' })

const fields = {
  name: line(80, 'What the household is called; one line.'),
  timeZone,
  battery: Battery,
  load: SteadyLoad.meta({ description: 'What the house draws in the evening.' }),
  margin: Margin,
  rule: Rule.nullable(),
  releaseLeadMinutes,
  nightCharge: NightCharge.nullable(),
  howToHold: text(0, 500, "The household's own words: how the discharge is paused."),
  howToRelease: text(0, 500, "The household's own words: how it is let run again."),
  dayFirst: z.boolean().meta({ description: '10/11 is the tenth of November.' }),
  language: z.literal('en').meta({ description: 'The language of the reminders.' }),
  medical: z.boolean().meta({
    description: 'Somebody depends on powered medical equipment: advised against taking part.',
  }),
  webhook: Webhook.nullable(),
  calendarAlarms: z.boolean().meta({ description: 'Whether the calendar feed carries alarms.' }),
  ...habitFields,
}

export const NewHousehold = z
  .strictObject({
    ...fields,
    margin: fields.margin.optional().meta({ description: '{ "pct": 5 } when none is given.' }),
    rule: fields.rule.default(null),
    releaseLeadMinutes: fields.releaseLeadMinutes.default(5),
    nightCharge: fields.nightCharge.default(null),
    howToHold: fields.howToHold.optional(),
    howToRelease: fields.howToRelease.optional(),
    dayFirst: fields.dayFirst.default(true),
    language: fields.language.default('en'),
    medical: fields.medical.default(false),
    webhook: fields.webhook.default(null),
    calendarAlarms: fields.calendarAlarms.default(false),
    ...newHabitFields,
  })
  .meta({
    id: 'NewHousehold',
    description: 'The people, the battery and the time zone that belong together.',
  })

export type NewHousehold = z.output<typeof NewHousehold>

const somethingGiven = (value: object) => Object.keys(value).length > 0
const nothing = { message: problemWords.nothingToChange, when: onlyWhenSound }

export const SettingsChange = z
  .strictObject({ ...fields, battery: z.strictObject(batteryFields).partial() })
  .partial()
  .refine(somethingGiven, nothing)
  .meta({
    id: 'SettingsChange',
    description:
      'The fields to change; null takes away what may be absent. The battery keeps the fields that are not given.',
  })

export type SettingsChange = z.output<typeof SettingsChange>

export const SettingsAnswer = z
  .strictObject({ ...fields, battery: z.strictObject(batteryFields) })
  .meta({
    id: 'Settings',
    description: 'As they are asked for; the secret of the webhook is left out.',
  })

export const MAX_TEXT = 4000

const NewEvent = z.strictObject({
  start: instant('When it begins.'),
  end: instant('When it ends; at most 24 hours after the start.'),
})

const Told = z.strictObject({
  text: text(1, MAX_TEXT, 'The announcement as it came: it is read as a message is.'),
})

export const Announcement = z
  .union([NewEvent, Told], { error: problemWords.notAnnouncement })
  .meta({
    id: 'Announcement',
    description: 'An event, by its times or in the words it was announced in.',
  })

export const EventChange = z
  .strictObject({
    start: instant('When it begins now.').optional(),
    end: instant('When it ends now.').optional(),
  })
  .refine(somethingGiven, nothing)
  .meta({ id: 'EventChange', description: 'The new times; one that is not given stays.' })

export const NewReading = z
  .strictObject({ socPct, at: instant('When it was read; now when not given.').optional() })
  .meta({ id: 'NewReading', description: 'What the display showed.' })

export const NewMessage = z
  .strictObject({ text: text(1, MAX_TEXT, 'What a person would type.') })
  .meta({ id: 'NewMessage', description: 'A chat message.' })

export const Acknowledgement = z
  .strictObject({ by: line(80, 'Who did it.').optional() })
  .meta({ id: 'Acknowledgement', description: 'Done. The body may be left out.' })

export const Snooze = z
  .strictObject({
    minutes: z
      .int()
      .min(1)
      .max(1440)
      .meta({ description: 'How much later to remind again, minutes.' }),
  })
  .meta({ id: 'Snooze', description: 'Not now.' })
