// What happens when a time comes: reminders are sent, nudged, lapse or are missed (rules R7 to R10).
// Sending is a value here: a message in the conversation and a row in the outbox.

import { type Instant, asInstant, earlier } from '../plan/index.ts'
import { firstOutside } from '../schedule/index.ts'
import { reachWords, reminderWords as say } from '../words/index.ts'
import { withMessage } from './messages.ts'
import { NO_CONNECTION } from './channels.ts'
import { askedAgainAt } from './deadline.ts'
import { isUrgent } from './ladder.ts'
import { withSending } from './outbox.ts'
import { plannedEvent } from './planning.ts'
import { outOfReach } from './reach.ts'
import { isOpen } from './reconcile.ts'
import { formatOf, reminderText } from './text.ts'
import { APART_MS } from './timing.ts'
import type { Button, Household, MissedBecause, Reminder } from './types.ts'

/** Sends what is due and closes what is over. */
export function withDueSent(household: Household, now: Instant): Household {
  // What cannot wait goes first, so that what can keeps its distance to it.
  const inTurn = household.reminders.filter(isOpen).toSorted((a, b) => turnOf(a) - turnOf(b))
  return inTurn.reduce((state, reminder) => {
    if (now >= reminder.uselessAfter) return closed(state, reminder)
    if (reminder.nextAt === null || reminder.nextAt > now) return state
    const free = freeAt(state, reminder)
    if (free <= now) return sent(state, reminder, now)
    return withReminder(state, { ...reminder, nextAt: earlier(free, reminder.uselessAfter) })
  }, household)
}

/** A plan is told before what it asks for. */
const turnOf = (reminder: Reminder): number =>
  reminder.kind === 'plan' ? 0 : isUrgent(reminder) ? 1 : 2

/** From when a message may come: what can wait keeps its distance to the last one that asked for something (R25). */
function freeAt({ messages, reminders }: Household, reminder: Reminder): Instant {
  if (isUrgent(reminder) || reminder.kind === 'plan') return asInstant(-Infinity)
  const last = messages.findLast(
    ({ reminderKey }) =>
      reminderKey !== null &&
      reminderKey !== reminder.key &&
      reminders.find(({ key }) => key === reminderKey)?.kind !== 'plan',
  )
  return last === undefined ? asInstant(-Infinity) : asInstant(last.at + APART_MS)
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
  const again = askedAgainAt(household, reminder, repeat, now)
  const next: Reminder = {
    ...reminder,
    state: 'sent',
    text,
    repeat,
    sentAt: reminder.sentAt ?? now,
    nextAt: again === null ? null : nudgeAt(household, reminder, again),
  }
  return withSending(
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

/** Over: lapsed if it reached somebody, missed if not (R10, R27). A missed hold or release is told, as it is somebody's evening. */
function closed(household: Household, reminder: Reminder): Household {
  const missedBecause = whyMissed(household, reminder)
  const missed = missedBecause !== null
  const next = withReminder(household, {
    ...reminder,
    state: missed ? 'missed' : 'lapsed',
    nextAt: null,
    missedBecause,
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

/** Why a reminder that is over reached nobody; `null` if it did. The page alone is enough where there is no channel. */
function whyMissed(household: Household, reminder: Reminder): MissedBecause | null {
  if (reminder.sentAt !== null) {
    const { channels, deliveries } = household
    const asks = deliveries.filter(
      ({ purpose, reminderKey }) => purpose === 'ask' && reminderKey === reminder.key,
    )
    if (asks.length === 0) {
      // A plan goes to the page alone; so does everything where nobody has another way.
      if (reminder.kind === 'plan' || channels.length === 0) return null
      return channels.some(({ state }) => state === 'on') ? 'nobody-there' : 'no-channel'
    }
    // One whose end is unknown may have reached somebody.
    const reached = asks.some(
      ({ state, doubtful, note }) =>
        state === 'accepted' || state === 'sending' || (doubtful && note !== NO_CONNECTION),
    )
    return reached ? null : 'no-channel'
  }
  const { nextAt } = reminder
  if (nextAt !== null && nextAt > reminder.dueAt && nextAt >= reminder.uselessAfter)
    return 'crowded'
  const event = household.events.find((each) => each.id === reminder.eventId)
  const away = event === undefined ? [] : outOfReach(household.settings, [event])
  return away.some(({ start, end }) => start <= reminder.dueAt && end >= reminder.uselessAfter)
    ? 'nobody-there'
    : 'woke-late'
}
