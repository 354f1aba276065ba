// Which one thing the plan page says first. Values only.

import { type EventPlan, HOUR_MS, type Instant } from '../../plan/index.ts'
import {
  type Household,
  type HouseholdEvent,
  RELEASE_AHEAD_MS,
  type Reminder,
  chargesFirst,
  hasNothingToGive,
  onTheDay,
  takesPct,
} from '../../reminder/index.ts'

export type Answer =
  | { readonly kind: 'noEvent' }
  /** None to come, and one that was over not long ago. */
  | { readonly kind: 'over'; readonly event: HouseholdEvent }
  /** It will be planned on its day, from what the battery shows then. */
  | {
      readonly kind: 'onTheDay'
      readonly event: HouseholdEvent
      readonly askAt: Instant
      readonly pct: number
    }
  /** Announced, but nobody said yet what the battery shows; or said, and no plan came of it. */
  | { readonly kind: 'noReading'; readonly event: HouseholdEvent }
  | { readonly kind: 'noPlan'; readonly event: HouseholdEvent }
  | {
      readonly kind: Situation
      readonly event: HouseholdEvent
      readonly plan: EventPlan
    }

export type Situation =
  /** It is to be charged by hand first. */
  | 'charge'
  | 'hold'
  | 'holdNow'
  | 'holdLate'
  | 'noHold'
  | 'short'
  /** It has nothing to give. */
  | 'empty'
  | 'held'
  | 'releaseNow'
  /** Too late to hold, and the event is about to begin. */
  | 'runNow'
  | 'running'
  | 'serving'

/** Nothing can be planned until somebody says what the battery shows. */
export const needsReading = (answer: Answer): boolean =>
  answer.kind === 'noReading' || answer.kind === 'noPlan'

/** The next event that is not over, and where the household stands with it. */
export function answerOf(household: Household, now: Instant): Answer {
  const open = household.events
    .filter((event) => event.state === 'announced' && event.end > now)
    .toSorted((a, b) => a.start - b.start)
  const event = open[0]
  if (event === undefined) return lastAnswer(household, now)
  const index = household.plan?.eventIds.indexOf(event.id) ?? -1
  const plan = household.plan?.plan.events[index]
  const askAt = plan === undefined ? onTheDay(household, event, now) : null
  if (askAt !== null)
    return { kind: 'onTheDay', event, askAt, pct: takesPct(household, event, now) }
  if (plan === undefined)
    return { kind: household.readings.length === 0 ? 'noReading' : 'noPlan', event }
  return { kind: situation(event, plan, now), event, plan }
}

/** An event that was over this long ago is still news. */
const NEWS_MS = 12 * HOUR_MS

function lastAnswer(household: Household, now: Instant): Answer {
  const event = household.events
    .filter(({ state, end }) => state === 'announced' && end > now - NEWS_MS)
    .toSorted((a, b) => a.end - b.end)
    .at(-1)
  return event === undefined ? { kind: 'noEvent' } : { kind: 'over', event }
}

function situation(event: HouseholdEvent, plan: EventPlan, now: Instant): Situation {
  if (event.releasedAt !== null) return now < event.start ? 'running' : 'serving'
  if (event.heldAt !== null) return now < plan.releaseAt ? 'held' : 'releaseNow'
  if (now >= event.start) return 'serving'
  if (now >= plan.releaseAt - RELEASE_AHEAD_MS) return 'runNow'
  if (chargesFirst(event, plan, now) !== null) return 'charge'
  if (plan.verdict === 'short') return hasNothingToGive(plan) ? 'empty' : 'short'
  if (plan.holdBy === null) return 'noHold'
  if (plan.verdict === 'hold-now') return 'holdNow'
  return plan.holdBy <= now ? 'holdLate' : 'hold'
}

const ASKS_FOR_HANDS = ['hold', 'release', 'restore', 'overnight'] as const

export type Due = { readonly reminder: Reminder; readonly kind: (typeof ASKS_FOR_HANDS)[number] }

/** The one reminder that asks for something to be done now: sent, not answered, still of use; the latest of them. */
export function dueOf(household: Household, now: Instant): Due | null {
  const due = household.reminders.flatMap((reminder): Due[] => {
    const kind = ASKS_FOR_HANDS.find((each) => each === reminder.kind)
    return kind !== undefined && reminder.state === 'sent' && reminder.uselessAfter > now
      ? [{ reminder, kind }]
      : []
  })
  return due.toSorted((a, b) => b.reminder.dueAt - a.reminder.dueAt)[0] ?? null
}

const ASKS_FOR_EYES = ['reading', 'outcome'] as const

export type Asked = {
  readonly reminder: Reminder
  readonly kind: (typeof ASKS_FOR_EYES)[number]
  readonly event: HouseholdEvent
}

/** The latest reminder that asks what the display shows: before a hold, or after an event. */
export function askedOf(household: Household, now: Instant): Asked | null {
  const asked = household.reminders.flatMap((reminder): Asked[] => {
    const kind = ASKS_FOR_EYES.find((each) => each === reminder.kind)
    const event = household.events.find(({ id }) => id === reminder.eventId)
    const open = reminder.state === 'sent' && reminder.uselessAfter > now
    return kind !== undefined && event !== undefined && open ? [{ reminder, kind, event }] : []
  })
  return asked.toSorted((a, b) => b.reminder.dueAt - a.reminder.dueAt)[0] ?? null
}

/** The next send that is to come, nudges included. */
export function nextOf(household: Household): Reminder | null {
  const coming = household.reminders.filter(
    ({ state, nextAt }) => nextAt !== null && (state === 'waiting' || state === 'sent'),
  )
  return coming.toSorted((a, b) => (a.nextAt ?? 0) - (b.nextAt ?? 0))[0] ?? null
}

const GLANCE_MS = 5 * 60_000

/** Differs when the plan page would show something else: live.js compares it. The mark "now" moves every five minutes. */
export function revisionOf(household: Household, now: Instant): string {
  const answered = household.reminders.filter(({ state }) => state !== 'waiting').length
  const acknowledged = household.reminders.filter(({ state }) => state === 'acknowledged').length
  const said = household.messages.at(-1)?.seq ?? 0
  return [household.revision, said, answered, acknowledged, Math.floor(now / GLANCE_MS)].join('.')
}
