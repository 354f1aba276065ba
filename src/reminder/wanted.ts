// The reminders that a plan asks for (rules R1 to R6): derived, never edited.

import { type Instant, asInstant, earlier, later } from '../plan/index.ts'
import { plannedEvent, upcoming } from './planning.ts'
import {
  ASK_ON_DAY_MS,
  FRESH_READING_MS,
  HOLD_AHEAD_MS,
  MAX_READINGS,
  OUTCOME_AFTER_MS,
  OUTCOME_USEFUL_MS,
  READING_AHEAD_MS,
  RELEASE_AHEAD_MS,
  RESTORE_USEFUL_MS,
} from './timing.ts'
import type { Household, HouseholdEvent, ReminderKind } from './types.ts'

export type Wanted = {
  readonly kind: ReminderKind
  readonly eventId: string
  readonly dueAt: Instant
  readonly uselessAfter: Instant
}

/** All reminders that make sense for a household as it is now, in the order of its events. */
export function remindersFor(household: Household, now: Instant): readonly Wanted[] {
  return household.events.flatMap((event) =>
    event.state === 'announced' && event.end > now
      ? ahead(household, event, now)
      : afterwards(household, event, now),
  )
}

function ahead(household: Household, event: HouseholdEvent, now: Instant): readonly Wanted[] {
  const plan = plannedEvent(household, event.id)
  const eventId = event.id
  if (plan === null) {
    // Where the nightly charge is known, any reading will do; elsewhere that of the day (R14).
    const early = household.settings.nightCharge === null ? event.start - ASK_ON_DAY_MS : 0
    const dueAt = later(event.changedAt, asInstant(early))
    return upcoming(household, now)[0] === event
      ? [{ kind: 'reading', eventId, dueAt, uselessAfter: event.start }]
      : []
  }

  const held = event.heldAt !== null && event.releasedAt === null
  const wanted: Wanted[] = []
  // Before the event ahead of this one is over, the battery has to run: nothing is asked for it yet.
  const gapStart = endBefore(household, event) ?? asInstant(-Infinity)
  const untouched = event.heldAt === null && plan.releaseAt > now
  const reading = readingDue(household, event, plan.holdBy ?? plan.releaseAt, now)
  if (untouched && reading !== null && reading >= gapStart)
    wanted.push({
      kind: 'reading',
      eventId,
      dueAt: reading,
      uselessAfter: plan.holdBy ?? plan.releaseAt,
    })
  const releaseDue = asInstant(plan.releaseAt - RELEASE_AHEAD_MS)
  if (untouched && plan.holdBy !== null && now < releaseDue)
    wanted.push({
      kind: 'hold',
      eventId,
      dueAt: later(gapStart, asInstant(plan.holdBy - HOLD_AHEAD_MS)),
      uselessAfter: releaseDue,
    })
  const heldPerhaps = held || plan.holdBy !== null || holdWasAsked(household, event)
  if (event.releasedAt === null && heldPerhaps)
    wanted.push({
      kind: 'release',
      eventId,
      dueAt: releaseDue,
      uselessAfter: event.end,
    })
  return [...wanted, outcomeOf(event)]
}

const outcomeOf = (event: HouseholdEvent): Wanted => ({
  kind: 'outcome',
  eventId: event.id,
  dueAt: asInstant(event.end + OUTCOME_AFTER_MS),
  uselessAfter: asInstant(event.end + OUTCOME_USEFUL_MS),
})

/** After the end, or after a cancellation: let it run again if it is still paused, and say what became of it. */
function afterwards(household: Household, event: HouseholdEvent, now: Instant): readonly Wanted[] {
  const wanted: Wanted[] = []
  const over = event.state === 'cancelled' ? event.changedAt : event.end
  if (event.heldAt !== null && event.releasedAt === null && now < over + RESTORE_USEFUL_MS)
    wanted.push({
      kind: 'restore',
      eventId: event.id,
      dueAt: over,
      uselessAfter: asInstant(over + RESTORE_USEFUL_MS),
    })
  const planned = household.readings.some((reading) => reading.at < event.end)
  if (event.state === 'announced' && planned && event.outcomePct === null) {
    const outcome = outcomeOf(event)
    if (now < outcome.uselessAfter) wanted.push(outcome)
  }
  return wanted
}

/** When a reading would be worth most and is not there yet; `null` when none is asked for. */
function readingDue(
  household: Household,
  event: HouseholdEvent,
  target: Instant,
  now: Instant,
): Instant | null {
  const asked = household.reminders.filter(
    (each) => each.kind === 'reading' && each.eventId === event.id && each.sentAt !== null,
  )
  const open = asked.find((each) => each.state === 'sent')
  if (open !== undefined) return open.dueAt
  const told = household.readings.findLast((reading) => !reading.reckoned)?.at ?? -Infinity
  const lastAsked = asked.at(-1)?.sentAt ?? -Infinity
  // Too close to the hold, which says itself at which figure to act.
  const latest = asInstant(target - 2 * HOLD_AHEAD_MS)
  const due = earlier(later(asInstant(target - READING_AHEAD_MS), now), latest)
  const stale = due - Math.max(told, lastAsked) >= FRESH_READING_MS
  return stale && due >= now && asked.length < MAX_READINGS
    ? asInstant(target - READING_AHEAD_MS)
    : null
}

const endBefore = (household: Household, event: HouseholdEvent): Instant | undefined =>
  household.events
    .filter((other) => other.state === 'announced' && other.end <= event.start)
    .toSorted((a, b) => a.end - b.end)
    .at(-1)?.end

const holdWasAsked = (household: Household, event: HouseholdEvent): boolean =>
  household.reminders.some(
    (each) =>
      each.kind === 'hold' &&
      each.eventId === event.id &&
      each.sentAt !== null &&
      each.state !== 'replaced',
  )
