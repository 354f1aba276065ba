// By when a reminder has to be acted on, and when it is asked for again until then (R7).

import { type Instant, asInstant, later } from '../plan/index.ts'
import { plannedEvent } from './planning.ts'
import {
  HOLD_AGAIN_MS,
  LEAST_GAP_MS,
  NO_READING_NUDGES_MS,
  OVERNIGHT_NUDGES_MS,
  RELEASE_AGAIN_MS,
  RELEASE_THEN_EVERY_MS,
  RESTORE_NUDGES_MS,
} from './timing.ts'
import type { Household, Reminder } from './types.ts'

/** The latest moment at which doing it is still in time. */
export function deadlineOf(household: Household, reminder: Reminder): Instant {
  const plan = plannedEvent(household, reminder.eventId)
  if (reminder.kind === 'hold' && plan?.holdBy) return plan.holdBy
  if (reminder.kind === 'release') {
    const event = household.events.find(({ id }) => id === reminder.eventId)
    return plan?.releaseAt ?? event?.start ?? reminder.uselessAfter
  }
  if (reminder.kind === 'overnight' && plan?.topUp) return plan.topUp.from
  return reminder.uselessAfter
}

/** When to ask again, after the sending number `repeat` (0 is the first); `null`: not any more. */
export function askedAgainAt(
  household: Household,
  reminder: Reminder,
  repeat: number,
  now: Instant,
): Instant | null {
  const event = household.events.find(({ id }) => id === reminder.eventId)
  const after = (waits: readonly number[]) => {
    const wait = waits[repeat]
    return wait === undefined ? null : asInstant(now + wait)
  }
  const firstAsked = reminder.sentAt ?? now
  switch (reminder.kind) {
    case 'hold':
      return next(later(deadlineOf(household, reminder), firstAsked), HOLD_AGAIN_MS, now)
    case 'release':
      // Of a battery that nobody said is held, it is asked once.
      if (event === undefined || event.heldAt === null) return null
      return (
        next(later(event.start, firstAsked), RELEASE_AGAIN_MS, now) ??
        asInstant(now + RELEASE_THEN_EVERY_MS)
      )
    case 'restore':
      return after(RESTORE_NUDGES_MS)
    case 'overnight':
      return after(OVERNIGHT_NUDGES_MS)
    case 'reading':
      return plannedEvent(household, reminder.eventId) === null ? after(NO_READING_NUDGES_MS) : null
    default:
      return null
  }
}

const next = (from: Instant, times: readonly number[], now: Instant): Instant | null => {
  const at = times.map((time) => from + time).find((time) => time >= now + LEAST_GAP_MS)
  return at === undefined ? null : asInstant(at)
}
