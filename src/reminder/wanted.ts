// The reminders that a plan asks for (rules R1 to R6): derived, never edited.

import { type Instant, MINUTE_MS, type Span, asInstant, earlier, later } from '../plan/index.ts'
import { firstOutside, lastOutside } from '../schedule/index.ts'
import {
  chargeToSet,
  chargesFirst,
  heldSince,
  isHeld,
  isHeldForAnother,
  isWorthHolding,
  lastTold,
  lookAt,
  plannedEvent,
  upcoming,
} from './planning.ts'
import { outOfReach } from './reach.ts'
import { spreadOf } from './spread.ts'
import {
  BEFORE_LEAVING_MS,
  FRESH_READING_MS,
  HOLD_AFTER_LOOK_MS,
  HOLD_AHEAD_MS,
  MAX_READINGS,
  NO_READING_NUDGES_MS,
  OUTCOME_AFTER_MS,
  OUTCOME_USEFUL_MS,
  READING_AHEAD_MS,
  RELEASE_AHEAD_MS,
  RESTORE_USEFUL_MS,
} from './timing.ts'
import type { Household, HouseholdEvent, ReminderKind } from './types.ts'
import { beforeTheNight, whenPlanned } from './whenPlanned.ts'

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
  const away = outOfReach(household.settings, [event])
  // Moved to another day while it was held: until then it is to run.
  const movedAway = isHeld(event) && isHeldForAnother(household, event, now)
  const restore = movedAway ? [restoreAt(event, firstOutside(away, event.changedAt))] : []
  if (plan === null) {
    const { releaseLeadMinutes } = household.settings
    const by = asInstant(event.start - releaseLeadMinutes * MINUTE_MS)
    const held = [releaseBy(household, event, away, by), outcomeOf(household, event)]
    return [...restore, ...firstReading(household, event, now), ...(isHeld(event) ? held : [])]
  }
  const wanted: Wanted[] = []
  // Before the event ahead of this one is over, the battery has to run: nothing is asked for it yet.
  const gapStart = endBefore(household, event) ?? asInstant(-Infinity)
  const spread = spreadOf(household)
  const releaseDue = asInstant(plan.releaseAt - RELEASE_AHEAD_MS - spread)
  const untouched = event.heldAt === null && now < releaseDue
  const worth = isWorthHolding(plan)
  const target = worth ? (plan.holdBy ?? plan.releaseAt) : plan.releaseAt
  const charge = chargeToSet(event, plan, now)
  const chargeFirst = chargesFirst(event, plan, now) !== null
  const reading = chargeFirst ? null : readingDue(household, event, away, target, now)
  // A look so near the hold asks for it as well; the hold itself then comes only if nobody answers.
  const withHold = worth && reading !== null && reading > target - 2 * HOLD_AHEAD_MS
  const holdDue = asInstant(target - (withHold ? HOLD_AFTER_LOOK_MS : HOLD_AHEAD_MS) - spread)
  if (untouched && reading !== null && reading >= gapStart)
    wanted.push({ kind: 'reading', eventId, dueAt: reading, uselessAfter: target })
  if (untouched && charge !== null)
    wanted.push({
      kind: 'overnight',
      eventId,
      dueAt: later(
        event.changedAt,
        beforeTheNight(household.settings, event, charge.from, BEFORE_LEAVING_MS),
      ),
      uselessAfter: charge.until,
    })
  if (untouched && worth && !chargeFirst)
    wanted.push({
      kind: 'hold',
      eventId,
      dueAt: whileHandsAreThere(away, later(gapStart, holdDue), target),
      uselessAfter: releaseDue,
    })
  const heldPerhaps = isHeld(event) || (untouched && worth) || holdWasAsked(household, event)
  if (event.releasedAt === null && heldPerhaps)
    wanted.push(releaseBy(household, event, away, plan.releaseAt))
  return [...wanted, ...restore, outcomeOf(household, event)]
}

function releaseBy(
  household: Household,
  event: HouseholdEvent,
  away: readonly Span[],
  by: Instant,
): Wanted {
  const due = asInstant(by - RELEASE_AHEAD_MS - spreadOf(household))
  const there = whileHandsAreThere(away, due, by)
  // Who held it while all were said to be gone is there; the last moment before was earlier.
  const dueAt = there <= (event.heldAt ?? -Infinity) ? due : there
  return { kind: 'release', eventId: event.id, dueAt, uselessAfter: event.end }
}

/** When hands are asked: at the due time; else when they are there again, if that is in time, or at the last moment before (R17). */
function whileHandsAreThere(away: readonly Span[], dueAt: Instant, by: Instant): Instant {
  const there = firstOutside(away, dueAt)
  return there <= by ? there : lastOutside(away, dueAt)
}

