// The outbox: each send is on record before it is tried, has an id that never changes, and is given up
// when it would come too late to be of use (at least once; no double send on the usual path).

import { type Instant, asInstant } from '../plan/index.ts'
import { reminderWords as say } from '../words/index.ts'
import { withMessage } from './messages.ts'
import { LEASE_MS, MAX_ATTEMPTS } from './timing.ts'
import type { Delivery, Household, Reminder } from './types.ts'

/** What came of one attempt. */
export type Attempt =
  | { readonly kind: 'accepted' }
  | { readonly kind: 'try-again'; readonly afterMs: number; readonly note: string }
  /** The address wants nothing, ever: this one, whatever the settings say by now. */
  | { readonly kind: 'gone'; readonly note: string; readonly url: string }

/** Puts one sending of a reminder into the outbox, when there is a channel besides the page. */
export function withDelivery(household: Household, reminder: Reminder, now: Instant): Household {
  if (household.settings.webhook === null) return household
  const delivery: Delivery = {
    id: `msg_${household.id}_${reminder.key}_${reminder.repeat}`,
    reminderKey: reminder.key,
    kind: reminder.kind,
    repeat: reminder.repeat,
    channel: 'webhook',
    state: 'queued',
    attempts: 0,
    nextAt: now,
    note: null,
  }
  return { ...household, deliveries: [...household.deliveries, delivery] }
}

/** Marks what is to be tried now as being sent, and says which. A row whose lease ran out is tried again. */
export function withAttempts(
  household: Household,
  now: Instant,
): { readonly household: Household; readonly due: readonly string[] } {
  const due = household.deliveries.filter((each) => each.nextAt !== null && each.nextAt <= now)
  const next = due.reduce(
    (state, each) =>
      stillWanted(state, each.id, now)
        ? change(state, each.id, {
            state: 'sending',
            attempts: each.attempts + 1,
            nextAt: asInstant(now + LEASE_MS),
          })
        : change(state, each.id, { state: 'dropped', nextAt: null, note: 'no longer needed' }),
    household,
  )
  const sending = due.filter((each) => stillWanted(next, each.id, now)).map((each) => each.id)
  return { household: next, due: sending }
}

/** Whether a send still asks for something: checked again just before it goes out. */
export function stillWanted(household: Household, deliveryId: string, now: Instant): boolean {
  const delivery = household.deliveries.find((each) => each.id === deliveryId)
  const reminder = household.reminders.find((each) => each.key === delivery?.reminderKey)
  return (
    delivery !== undefined &&
    delivery.nextAt !== null &&
    delivery.attempts <= MAX_ATTEMPTS &&
    household.settings.webhook !== null &&
    reminder?.state === 'sent' &&
    reminder.repeat === delivery.repeat &&
    now < reminder.uselessAfter
  )
}

/** Records what came of an attempt. An endpoint that says it is gone is switched off, and the household told. */
export function withAttempt(
  household: Household,
  deliveryId: string,
  attempt: Attempt,
  now: Instant,
): Household {
  const delivery = household.deliveries.find((each) => each.id === deliveryId)
  // An answer that comes back after the row was given up or accepted changes nothing.
  if (delivery?.state !== 'sending') return household
  switch (attempt.kind) {
    case 'accepted':
      return change(household, deliveryId, { state: 'accepted', nextAt: null, note: null })
    case 'try-again': {
      const nextAt = asInstant(now + attempt.afterMs)
      const reminder = household.reminders.find((each) => each.key === delivery.reminderKey)
      const givenUp = delivery.attempts >= MAX_ATTEMPTS || nextAt >= (reminder?.uselessAfter ?? now)
      return change(
        household,
        deliveryId,
        givenUp
          ? { state: 'dropped', nextAt: null, note: attempt.note }
          : { state: 'queued', nextAt, note: attempt.note },
      )
    }
    case 'gone': {
      const dropped = change(household, deliveryId, {
        state: 'dropped',
        nextAt: null,
        note: attempt.note,
      })
      if (dropped.settings.webhook?.url !== attempt.url) return dropped
      const off = { ...dropped, settings: { ...dropped.settings, webhook: null } }
      return withMessage(off, now, 'holdbell', say.webhookOff)
    }
  }
}

const change = (household: Household, id: string, changed: Partial<Delivery>): Household => ({
  ...household,
  deliveries: household.deliveries.map((each) => (each.id === id ? { ...each, ...changed } : each)),
})
