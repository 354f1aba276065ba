// Reminders to a web address of the household's own, as Standard Webhooks 1.0. The address was checked
// when it was given (address.ts).

import { DateTime } from 'luxon'
import type { Instant } from '../plan/index.ts'
import type { Channel, OutgoingMessage, Outcome } from './channel.ts'
import { discard, post, waitAskedMs } from './http.ts'
import { type SigningSecrets, secretsNow } from './rotation.ts'
import { signWebhook } from './sign.ts'

export type WebhookTarget = SigningSecrets & { readonly url: string }

/**
 * One attempt: 2xx is accepted, 410 is gone, and everything else (a redirect too) is to be tried again, unless
 * the receiver asks for no repeat.
 */
export const sendWebhook: Channel<WebhookTarget, OutgoingMessage> = async (
  target,
  message,
  { fetch, now },
) => {
  const body = webhookBody(message)
  const seconds = Math.floor(now / 1000)
  const headers = {
    'content-type': 'application/json',
    'webhook-id': message.id,
    'webhook-timestamp': String(seconds),
    'webhook-signature': await signWebhook(secretsNow(target, now), message.id, seconds, body),
  }
  const answer = await post(fetch, target.url, { headers, body })
  if (!answer.ok) return answer.refusal
  discard(answer.value)
  return outcomeOf(answer.value, now)
}

/** The contract's body, the same octets at every attempt; instants in UTC, to the second. */
export function webhookBody(message: OutgoingMessage): string {
  const { at, key, kind, eventId, text, dueAt, uselessAfter, repeat, page } = message
  return JSON.stringify({
    type: `reminder.${kind}`,
    timestamp: rfc3339(at),
    data: {
      key,
      kind,
      eventId,
      text,
      dueAt: rfc3339(dueAt),
      uselessAfter: rfc3339(uselessAfter),
      repeat,
      page,
    },
  })
}

function outcomeOf(answer: Response, now: Instant): Outcome {
  const { status, headers } = answer
  if (status >= 200 && status < 300) return { kind: 'accepted' }
  const note = `status ${status}`
  if (status === 410) return { kind: 'gone', note }
  // Not in the specification, but common among its senders: the receiver asks for no repeat.
  if (headers.get('webhook-delivery')?.trim().toLowerCase() === 'abort-message')
    return { kind: 'refused', note: `${note}, abort-message` }
  return { kind: 'try-again', afterMs: waitAskedMs(answer, now), note }
}

const rfc3339 = (at: Instant) =>
  DateTime.fromMillis(Math.floor(at / 1000) * 1000, { zone: 'utc' }).toISO({
    suppressMilliseconds: true,
  })
