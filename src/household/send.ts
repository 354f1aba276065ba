// One attempt to send one delivery: checked again just before, so that an answer that came in between wins.

import { type OutgoingMessage, retryDelayMs, sendWebhook } from '../delivery/index.ts'
import type { Instant } from '../plan/index.ts'
import { type Attempt, type Household, stillWanted } from '../reminder/index.ts'

/** What came of the attempt; `null` when nothing needed to be sent any more. */
export async function sendOne(
  household: Household | null,
  deliveryId: string,
  tools: { readonly now: () => Instant; readonly page: string },
): Promise<Attempt | null> {
  const delivery = household?.deliveries.find((each) => each.id === deliveryId)
  const reminder = household?.reminders.find((each) => each.key === delivery?.reminderKey)
  const webhook = household?.settings.webhook ?? null
  if (!household || !delivery || !reminder || webhook === null) return null
  const now = tools.now()
  if (!stillWanted(household, deliveryId, now)) return null
  const message: OutgoingMessage = {
    id: delivery.id,
    at: reminder.sentAt ?? now,
    key: reminder.key,
    kind: reminder.kind,
    eventId: reminder.eventId,
    text: reminder.text ?? '',
    dueAt: reminder.dueAt,
    uselessAfter: reminder.uselessAfter,
    repeat: delivery.repeat,
    page: `${tools.page}/plan`,
  }
  const outcome = await sendWebhook(webhook, message, { fetch, now })
  switch (outcome.kind) {
    case 'accepted':
      return outcome
    case 'gone':
      return { ...outcome, address: webhook.url }
    case 'try-again':
      // What the receiver asks for is obeyed, but never by hurrying.
      return {
        ...outcome,
        afterMs: Math.max(outcome.afterMs ?? 0, retryDelayMs(delivery.attempts)),
      }
    case 'refused':
    case 'moved':
      throw new RangeError(`Cannot come of a webhook: ${outcome.kind}`)
  }
}
