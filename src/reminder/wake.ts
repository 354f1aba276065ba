// What happens when a time comes: reminders are sent, nudged, lapse or are missed (rules R7 to R10).
// Sending is a value here: a message in the conversation and a row in the outbox.

import { type Instant, asInstant, earlier } from '../plan/index.ts'
import { firstOutside } from '../schedule/index.ts'
import { reachWords, reminderWords as say } from '../words/index.ts'
import { withMessage } from './messages.ts'
import { withDelivery } from './outbox.ts'
import { plannedEvent } from './planning.ts'
import { outOfReach } from './reach.ts'
import { isOpen } from './reconcile.ts'
import { formatOf, reminderText } from './text.ts'
import {
  HOLD_NUDGES_MS,
  NO_READING_NUDGES_MS,
  OVERNIGHT_NUDGES_MS,
  RELEASE_NUDGES_MS,
} from './timing.ts'
import type { Button, Household, Reminder } from './types.ts'

/** Sends what is due and closes what is over. */
export function withDueSent(household: Household, now: Instant): Household {
  return household.reminders.filter(isOpen).reduce((state, reminder) => {
    if (now >= reminder.uselessAfter) return closed(state, reminder)
    return reminder.nextAt !== null && reminder.nextAt <= now ? sent(state, reminder, now) : state
  }, household)
}

/** When to look again: the earliest send, retry or end of usefulness; overdue ones included. `null` when nothing is open. */
export function nextWake(household: Household): Instant | null {
  const times = [
    ...household.reminders
      .filter(isOpen)
      .map((each) => earlier(each.nextAt ?? each.uselessAfter, each.uselessAfter)),
    ...household.deliveries.map((each) => each.nextAt).filter((at) => at !== null),
  ]
  return times.length === 0 ? null : times.reduce(earlier)
}

export const withReminder = (household: Household, reminder: Reminder): Household => ({
  ...household,
  reminders: household.reminders.map((each) => (each.key === reminder.key ? reminder : each)),
})

function sent(household: Household, reminder: Reminder, now: Instant): Household {
  const repeat = reminder.sentAt === null ? 0 : reminder.repeat + 1
  const text = reminderText(household, { ...reminder, repeat }, now)
  const gap = nudgeAfter(household, reminder, repeat)
  const next: Reminder = {
    ...reminder,
    state: 'sent',
    text,
    repeat,
    sentAt: reminder.sentAt ?? now,
    nextAt: gap === null ? null : nudgeAt(household, reminder, asInstant(now + gap)),
  }
  return withDelivery(
    withMessage(withReminder(household, next), now, 'holdbell', text, {
      reminderKey: next.key,
      buttons: buttonsFor(next),
    }),
    next,
    now,
  )
}

/** Nobody is asked again while all are out of reach (R17). */
function nudgeAt(household: Household, { eventId, uselessAfter }: Reminder, at: Instant): Instant {
  const event = household.events.find((each) => each.id === eventId)
  const away = event === undefined ? [] : outOfReach(household.settings, [event])
  return earlier(firstOutside(away, at), uselessAfter)
}

/** What can be tapped instead of typed. */
function buttonsFor({ kind }: Reminder): readonly Button[] {
  const done = {
    hold: say.buttonHeld,
    release: say.buttonRunning,
    restore: say.buttonRunning,
    overnight: reachWords.buttonSet,
  }
  return kind === 'hold' || kind === 'release' || kind === 'restore' || kind === 'overnight'
    ? [
        { label: done[kind], send: 'done' },
        { label: say.buttonLater, send: 'in 10' },
      ]
    : []
}

/** How long to wait for an answer before asking again; `null`: no nudge. */
function nudgeAfter(household: Household, reminder: Reminder, repeat: number): number | null {
  const event = household.events.find((each) => each.id === reminder.eventId)
  const waits = (times: readonly number[]) => times[repeat] ?? times.at(-1) ?? null
  switch (reminder.kind) {
    case 'hold':
      return waits(HOLD_NUDGES_MS)
    case 'release':
      return event?.heldAt === null ? null : waits(RELEASE_NUDGES_MS)
    case 'overnight':
      return OVERNIGHT_NUDGES_MS[repeat] ?? null
    case 'restore':
      return repeat < 2 && event?.state === 'cancelled' ? waits(HOLD_NUDGES_MS) : null
    case 'reading':
      return plannedEvent(household, reminder.eventId) === null
        ? (NO_READING_NUDGES_MS[repeat] ?? null)
        : null
    default:
      return null
  }
}

/** Over: lapsed if it was sent, missed if it never was. A missed hold or release is told, as it is somebody's evening. */
function closed(household: Household, reminder: Reminder): Household {
  const missed = reminder.sentAt === null
  const next = withReminder(household, {
    ...reminder,
    state: missed ? 'missed' : 'lapsed',
    nextAt: null,
  })
  const event = household.events.find((each) => each.id === reminder.eventId)
  if (!missed || event === undefined) return next
  const f = formatOf(household)
  const at = reminder.uselessAfter
  const plan = plannedEvent(household, reminder.eventId)
  if (reminder.kind === 'hold')
    return withMessage(next, at, 'holdbell', say.missedHold(f.time(plan?.holdBy ?? at)))
  if (reminder.kind === 'release' && event.heldAt !== null)
    return withMessage(next, at, 'holdbell', say.missedRelease(f.time(event.end)))
  return next
}
