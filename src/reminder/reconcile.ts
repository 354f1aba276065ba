// Brings the stored reminders in line with the wanted ones. Doing it twice changes nothing.

import type { Instant } from '../plan/index.ts'
import { WORTH_MOVING_MS } from './timing.ts'
import type { Household, Reminder } from './types.ts'
import { type Wanted, remindersFor } from './wanted.ts'

export const isOpen = (reminder: Reminder): boolean =>
  reminder.state === 'waiting' || reminder.state === 'sent'

/** The household with its reminders as its plan wants them now; what is wanted depends on what was asked, so until it rests. */
export function reconciled(household: Household, now: Instant): Household {
  const next = once(household, now)
  return next === household ? household : reconciled(next, now)
}

function once(household: Household, now: Instant): Household {
  const wanted = remindersFor(household, now)
  const kept = household.reminders.map((reminder) => fit(household, reminder, wanted, now))
  const added = wanted
    .filter((each) => !kept.some((reminder) => answers(household, reminder, each)))
    .map((each) => newReminder(each, kept))
  const unchanged = added.length === 0 && kept.every((each, i) => each === household.reminders[i])
  return unchanged ? household : { ...household, reminders: [...kept, ...added] }
}

const letsRun = ({ kind }: Reminder): boolean => kind === 'release' || kind === 'restore'

const isFor = (reminder: Reminder, wanted: Wanted): boolean =>
  reminder.kind === wanted.kind && reminder.eventId === wanted.eventId

/** An open reminder moved to the wanted times, or replaced when it is not wanted any more. Plans are told, not wanted. */
function fit(
  household: Household,
  reminder: Reminder,
  wanted: readonly Wanted[],
  now: Instant,
): Reminder {
  if (!isOpen(reminder) || reminder.kind === 'plan') return reminder
  const match = wanted.find((each) => isFor(reminder, each))
  // What is over is closed, and told, by waking.
  if (match === undefined)
    return now < reminder.uselessAfter ? replacedReminder(reminder) : reminder
  const { dueAt, uselessAfter } = match
  if (reminder.state === 'sent') {
    // Asked of a battery that ran as far as anybody said; it is held since, and asked for in its own time.
    const heldAt = household.events.find(({ id }) => id === reminder.eventId)?.heldAt ?? -Infinity
    if (letsRun(reminder) && (reminder.sentAt ?? Infinity) < heldAt)
      return replacedReminder(reminder)
    if (dueAt > now + WORTH_MOVING_MS) return replacedReminder(reminder)
    return uselessAfter === reminder.uselessAfter ? reminder : { ...reminder, uselessAfter }
  }
  return dueAt === reminder.dueAt && uselessAfter === reminder.uselessAfter
    ? reminder
    : { ...reminder, dueAt, uselessAfter, nextAt: dueAt }
}

export const replacedReminder = (reminder: Reminder): Reminder => ({
  ...reminder,
  state: 'replaced',
  nextAt: null,
})

/** Whether a reminder already does what is wanted: it is open, or it was dealt with since the event was last changed. */
function answers(household: Household, reminder: Reminder, wanted: Wanted): boolean {
  if (!isFor(reminder, wanted)) return false
  if (isOpen(reminder)) return true
  // A reading may be asked for again; `wanted.ts` says when.
  if (reminder.state === 'replaced' || reminder.kind === 'reading') return false
  const event = household.events.find((each) => each.id === wanted.eventId)
  const since = reminder.sentAt ?? reminder.dueAt
  if (event === undefined) return true
  const again = wanted.kind === 'hold' || wanted.kind === 'release'
  if (wanted.kind === 'restore') return since >= wanted.dueAt
  if (wanted.kind === 'release' && since < (event.heldAt ?? -Infinity)) return false
  return since >= event.changedAt && !(again && since < (event.runsSince ?? -Infinity))
}

export function newReminder(wanted: Wanted, others: readonly Reminder[]): Reminder {
  const number = 1 + others.filter((each) => isFor(each, wanted)).length
  return {
    ...wanted,
    key: `${wanted.kind}-${wanted.eventId}-${number}`,
    state: 'waiting',
    text: null,
    sentAt: null,
    nextAt: wanted.dueAt,
    repeat: 0,
    acknowledgedAt: null,
    acknowledgedBy: null,
    missedBecause: null,
  }
}

/** A reminder to be told at once: the plan as it is now, in place of what was told before. */
export function withPlanTold(household: Household, eventId: string, now: Instant): Household {
  const event = household.events.find((each) => each.id === eventId)
  if (event === undefined) return household
  const wanted: Wanted = { kind: 'plan', eventId, dueAt: now, uselessAfter: event.end }
  const before = household.reminders.map((each) =>
    isFor(each, wanted) && isOpen(each) ? replacedReminder(each) : each,
  )
  return { ...household, reminders: [...before, newReminder(wanted, before)] }
}
