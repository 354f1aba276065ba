// A reminder as it is put before a person outside the page, and what its message says once it is over.

import type { OutgoingMessage, PersonalMessage, Tap } from '../delivery/index.ts'
import {
  type Delivery,
  type Household,
  type HouseholdChannel,
  type Reminder,
  formatOf,
  isUrgent,
  plannedEvent,
} from '../reminder/index.ts'
import type { Instant } from '../plan/index.ts'
import { channelWords, reachWords, reminderWords as say } from '../words/index.ts'

/** The same octets at every attempt of a delivery. */
export const outgoing = (
  _household: Household,
  reminder: Reminder,
  delivery: Delivery,
  { origin }: { readonly origin: string },
): OutgoingMessage => ({
  id: delivery.id,
  at: reminder.sentAt ?? reminder.dueAt,
  key: reminder.key,
  kind: reminder.kind,
  eventId: reminder.eventId,
  text: reminder.text ?? '',
  dueAt: reminder.dueAt,
  uselessAfter: reminder.uselessAfter,
  repeat: delivery.repeat,
  page: `${origin}/plan`,
})

/** What a person is shown besides; one that may have come already says so. */
export const personal = (
  household: Household,
  reminder: Reminder,
  delivery: Delivery,
  message: OutgoingMessage,
  answerUrl: string,
): PersonalMessage => ({
  ...message,
  text: delivery.doubtful ? say.perhapsAgain(message.text) : message.text,
  title: household.settings.name,
  taps: tapsFor(household, reminder),
  answerUrl,
  urgent: isUrgent(reminder),
})

/** What can be tapped instead of typed. */
export function tapsFor(household: Household, { kind, eventId }: Reminder): readonly Tap[] {
  const later: Tap = { label: say.buttonLater, does: 'later' }
  switch (kind) {
    case 'hold':
      return [{ label: say.buttonHeld, does: 'done' }, later]
    case 'release':
    case 'restore':
      return [{ label: say.buttonRunning, does: 'done' }, later]
    case 'overnight':
      return [{ label: reachWords.buttonSet, does: 'done' }, later]
    case 'reading':
      // It names the figure at which to hold.
      return plannedEvent(household, eventId) === null
        ? []
        : [{ label: say.buttonHeld, does: 'done' }]
    default:
      return []
  }
}

// Where it was said, where nobody gave a name.
const NOT_NAMES = new Set(['page', 'chat', 'api', 'a reading'])

export function settledText(household: Household, reminder: Reminder): string {
  const f = formatOf(household)
  const { state, acknowledgedAt, acknowledgedBy } = reminder
  if (state === 'replaced') return say.settledChanged
  if (state !== 'acknowledged' || acknowledgedAt === null)
    return reminder.kind === 'release' || reminder.kind === 'restore'
      ? say.settledUnanswered
      : say.settledOver
  const at = f.time(acknowledgedAt)
  // A figure says nothing of what hands did.
  if (reminder.kind === 'reading' || reminder.kind === 'outcome') return say.answeredAt(at)
  return acknowledgedBy === null || NOT_NAMES.has(acknowledgedBy)
    ? say.settled(at)
    : say.settledBy(acknowledgedBy, at)
}

const TEST_USEFUL_MS = 600_000

/** A message that asks nothing: somebody wants to see whether it arrives. */
export const testMessage = (
  household: Household,
  { person, label }: Pick<HouseholdChannel, 'person' | 'label'>,
  { origin, now }: { readonly origin: string; readonly now: Instant },
): PersonalMessage => ({
  id: `msg_${household.id}_test_${now}`,
  at: now,
  key: 'test',
  kind: 'test',
  eventId: '',
  text: channelWords.test(person, label),
  dueAt: now,
  uselessAfter: (now + TEST_USEFUL_MS) as Instant,
  repeat: 0,
  page: `${origin}/plan`,
  title: household.settings.name,
  taps: [],
  answerUrl: `${origin}/plan`,
  urgent: false,
})
