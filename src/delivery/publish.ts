// Reminders to a topic on a server that takes messages by HTTP, self-hosted or not: the open protocol of ntfy,
// "Publish as JSON". Whoever subscribed to the topic gets them, with buttons that post. The server's address was
// checked when it was given (address.ts); the topic and the token, too (publishTopic.ts).
//
// The protocol has no expiry for a message: one that reaches a phone late is shown late, and its text says until
// when it helps. Where many share an address, as workers do, a public server may count them all as one and
// answer 429 to those who have no token of their own.

import type { Instant } from '../plan/index.ts'
import type { ChannelTarget } from '../reminder/index.ts'
import { toBase64url } from './base64url.ts'
import type { Channel, Outcome, PersonalMessage, Settled, Tap, Tools } from './channel.ts'
import { discard, post, readJson, waitAskedMs } from './http.ts'
import { shortened } from './shortened.ts'

export type PublishTarget = Extract<ChannelTarget, { kind: 'publish' }>

/** The members of the published format that we use, by its names. */
export type PublishBody = {
  readonly topic: string
  readonly title: string
  readonly message: string
  /** 1 to 5; 3 is usual, from 4 on a phone rings longer, up to 2 it makes no sound. */
  readonly priority: 2 | 3 | 4 | 5
  readonly click: string
  readonly actions: readonly PublishAction[]
  /** A later message with the same one takes the place of this (servers from version 2.16 on; older ones pass over it). */
  readonly sequence_id: string
}

export type PublishAction = {
  readonly action: 'http'
  readonly label: string
  readonly url: string
  readonly method: 'POST'
  readonly headers: Readonly<Record<string, string>>
  readonly body: string
  /** Away with the notification once the answer was taken. */
  readonly clear: true
}

// The documentation's limits. A longer message would be made a file to be fetched, which nobody reads in time.
const LONGEST_MESSAGE_OCTETS = 4096
const MOST_ACTIONS = 3
// Servers may limit titles, too, and refuse longer ones; this is our choice.
const LONGEST_TITLE_OCTETS = 200

/** One attempt. Its handle is there only if the server can change the message afterwards (`settlePublish`). */
export const sendPublish: Channel<PublishTarget> = async (target, message, tools) =>
  publish(target, publishBody(target.topic, message, await sequenceOf(message)), tools)

/** Puts what became of it in the message's place: without a sound, and without buttons. */
export const settlePublish = (
  target: PublishTarget,
  settled: Settled,
  tools: Tools,
): Promise<Outcome> => publish(target, settledBody(target.topic, settled), tools)

export const publishBody = (
  topic: string,
  message: PersonalMessage,
  sequence: string,
): PublishBody => ({
  topic,
  title: shortened(message.title, LONGEST_TITLE_OCTETS),
  message: shortened(message.text, LONGEST_MESSAGE_OCTETS),
  priority: priorityOf(message),
  click: message.answerUrl,
  actions: message.taps.slice(0, MOST_ACTIONS).map((tap) => actionOf(tap, message.answerUrl)),
  sequence_id: sequence,
})

export const settledBody = (topic: string, { handle, message, text }: Settled): PublishBody => ({
  topic,
  title: shortened(message.title, LONGEST_TITLE_OCTETS),
  message: shortened(text, LONGEST_MESSAGE_OCTETS),
  priority: 2,
  click: message.answerUrl,
  actions: [],
  sequence_id: handle,
})

/** A repeat is nearer to its deadline, and a release is at it from the start. */
function priorityOf({ urgent, kind, repeat }: PersonalMessage): 3 | 4 | 5 {
  if (!urgent) return 3
  return repeat > 0 || kind === 'release' ? 5 : 4
}

const actionOf = ({ label, does }: Tap, url: string): PublishAction => ({
  action: 'http',
  label,
  url,
  method: 'POST',
  headers: { 'content-type': 'application/json' },
  body: JSON.stringify({ do: does }),
  clear: true,
})

/**
 * The same for every attempt of one delivery, so that one which arrived twice is shown once, and another for a
 * nudge, which is to ring. A digest, as a delivery's id is longer than the 64 characters there may be.
 */
async function sequenceOf({ id }: PersonalMessage): Promise<string> {
  const digest = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(id))
  return toBase64url(new Uint8Array(digest).slice(0, 16))
}

async function publish(
  { server, token }: PublishTarget,
  body: PublishBody,
  { fetch, now }: Tools,
): Promise<Outcome> {
  const headers: Record<string, string> = { 'content-type': 'application/json' }
  if (token !== null) headers.authorization = `Bearer ${token}`
  // JSON goes to the server's root; posted to a topic, it would be taken for the text.
  const root = new URL('/', server).href
  const answer = await post(fetch, root, { headers, body: JSON.stringify(body) })
  if (!answer.ok) return answer.refusal
  const { status } = answer.value
  if (status >= 200 && status < 300) return accepted(await readJson(answer.value), body.sequence_id)
  discard(answer.value)
  return unaccepted(answer.value, now)
}

/** A server that knows of sequences repeats ours in its answer. */
const accepted = (answer: unknown, sequence: string): Outcome =>
  typeof answer === 'object' &&
  answer !== null &&
  'sequence_id' in answer &&
  answer.sequence_id === sequence
    ? { kind: 'accepted', handle: sequence }
    : { kind: 'accepted' }

function unaccepted(answer: Response, now: Instant): Outcome {
  const { status } = answer
  const note = `status ${status}`
  switch (status) {
    case 400:
    case 413:
      return { kind: 'refused', note }
    case 401:
    case 403:
      return {
        kind: 'refused',
        note: `${note}: the topic is not open to all, or not to this token`,
      }
    case 410:
      return { kind: 'gone', note }
    default:
      // 404, too: a topic comes to be when it is first used, so it cannot be missing. It is what a proxy in front of
      // a server answers while that is started again.
      return { kind: 'try-again', afterMs: waitAskedMs(answer, now), note }
  }
}
