// What a push says, as JSON in the declarative form of the Push API: a browser that knows the form shows it
// without any script of ours; in others our service worker reads the same members. Sealed before it leaves.

import type { Instant } from '../plan/index.ts'
import type { OutgoingMessage, PersonalMessage, Settled, Tap } from './channel.ts'

export type PushBody = {
  /** Marks the declarative form (the number of the RFC). */
  readonly web_push: 8030
  readonly notification: PushNotification
}

/** Named as the options of `showNotification`, which takes all of them but `title` and `navigate`. */
export type PushNotification = {
  readonly title: string
  readonly body: string
  /** Opened by a tap on the notification itself: the page that answers it. */
  readonly navigate: string
  readonly lang: 'en'
  /** A notification replaces the one with the same tag. The push's `Topic` is the same. */
  readonly tag: string
  /** Rings again although it replaces another one: a nudge, or a hold that changed. */
  readonly renotify: boolean
  readonly silent: boolean
  /** Stays until somebody does something about it: what is urgent. */
  readonly requireInteraction: boolean
  readonly actions: readonly PushAction[]
  readonly data: PushData
}

/** A button. A service worker posts `{ "do": action }` to `data.answerUrl`; without one, `navigate` is opened. */
export type PushAction = {
  readonly action: Tap['does']
  readonly title: string
  readonly navigate: string
}

/** For the service worker alone. */
export type PushData = {
  readonly key: string
  readonly kind: OutgoingMessage['kind']
  /** Takes a tap by POST; by GET it is a page. */
  readonly answerUrl: string
  /** The household's page. */
  readonly page: string
  /** Epoch milliseconds; after it the answer helps nobody any more. */
  readonly uselessAfter: Instant
  /** 0 the first time, then one more with each nudge. */
  readonly repeat: number
  /** Nothing is asked any more: the text says who answered, or that it is over. */
  readonly settled: boolean
}

// A push service has to take 4096 octets, sealed (RFC 8291 §4); this leaves room for the next member.
export const LONGEST_BODY_OCTETS = 3000

/** The request as UTF-8, at most 3000 octets: a text that is too long for it ends at a word, with `…`. */
export const pushBody = (message: PersonalMessage, tag: string): Uint8Array =>
  withinLimit(message.text, (body) => ({
    ...common(message, body, tag),
    renotify: true,
    silent: false,
    requireInteraction: message.urgent,
    actions: message.taps.map(({ does, label }) => ({
      action: does,
      title: label,
      navigate: message.answerUrl,
    })),
    data: { ...dataOf(message), settled: false },
  }))

/** What takes the request's place once it is over: no sound, no buttons. */
export const settledBody = ({ message, text }: Settled, tag: string): Uint8Array =>
  withinLimit(text, (body) => ({
    ...common(message, body, tag),
    renotify: false,
    silent: true,
    requireInteraction: false,
    actions: [],
    data: { ...dataOf(message), settled: true },
  }))

const common = ({ title, answerUrl }: PersonalMessage, body: string, tag: string) =>
  ({ title, body, navigate: answerUrl, lang: 'en', tag }) as const

const dataOf = ({ key, kind, answerUrl, page, uselessAfter, repeat }: PersonalMessage) => ({
  key,
  kind,
  answerUrl,
  page,
  uselessAfter,
  repeat,
})

function withinLimit(text: string, saying: (body: string) => PushNotification): Uint8Array {
  const encoded = (body: string) => json({ web_push: 8030, notification: saying(body) })
  const whole = encoded(text)
  if (whole.length <= LONGEST_BODY_OCTETS) return whole
  return encoded(`${shortened(text, LONGEST_BODY_OCTETS - encoded('…').length)}…`)
}

/** The words that fit into so many octets of JSON; of a first word that does not fit, its characters. */
function shortened(text: string, octets: number): string {
  const words = startOf(text.split(/(?<=\s)/u), octets).trimEnd()
  return words === '' ? startOf(charactersOf(text), octets) : words
}

function startOf(parts: readonly string[], octets: number): string {
  let left = octets
  // The quotes around a text are counted with the rest of the JSON.
  const end = parts.findIndex((part) => (left -= json(part).length - 2) < 0)
  return parts.slice(0, end === -1 ? parts.length : end).join('')
}

/** As a person counts them: an accent or an emoji of several code points stays whole. */
const charactersOf = (text: string) =>
  Array.from(new Intl.Segmenter('en').segment(text), ({ segment }) => segment)

const json = (value: PushBody | string) => new TextEncoder().encode(JSON.stringify(value))