/** Where nothing is planned yet: a reading, for the first event that has not begun. */
function firstReading(
  household: Household,
  event: HouseholdEvent,
  now: Instant,
): readonly Wanted[] {
  const first = upcoming(household, now).find((each) => each.start > now)
  if (first !== event) return []
  // Where the nightly charge is known, any reading will do; elsewhere that of the day (R14).
  const early =
    household.settings.nightCharge === null
      ? whenPlanned(household.settings, event).askAt
      : -Infinity
  // "Done" without a figure: asked again after a while.
  const acknowledged = household.reminders
    .filter((each) => each.kind === 'reading' && each.eventId === event.id)
    .map((each) => (each.acknowledgedAt ?? -Infinity) + (NO_READING_NUDGES_MS[0] ?? 0))
  const dueAt = asInstant(Math.max(event.changedAt, early, ...acknowledged))
  return [{ kind: 'reading', eventId: event.id, dueAt, uselessAfter: event.start }]
}

const restoreAt = (event: HouseholdEvent, dueAt: Instant): Wanted => ({
  kind: 'restore',
  eventId: event.id,
  dueAt,
  uselessAfter: asInstant(dueAt + RESTORE_USEFUL_MS),
})

const outcomeOf = (household: Household, event: HouseholdEvent): Wanted => ({
  kind: 'outcome',
  eventId: event.id,
  dueAt: firstOutside(
    outOfReach(household.settings, [event]),
    asInstant(event.end + OUTCOME_AFTER_MS + spreadOf(household)),
  ),
  uselessAfter: asInstant(event.end + OUTCOME_USEFUL_MS),
})

/** After the end, or after a cancellation: let it run again if it is still paused, and say what became of it. */
function afterwards(household: Household, event: HouseholdEvent, now: Instant): readonly Wanted[] {
  const wanted: Wanted[] = []
  const over = event.state === 'cancelled' ? event.changedAt : event.end
  // Where the next event wants it paused now, it is not let run in between.
  const wantedPaused = heldSince(household, now) !== null || holdIsDue(household, now)
  const restore = restoreAt(event, firstOutside(outOfReach(household.settings, [event]), over))
  if (isHeld(event) && !wantedPaused && now < restore.uselessAfter) wanted.push(restore)
  const planned = household.readings.some((reading) => reading.at < event.end)
  if (event.state === 'announced' && planned && event.outcomePct === null) {
    const outcome = outcomeOf(household, event)
    if (now < outcome.uselessAfter) wanted.push(outcome)
  }
  return wanted
}

/** Whether a hold for an event to come is to be asked for by now. */
const holdIsDue = (household: Household, now: Instant): boolean =>
  upcoming(household, now).some((event) => {
    const plan = plannedEvent(household, event.id)
    const untouched = event.heldAt === null && plan !== null && now < plan.releaseAt
    const due = (plan?.holdBy ?? now) - HOLD_AHEAD_MS - spreadOf(household)
    return untouched && isWorthHolding(plan) && due <= now
  })

/** When a reading would be worth most and is not there yet; `null` when none is asked for. */
function readingDue(
  household: Household,
  event: HouseholdEvent,
  away: readonly Span[],
  target: Instant,
  now: Instant,
): Instant | null {
  const asked = household.reminders.filter(
    (each) => each.kind === 'reading' && each.eventId === event.id && each.sentAt !== null,
  )
  const open = asked.find((each) => each.state === 'sent')
  if (open !== undefined) return open.dueAt
  const told = lastTold(household)?.at ?? -Infinity
  const lastAsked = asked.at(-1)?.sentAt ?? -Infinity
  const plan = plannedEvent(household, event.id)
  // A plan from past days says when a look is worth most, and how many are left.
  if (plan !== null && 'confidence' in plan) {
    const look = lookAt(plan)
    return look !== null && look >= now ? look : null
  }
  // Too close to the hold, which says itself at which figure to act.
  const latest = asInstant(target - 2 * HOLD_AHEAD_MS)
  const wished = firstOutside(away, asInstant(target - READING_AHEAD_MS))
  if (wished > latest) return null
  const due = earlier(later(wished, now), latest)
  const stale = due - Math.max(told, lastAsked) >= FRESH_READING_MS
  return stale && due >= now && asked.length < MAX_READINGS ? wished : null
}

const endBefore = (household: Household, event: HouseholdEvent): Instant | undefined =>
  household.events
    .filter((other) => other.state === 'announced' && other.end <= event.start)
    .toSorted((a, b) => a.end - b.end)
    .at(-1)?.end

/** Whether somebody was asked to hold for it, and may have done so without saying. */
export const holdWasAsked = (household: Household, event: HouseholdEvent): boolean =>
  household.reminders.some(
    (each) =>
      each.kind === 'hold' &&
      each.eventId === event.id &&
      each.sentAt !== null &&
      each.sentAt >= (event.runsSince ?? -Infinity),
  )
