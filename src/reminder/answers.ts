// What people answer: readings, "done", "not yet", "in 10".

import {
  DAY_MS,
  type Instant,
  MINUTE_MS,
  type Result,
  asInstant,
  ok,
  refuse,
} from '../plan/index.ts'
import { runsInBetween } from './cheapest.ts'
import type { CommandRefusal } from './commands.ts'
import { changed } from './events.ts'
import { isHeld, lastTold, plannedEvent, reckonedPct } from './planning.ts'
import { isOpen, newReminder } from './reconcile.ts'
import { ASK_AGAIN_MS, EVERYBODY_MS, KEEP_READINGS, LEAST_GAP_MS } from './timing.ts'
import type { Household, HouseholdEvent, HouseholdReading, Reminder } from './types.ts'
import { withReminder } from './wake.ts'
import { isNear } from './whenPlanned.ts'

/** Clocks of phones run apart by a little; a reading from so little ahead is from now. */
const CLOCK_SLACK_MS = 2 * MINUTE_MS
const LONGEST_SNOOZE_MINUTES = 24 * 60

export type Answered<Value> = Result<Value, CommandRefusal>

/** Records a reading, and answers the reminders that asked for one. */
export function withReading(
  household: Household,
  told: { readonly at: Instant; readonly socPct: number },
  now: Instant,
): Answered<Household> {
  const { socPct } = told
  if (!(socPct >= 0 && socPct <= 100)) return refuse({ reason: 'reading_out_of_range', socPct })
  if (told.at > now + CLOCK_SLACK_MS) return refuse({ reason: 'reading_in_future', at: told.at })
  if (told.at < now - DAY_MS) return refuse({ reason: 'reading_too_old', at: told.at })
  const at = asInstant(Math.min(told.at, now))
  const newest = lastTold(household)
  if (newest !== undefined && newest.at > at)
    return refuse({ reason: 'reading_superseded', at, newerAt: newest.at })
  // What was told is a fact; what was reckoned after it was not.
  const readings = household.readings.filter((each) => !each.reckoned || each.at < at)
  const read = pushed({ ...household, readings }, { at, socPct, reckoned: false })
  const asking = read.reminders.filter((each) => {
    const over = (eventOf(read, each)?.end ?? Infinity) <= at
    return each.state === 'sent' && (each.kind === 'reading' || (each.kind === 'outcome' && over))
  })
  return ok(
    asking.reduce((state, reminder) => {
      const answered = withReminder(state, acknowledged(reminder, now, 'a reading'))
      const event = eventOf(state, reminder)
      return reminder.kind === 'outcome' && event !== undefined
        ? changed(answered, { ...event, outcomePct: socPct })
        : answered
    }, read),
  )
}

/** "Done": the reminder is answered, and what hands did to the battery is kept. Answering twice is answering once. */
export function withAcknowledgement(
  household: Household,
  key: string,
  by: string,
  now: Instant,
): Answered<{ household: Household; reminder: Reminder }> {
  const reminder = household.reminders.find((each) => each.key === key)
  if (reminder === undefined) return refuse({ reason: 'no_such_reminder', key })
  if (reminder.state === 'acknowledged') return ok({ household, reminder })
  if (!isOpen(reminder)) return refuse({ reason: 'reminder_closed', key, state: reminder.state })
  const done = acknowledged(reminder, now, by)
  return ok({ household: withHands(withReminder(household, done), reminder, now), reminder: done })
}

/** "Held" before anybody was asked to: as if it had been asked for now. */
export function withHeld(
  household: Household,
  event: HouseholdEvent,
  by: string,
  now: Instant,
): { household: Household; reminder: Reminder } {
  const wanted = { kind: 'hold', eventId: event.id, dueAt: now, uselessAfter: event.start } as const
  const asked = newReminder(wanted, household.reminders)
  const reminder = acknowledged({ ...asked, sentAt: now }, now, by)
  const next = { ...household, reminders: [...household.reminders, reminder] }
  return { household: withHands(next, reminder, now), reminder }
}

/** "Not yet": the answer is taken back and the reminder asks again. */
export function withReopened(household: Household, key: string, now: Instant): Answered<Household> {
  const reminder = household.reminders.find((each) => each.key === key)
  if (reminder === undefined) return refuse({ reason: 'no_such_reminder', key })
  if (reminder.state !== 'acknowledged' || now >= reminder.uselessAfter)
    return isOpen(reminder)
      ? ok(household)
      : refuse({ reason: 'reminder_closed', key, state: reminder.state })
  if (wasAskedAnew(household, reminder))
    return refuse({ reason: 'reminder_closed', key, state: reminder.state })
  const event = eventOf(household, reminder)
  // One that was answered before it was sent is simply to come again.
  const early = reminder.sentAt === null
  const open = withReminder(household, {
    ...reminder,
    state: early ? 'waiting' : 'sent',
    acknowledgedAt: null,
    acknowledgedBy: null,
    nextAt: early ? reminder.dueAt : asInstant(now + ASK_AGAIN_MS),
  })
  if (event === undefined) return ok(open)
  // What was reckoned when the answer came did not happen; told readings are facts and stay.
  const readings = open.readings.filter(
    (each) => !(each.reckoned && each.at === reminder.acknowledgedAt),
  )
  const inBetween = event.runsSince === reminder.acknowledgedAt
  const heldBefore =
    household.reminders.findLast((each) => each.kind === 'hold' && each.eventId === event.id)
      ?.acknowledgedAt ?? null
  const undone =
    reminder.kind === 'hold'
      ? { ...event, heldAt: null }
      : reminder.kind === 'release' || reminder.kind === 'restore'
        ? {
            ...event,
            ...(inBetween ? { heldAt: heldBefore } : {}),
            releasedAt: null,
            runsSince: null,
          }
        : reminder.kind === 'overnight'
          ? { ...event, topUp: null }
          : event
  return ok(changed({ ...open, readings }, undone))
}

