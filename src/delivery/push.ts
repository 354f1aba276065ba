// Reminders to a browser that subscribed (RFC 8030), sealed for it alone. Its endpoint was checked when it
// was given (address.ts). An endpoint is as good as a key: it stands in no note.

import { HOUR_MS, type Instant, type Result, asInstant, later, ok } from '../plan/index.ts'
import type { ChannelTarget } from '../reminder/index.ts'
import { toBase64url } from './base64url.ts'
import type { Channel, Outcome, PersonalMessage, Settled, Tools } from './channel.ts'
import { discard, post, retryAfterMs } from './http.ts'
import { pushBody, settledBody } from './pushBody.ts'
import { type PushKeys, type PushKeysRefusal, encryptPush, readPushKeys } from './pushEncryption.ts'
import { type VapidKeys, vapidHeader } from './vapid.ts'

export type PushTarget = Extract<ChannelTarget, { kind: 'push' }>
export type PushTools = Tools & { readonly vapid: VapidKeys }

// Settling a message: long enough for a phone that was out of reach; after that the news is none (our choice).
const SETTLE_USEFUL_MS = HOUR_MS

// RFC 8030 §5.2: what a push service takes for a time that is longer than it can say.
const LONGEST_TTL_S = 2 ** 31

/** What a browser gave, as a target whose keys can be used, or why they cannot. The endpoint is for `checkAddress`. */
export async function checkSubscription({
  endpoint,
  p256dh,
  auth,
}: PushKeys & { readonly endpoint: string }): Promise<Result<PushTarget, PushKeysRefusal>> {
  const read = await readPushKeys({ p256dh, auth })
  return read.ok ? ok({ kind: 'push', endpoint, p256dh, auth }) : read
}

/** One attempt. The push service keeps it until `uselessAfter` at most; the same request said anew replaces it there. */
export const sendPush: Channel<PushTarget, PersonalMessage, PushTools> = async (
  target,
  message,
  tools,
) => {
  const topic = await topicOf(message)
  const body = pushBody(message, topic)
  const { urgent, uselessAfter } = message
  const outcome = await deliver(target, { body, topic, urgent, usefulUntil: uselessAfter }, tools)
  return outcome.kind === 'accepted' ? { kind: 'accepted', handle: topic } : outcome
}

/** Puts what came of it in the message's place, without a sound; in the push service too, if it is still there. */
export const settlePush: Channel<PushTarget, Settled, PushTools> = (target, settled, tools) => {
  const usefulUntil = later(settled.message.uselessAfter, asInstant(tools.now + SETTLE_USEFUL_MS))
  const topic = settled.handle
  return deliver(
    target,
    { body: settledBody(settled, topic), topic, urgent: false, usefulUntil },
    tools,
  )
}

type Push = {
  readonly body: Uint8Array
  readonly topic: string
  readonly urgent: boolean
  readonly usefulUntil: Instant
}

async function deliver(
  target: PushTarget,
  { body, topic, urgent, usefulUntil }: Push,
  { fetch, now, vapid }: PushTools,
): Promise<Outcome> {
  const sealed = await encryptPush(body, target)
  if (!sealed.ok) return { kind: 'refused', note: `subscription: ${sealed.refusal.reason}` }
  const headers = {
    authorization: await vapidHeader(target.endpoint, vapid, now),
    'content-encoding': 'aes128gcm',
    'content-type': 'application/octet-stream',
    ttl: String(ttlSeconds(usefulUntil, now)),
    topic,
    urgency: urgent ? 'high' : 'normal',
  }
  const answer = await post(fetch, target.endpoint, { headers, body: sealed.value })
  if (!answer.ok) return answer.refusal
  discard(answer.value)
  return outcomeOf(answer.value, now)
}

/** Whole seconds, never beyond the instant itself; 0 is "now or never" (RFC 8030 §5.2). */
const ttlSeconds = (usefulUntil: Instant, now: Instant) =>
  Math.min(LONGEST_TTL_S, Math.max(0, Math.floor((usefulUntil - now) / 1000)))

/**
 * The same for every wording and every number of a request (`hold-e1-1`, `hold-e1-2`), and another one for
 * each household: 32 characters (RFC 8030 §5.4) of a digest, since the push service can read it.
 */
async function topicOf({ page, kind, eventId }: PersonalMessage): Promise<string> {
  const asked = new TextEncoder().encode(JSON.stringify([page, kind, eventId]))
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', asked))
  return toBase64url(digest.slice(0, 24))
}

/** RFC 8030 §5, §7.2, §7.3 and §8.4, RFC 8292 §4; 410 as push services use it (common practice, no source). */
function outcomeOf({ status, headers }: Response, now: Instant): Outcome {
  if (status >= 200 && status < 300) return { kind: 'accepted' }
  const note = `status ${status}`
  switch (status) {
    case 404:
    case 410:
      return { kind: 'gone', note }
    case 400:
    case 413:
      return { kind: 'refused', note }
    case 401:
    case 403:
      return { kind: 'refused', note: `${note}: our VAPID token or key was not taken` }
    default: {
      const afterMs = status >= 400 ? retryAfterMs(headers.get('retry-after'), now) : null
      return { kind: 'try-again', afterMs, note }
    }
  }
}
