// One household of the run as its people have it: the calls that they make on a day, and what was confirmed to them.

import { type Call, type Caller, JSON_TYPE, type Reply } from './caller.ts'
import { bring, tapped, written } from './chat.ts'
import {
  type EventSeen,
  type Fact,
  type Known,
  eventIsThere,
  isAnswered,
  isClosed,
  readingIsThere,
} from './facts.ts'

/** By which channels it is told. Paths and topics are the stand-ins'. */
export type Ways = {
  readonly webhook: boolean
  readonly chatId: number | null
  readonly topic: string | null
  readonly push: readonly string[]
}

export type Identity = {
  readonly name: string
  readonly id: string
  readonly token: string
  readonly ways: Ways
}

/** How a call ended: taken, refused for good, or to be tried again. */
export type Ending =
  | { readonly kind: 'taken'; readonly json: unknown }
  | { readonly kind: 'refused' }
  | { readonly kind: 'again' }

/** What the API tells of a household, as far as it is looked at. */
export type ToldAll = {
  readonly readings: readonly { readonly at: string }[]
  readonly reminders: readonly { readonly key: string; readonly state: string }[]
}

export class House {
  readonly name: string
  readonly id: string
  readonly #identity: Identity
  readonly #caller: Caller
  readonly #known: Known
  readonly #chatSecret: string

  constructor(identity: Identity, caller: Caller, known: Known, chatSecret: string) {
    this.name = identity.name
    this.id = identity.id
    this.#identity = identity
    this.#caller = caller
    this.#known = known
    this.#chatSecret = chatSecret
  }

  /** Where its people themselves are told, as the stand-ins know it. */
  get peoplesAddresses(): readonly string[] {
    const { chatId, topic, push } = this.#identity.ways
    const chat = chatId === null ? [] : [String(chatId)]
    return [...chat, ...(topic === null ? [] : [topic]), ...push]
  }

  get addresses(): readonly string[] {
    return [`/hook/${this.name}`, ...this.peoplesAddresses]
  }

  /** All that the API tells; `null` when there was no answer. */
  async told(): Promise<ToldAll | null> {
    const reply = await this.#api('GET', '/api/household')
    return reply?.status === 200 ? (JSON.parse(reply.text) as ToldAll) : null
  }

  read(socPct: number): Promise<Ending> {
    return this.#ended(this.#api('POST', '/api/readings', { socPct }), () => this.#told(socPct))
  }

  announce(start: number, end: number): Promise<Ending> {
    const times = { start: iso(start), end: iso(end) }
    return this.#ended(this.#api('POST', '/api/events', times), (json) => this.#seen(json))
  }

  move(eventId: string, start: number, end: number): Promise<Ending> {
    const times = { start: iso(start), end: iso(end) }
    const path = `/api/events/${eventId}`
    return this.#ended(this.#api('PATCH', path, times), (json) => this.#seen(json))
  }

  cancel(eventId: string): Promise<Ending> {
    const path = `/api/events/${eventId}`
    return this.#ended(this.#api('DELETE', path), (json) => this.#seen(json))
  }

  acknowledge(key: string): Promise<Ending> {
    const path = `/api/reminders/${key}/acknowledge`
    const calling = this.#api('POST', path, { by: 'Ada' })
    return this.#ended(calling, () => this.#answered(key, isAnswered(key)))
  }

  /** A tap on a notification or a published message. */
  tapLink(url: string, key: string): Promise<Ending> {
    return this.#ended(this.#link(url, { do: 'done' }), () => this.#answered(key, isClosed(key)))
  }

  readByLink(url: string, socPct: number): Promise<Ending> {
    return this.#ended(this.#link(url, { do: 'reading', socPct }), () => this.#told(socPct))
  }

  /** A tap in the chat: the same update when it is brought again. */
  tapInChat(key: string, updateId: number): Promise<Ending> {
    const update = tapped(this.#identity.ways.chatId ?? 0, `done:${key}`)
    const calling = bring(this.#caller, this.#chatSecret, update, updateId)
    return this.#ended(calling, () => this.#answered(key, isClosed(key)))
  }

  writeInChat(text: string, updateId: number): Promise<Ending> {
    const update = written(this.#identity.ways.chatId ?? 0, text)
    return this.#ended(bring(this.#caller, this.#chatSecret, update, updateId), () => {})
  }

  #api(method: Call['method'], path: string, body?: object): Promise<Reply | null> {
    const headers = { authorization: `Bearer ${this.#identity.token}`, ...JSON_TYPE }
    const call = { method, path, headers }
    return this.#caller.call(body === undefined ? call : { ...call, body: JSON.stringify(body) })
  }

  #link(url: string, act: object): Promise<Reply | null> {
    const body = JSON.stringify(act)
    return this.#caller.call({ method: 'POST', path: url, headers: JSON_TYPE, body })
  }

  async #ended(
    calling: Promise<Reply | null>,
    confirmed: (json: unknown) => void,
  ): Promise<Ending> {
    this.#known.visits.push({ household: this.id, at: Date.now() })
    const reply = await calling
    if (reply === null) return { kind: 'again' }
    const { status, text } = reply
    if (status >= 500) {
      this.#known.oddities.push(`${this.name}: status ${status}: ${text.slice(0, 200)}`)
      return { kind: 'again' }
    }
    if (status >= 300) return { kind: 'refused' }
    const json: unknown = text === '' ? null : JSON.parse(text)
    confirmed(json)
    this.#caller.confirmed()
    return { kind: 'taken', json }
  }

  #seen(json: unknown): void {
    const event = json as EventSeen
    this.#fact(`event ${event.id} ${event.start} ${event.state}`, eventIsThere(event))
  }

  #told(socPct: number): void {
    this.#fact(`reading ${socPct}`, readingIsThere(socPct))
  }

  #answered(key: string, isThere: Fact['isThere']): void {
    this.#fact(`answer to ${key}`, isThere)
    this.#known.answers.push({ household: this.id, key, at: Date.now() })
  }

  #fact(what: string, isThere: Fact['isThere']): void {
    this.#known.facts.push({ household: this.id, what, at: Date.now(), isThere })
  }
}

const iso = (at: number): string => new Date(at).toISOString()