/** The same was asked once more since: that asking is the one to answer. */
const wasAskedAnew = ({ reminders }: Household, { key, kind, eventId }: Reminder): boolean =>
  reminders
    .slice(reminders.findIndex((each) => each.key === key) + 1)
    .some(
      (each) =>
        each.kind === kind &&
        each.eventId === eventId &&
        (isOpen(each) || each.state === 'acknowledged'),
    )

/** "In 10": asks again later, but never past the moment at which it has to be done. */
export function withSnooze(
  household: Household,
  key: string,
  minutes: number,
  deadline: Instant,
  now: Instant,
): Answered<{ household: Household; until: Instant }> {
  const reminder = household.reminders.find((each) => each.key === key)
  if (reminder === undefined) return refuse({ reason: 'no_such_reminder', key })
  if (!isOpen(reminder)) return refuse({ reason: 'reminder_closed', key, state: reminder.state })
  if (!(minutes >= 1 && minutes <= LONGEST_SNOOZE_MINUTES))
    return refuse({ reason: 'snooze_out_of_range', minutes })
  // One that was not sent yet is not brought forward.
  const asked = Math.max(now + minutes * MINUTE_MS, reminder.sentAt === null ? reminder.dueAt : 0)
  const limit = latestAsking(reminder, deadline, now)
  // A minute before it is of no more use; in that last minute it is not asked again.
  const last = reminder.uselessAfter - MINUTE_MS
  const until = asInstant(Math.min(asked, limit, last > now ? last : reminder.uselessAfter))
  return ok({ household: withReminder(household, { ...reminder, nextAt: until }), until })
}

/** An asking that was taken up again, planned anew by now, comes in time to ask everybody. */
export function withLatestAsking(
  household: Household,
  key: string,
  deadline: Instant,
  now: Instant,
): Household {
  const reminder = household.reminders.find((each) => each.key === key)
  if (reminder?.state !== 'sent' || reminder.nextAt === null) return household
  const limit = asInstant(latestAsking(reminder, deadline, now))
  return limit < reminder.nextAt
    ? withReminder(household, { ...reminder, nextAt: limit })
    : household
}

/** Until when an asking may be put off. A hold leaves the time to ask everybody (R21); a release has its lead for that. Once it is past, each minute counts: then a short while is the longest. */
function latestAsking({ kind }: Reminder, deadline: Instant, now: Instant): number {
  if (deadline <= now) return now + ASK_AGAIN_MS
  if (kind !== 'hold') return deadline
  return Math.min(deadline, Math.max(deadline - EVERYBODY_MS, now + LEAST_GAP_MS))
}

const acknowledged = (reminder: Reminder, now: Instant, by: string): Reminder => ({
  ...reminder,
  state: 'acknowledged',
  acknowledgedAt: now,
  acknowledgedBy: by,
  nextAt: null,
})

const eventOf = (household: Household, { eventId }: Reminder): HouseholdEvent | undefined =>
  household.events.find((each) => each.id === eventId)

const pushed = (household: Household, reading: HouseholdReading): Household => ({
  ...household,
  readings: [...household.readings, reading].slice(-KEEP_READINGS),
})

/** What an answer says about the battery: paused, or running again. The charge at that moment is reckoned and kept. */
function withHands(household: Household, reminder: Reminder, now: Instant): Household {
  const event = eventOf(household, reminder)
  if (event === undefined) return household
  if (reminder.kind === 'overnight')
    return changed(household, { ...event, topUp: plannedEvent(household, event.id)?.topUp ?? null })
  const paused = reminder.kind === 'hold'
  const running = reminder.kind === 'release' || reminder.kind === 'restore'
  if (!paused && !running) return household
  // Nobody said that it was paused, so letting it run changes nothing that we know of.
  const wasHeld = household.events.some(isHeld)
  const socPct = reckonedPct(household, now)
  const kept =
    socPct === null || (running && !wasHeld)
      ? household
      : pushed(household, { at: now, socPct, reckoned: true })
  if (paused) return changed(kept, { ...event, heldAt: now })
  // It runs: for whatever event it was paused. One moved to another day is to be held anew.
  const events = kept.events.map((each) => {
    if (each.id !== event.id && !isHeld(each)) return each
    if (runsInBetween(kept.settings, each, now) && isNear(kept.settings, each, now))
      return { ...each, heldAt: null, releasedAt: null, runsSince: now }
    const anew = each.state === 'announced' && !isNear(kept.settings, each, now)
    return anew ? { ...each, heldAt: null } : { ...each, releasedAt: now }
  })
  return { ...kept, events }
}
