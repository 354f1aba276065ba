// Reminders to a web address of the household's own, as Standard Webhooks 1.0. The address was checked
// when it was given (address.ts).

import { DateTime } from 'luxon'
import type { Instant } from '../plan/index.ts'
import type { Channel, OutgoingMessage, Outcome } from './channel.ts'
import { signWebhook } from './sign.ts'

export type WebhookTarget = { readonly url: string; readonly secret: string }

/** Below the 15 to 30 s that Standard Webhooks suggests: waiting is what costs on this platform. */
export const WEBHOOK_TIMEOUT_MS = 8000

/** One attempt: 2xx is accepted, 410 is gone, everything else (a redirect too) is to be tried again. */
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
    'webhook-signature': await signWebhook(target.secret, message.id, seconds, body),
  }
  try {
    const response = await fetch(target.url, {
      method: 'POST',
      headers,
      body,
      // A redirect could lead to an address that nobody checked.
      redirect: 'manual',
      signal: AbortSignal.timeout(WEBHOOK_TIMEOUT_MS),
    })
    discard(response)
    return outcomeOf(response, now)
  } catch (error) {
    return { kind: 'try-again', afterMs: null, note: troubleOf(error) }
  }
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

function outcomeOf({ status, headers }: Response, now: Instant): Outcome {
  if (status >= 200 && status < 300) return { kind: 'accepted' }
  const note = `status ${status}`
  if (status === 410) return { kind: 'gone', note }
  const afterMs = status >= 400 ? retryAfterMs(headers.get('retry-after'), now) : null
  return { kind: 'try-again', afterMs, note }
}

/** Retry-After as milliseconds from `now`: seconds or an HTTP-date (RFC 9110 §10.2.3); `null` if it is neither. */
export function retryAfterMs(field: string | null, now: Instant): number | null {
  const value = field?.trim() ?? ''
  if (/^\d{1,9}$/.test(value)) return Number(value) * 1000
  const date = DateTime.fromHTTP(value, { zone: 'utc' })
  return date.isValid ? Math.max(0, date.toMillis() - now) : null
}

// The body is nobody's business here, and unread it would keep the connection open.
function discard(response: Response): void {
  response.body?.cancel().catch(() => undefined)
}

const troubleOf = (error: unknown) =>
  error instanceof Error && (error.name === 'TimeoutError' || error.name === 'AbortError')
    ? 'no answer in time'
    : 'no connection'

const rfc3339 = (at: Instant) =>
  DateTime.fromMillis(Math.floor(at / 1000) * 1000, { zone: 'utc' }).toISO({
    suppressMilliseconds: true,
  })
