// A household as the API shows it: instants as text, secrets left out.

import { householdLedger } from '../../chat/index.ts'
import type { Instant } from '../../plan/index.ts'
import {
  type Household,
  type HouseholdEvent,
  type Reminder,
  adviceFor,
  adviceText,
  worthOfEvents,
} from '../../reminder/index.ts'
import { format } from '../../words/index.ts'
import type { Reply } from './door.ts'
import { meterSummary } from './meterView.ts'
import { planAnswer } from './planAnswer.ts'
import { printInstant } from './rfc3339.ts'
import type {
  EventAnswer,
  HouseholdAnswer,
  HouseholdPlanAnswer,
  ReminderAnswer,
} from './schemas/answers.ts'
import { printSettings } from './settings.ts'
import { worthAnswer } from './worthAnswer.ts'

const orNull = (at: Instant | null) => (at === null ? null : printInstant(at))

export const eventView = (event: HouseholdEvent): EventAnswer => ({
  id: event.id,
  start: printInstant(event.start),
  end: printInstant(event.end),
  state: event.state,
  sequence: event.sequence,
  changedAt: printInstant(event.changedAt),
  heldAt: orNull(event.heldAt),
  releasedAt: orNull(event.releasedAt),
  outcomePct: event.outcomePct,
})

export const reminderView = (reminder: Reminder): ReminderAnswer => ({
  key: reminder.key,
  kind: reminder.kind,
  eventId: reminder.eventId,
  dueAt: printInstant(reminder.dueAt),
  uselessAfter: printInstant(reminder.uselessAfter),
  state: reminder.state,
  text: reminder.text,
  sentAt: orNull(reminder.sentAt),
  acknowledgedBy: reminder.acknowledgedBy,
})

/** What is to be known besides a plan's own cautions; why it is not the cheapest is one of them. */
const adviceOf = (household: Household, event: HouseholdEvent, now: Instant): readonly string[] =>
  adviceFor(household, event, now)
    .filter(({ kind }) => kind !== 'not-cheapest')
    .map((about) => adviceText(household, about, event, now))

/** The plan as last computed, each event with its id; empty lists while there is none. */
export function planView(household: Household): HouseholdPlanAnswer {
  const { plan, settings } = household
  const besides = household.events
    .filter(({ state, end }) => state === 'announced' && end > (plan?.at ?? -Infinity))
    .flatMap((event) => adviceOf(household, event, plan?.at ?? event.changedAt))
  if (plan === null) return { events: [], trajectory: [], cautions: besides }
  const f = format(settings.language, settings.timeZone)
  const answer = planAnswer(plan.plan, plan.at, f, householdLedger(household, plan))
  const worths = worthOfEvents(household, plan.eventIds)
  return {
    ...answer,
    cautions: [...answer.cautions, ...besides],
    events: answer.events.map((event, i) => {
      const worth = worths[i] ?? null
      return { id: plan.eventIds[i] ?? '', ...event, worth: worth && worthAnswer(worth) }
    }),
  }
}

/** What was said, as the contract shows it. */
export const repliesView = (replies: readonly Reply[]) =>
  replies.map(({ text, buttons }) => ({ text, buttons }))

export const householdView = (household: Household): HouseholdAnswer => ({
  id: household.id,
  revision: household.revision,
  demo: household.settings.demo,
  settings: printSettings(household.settings),
  events: household.events.map(eventView),
  readings: household.readings.map((reading) => ({ ...reading, at: printInstant(reading.at) })),
  meter: household.meter === null ? null : meterSummary(household.meter),
  reminders: household.reminders.map(reminderView),
  messages: household.messages.map((message) => ({
    ...message,
    at: printInstant(message.at),
    buttons: [...message.buttons],
  })),
  deliveries: household.deliveries.map((delivery) => ({
    ...delivery,
    nextAt: orNull(delivery.nextAt),
    acceptedAt: orNull(delivery.acceptedAt),
  })),
  channels: household.channels.map(({ id, person, label, target, state, last }) => ({
    id,
    person,
    label,
    kind: target.kind,
    state,
    last: last && { ...last, at: printInstant(last.at) },
  })),
  plan: planView(household),
})
