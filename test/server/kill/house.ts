// One household of the run, as its people have it: their key, their channels, and the calls they make. Calls come from
// outside alone: the API, the page's forms, the chat platform, the links in messages.

import {
  type Answered,
  type EventSeen,
  type Fact,
  eventIsThere,
  isAnswered,
  isClosed,
  readingIsThere,
} from './facts.ts'
import type { StandIns } from './standIns.ts'
import type { Left } from './storage.ts'

/** What is known of all calls. */
export type Known = {
  readonly facts: Fact[]
  readonly answers: Answered[]
  /** When a household was last called, real ms. */
  readonly visits: { readonly household: string; readonly at: number }[]
  /** Refusals and answers that should not be. */
  readonly oddities: string[]
}

export type CallHooks = { sent(): void; confirmed(): void }

type Call = {
  readonly method: 'GET' | 'POST' | 'PATCH' | 'DELETE'
  readonly path: string
  readonly headers?: Readonly<Record<string, string>>
  readonly body?: string
}

export type Reply = { readonly status: number; readonly text: string; readonly location: string }

const JSON_TYPE = { 'content-type': 'application/json' }

/** Makes calls, and tells of each that it was sent. `null`: no answer came. */
export class Caller {
  readonly #url: string
  readonly #hooks: CallHooks

  constructor(url: string, hooks: CallHooks) {
    this.#url = url
    this.#hooks = hooks
  }

  async call({ method, path, headers = {}, body }: Call): Promise<Reply | null> {
    try {
      const answering = fetch(new URL(path, this.#url), {
        method,
        headers: { ...headers, connection: 'close' },
        redirect: 'manual',
        signal: AbortSignal.timeout(10_000),
        ...(body === undefined ? {} : { body }),
      })
      this.#hooks.sent()
      const answer = await answering
      const text = await answer.text()
      return { status: answer.status, text, location: answer.headers.get('location') ?? '' }
    } catch {
      return null
    }
  }

  confirmed(): void {
    this.#hooks.confirmed()
  }
}

/** How a call ended: taken, refused for good, or to be tried again. */
export type Ending =
  | { readonly kind: 'taken'; readonly json: unknown }
  | { readonly kind: 'refused' }
  | { readonly kind: 'again' }

export type Ways = {
  readonly webhook: boolean
  readonly chatId: number | null
  readonly topic: string | null
  readonly push: readonly string[]
}

export class House {
  readonly name: string
  readonly ways: Ways
  id = ''
  #token = ''
  readonly #caller: Caller
  readonly #known: Known
  readonly #standIns: StandIns

  constructor(name: string, ways: Ways, caller: Caller, known: Known, standIns: StandIns) {
    this.name = name
    this.ways = ways
    this.#caller = caller
    this.#known = known
    this.#standIns = standIns
  }

  /** Sets itself up, with all its channels; throws when that is not taken. */
  async settle(): Promise<void> {
    const { webhook, chatId, topic, push } = this.ways
    const made = await this.#caller.call({
      method: 'POST',
      path: '/api/households',
      headers: JSON_TYPE,
      body: JSON.stringify({
        name: this.name,
        timeZone: 'America/Halifax',
        battery: { capacityKwh: 9.6, maxDischargeKw: 3.6 },
        load: { kw: 0.8 },
        ...(webhook ? { webhook: { url: `${this.#standIns.origin}/hook/${this.name}` } } : {}),
      }),
    })
    const { id, token } = must(made, 201) as { id: string; token: string }
    this.id = id
    this.#token = token
    if (topic !== null)
      await this.#add('publish', { server: this.#standIns.origin, topic, token: '' })
    for (const path of push) await this.#add('push', this.#standIns.subscribe(path))
    if (chatId !== null) await this.#linkChat(chatId)
  }

  async #add(kind: string, fields: Record<string, string>): Promise<void> {
    const person = kind === 'push' ? 'Ben' : 'Ada'
    const added = await this.#form(`/channels/${kind}`, { other: person, label: kind, ...fields })
    const channel = /said=added&about=(c\d+)/.exec(added?.location ?? '')?.[1]
    if (channel === undefined)
      throw new Error(`Cannot add ${kind}: ${added?.status} ${added?.location} ${added?.text}`)
    this.#fact(`channel ${channel}`, ({ channels }) => channels.some(({ id }) => id === channel))
  }

  async #linkChat(chatId: number): Promise<void> {
    const page = await this.#form('/channels/telegram', { other: 'Ada' })
    const code = /\?start=([\w-]+)/.exec(page?.text ?? '')?.[1]
    if (code === undefined) throw new Error(`Cannot link a chat: ${page?.status} ${page?.text}`)
    must(await this.#update({ message: { ...this.#written(chatId), text: `/start ${code}` } }), 200)
    this.#fact(`chat ${chatId}`, ({ channels }) =>
      channels.some(({ target }) => target.kind === 'telegram' && target.chatId === String(chatId)),
    )
  }

  #form(path: string, fields: Record<string, string>): Promise<Reply | null> {
    const headers = {
      'content-type': 'application/x-www-form-urlencoded',
      'sec-fetch-site': 'same-origin',
      cookie: `holdbell-key=${this.#token}; holdbell-form=shown`,
    }
    const body = new URLSearchParams({ person: '', ...fields, csrf: 'shown' }).toString()
    return this.#caller.call({ method: 'POST', path, headers, body })
  }

  #api(method: Call['method'], path: string, body?: object): Promise<Reply | null> {
    const headers = { authorization: `Bearer ${this.#token}`, ...JSON_TYPE }
    return this.#caller.call({
      method,
      path,
      headers,
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    })
  }

  /** All that the API tells; `null` when there was no answer. Not a visit that is part of the day. */
  async told(): Promise<{
    readonly readings: readonly { readonly at: string }[]
    readonly reminders: readonly { readonly key: string; readonly state: string }[]
  } | null> {
    const reply = await this.#api('GET', '/api/household')
    return reply?.status === 200 ? JSON.parse(reply.text) : null
  }

  read(socPct: number): Promise<Ending> {
    const reading = () => this.#fact(`reading ${socPct}`, readingIsThere(socPct))
    return this.#ended(this.#api('POST', '/api/readings', { socPct }), reading)
  }

  announce(start: number, end: number): Promise<Ending> {
    const times = { start: iso(start), end: iso(end) }
    return this.#ended(this.#api('POST', '/api/events', times), (json) => this.#seen(json))
  }

  move(eventId: string, start: number, end: number): Promise<Ending> {
    const times = { start: iso(start), end: iso(end) }
    return this.#ended(this.#api('PATCH', `/api/events/${eventId}`, times), (json) =>
      this.#seen(json),
    )
  }

  cancel(eventId: string): Promise<Ending> {
    return this.#ended(this.#api('DELETE', `/api/events/${eventId}`), (json) => this.#seen(json))
  }

  acknowledge(key: string): Promise<Ending> {
    const path = `/api/reminders/${key}/acknowledge`
    return this.#ended(this.#api('POST', path, { by: 'Ada' }), () =>
      this.#answered(key, isAnswered(key)),
    )
  }

  /** A tap on a notification or a published message. */
  tapLink(url: string, key: string): Promise<Ending> {
    const call = { method: 'POST', path: url, headers: JSON_TYPE, body: '{"do":"done"}' } as const
    return this.#ended(this.#caller.call(call), () => this.#answered(key, isClosed(key)))
  }

  readByLink(url: string, socPct: number): Promise<Ending> {
    const body = JSON.stringify({ do: 'reading', socPct })
    const call = { method: 'POST', path: url, headers: JSON_TYPE, body } as const
    return this.#ended(this.#caller.call(call), () =>
      this.#fact(`reading ${socPct}`, readingIsThere(socPct)),
    )
  }

  /** A tap in the chat: the same update when it is brought again. */
  tapInChat(key: string, updateId: number): Promise<Ending> {
    const chatId = this.ways.chatId ?? 0
    const tap = {
      id: `q${updateId}`,
      from: ADA,
      message: { chat: { id: chatId, type: 'private' } },
      data: `done:${key}`,
    }
    return this.#ended(this.#update({ callback_query: tap }, updateId), () =>
      this.#answered(key, isClosed(key)),
    )
  }

  writeInChat(text: string, updateId: number): Promise<Ending> {
    const message = { ...this.#written(this.ways.chatId ?? 0), text }
    return this.#ended(this.#update({ message }, updateId), () => {})
  }

  #written(chatId: number) {
    return {
      message_id: nextUpdate(),
      date: Math.floor(Date.now() / 1000),
      chat: { id: chatId, type: 'private' },
      from: ADA,
    }
  }

  #update(what: object, updateId = nextUpdate()): Promise<Reply | null> {
    return this.#caller.call({
      method: 'POST',
      path: '/telegram',
      headers: { ...JSON_TYPE, 'x-telegram-bot-api-secret-token': this.#standIns.bot.secret },
      body: JSON.stringify({ update_id: updateId, ...what }),
    })
  }

  async #ended(
    calling: Promise<Reply | null>,
    confirmed: (json: unknown) => void,
  ): Promise<Ending> {
    this.#known.visits.push({ household: this.id, at: Date.now() })
    const reply = await calling
    if (reply === null) return { kind: 'again' }
    if (reply.status >= 500) {
      this.#known.oddities.push(`${this.name}: status ${reply.status}: ${reply.text.slice(0, 200)}`)
      return { kind: 'again' }
    }
    if (reply.status >= 300) return { kind: 'refused' }
    const json: unknown = reply.text === '' ? null : JSON.parse(reply.text)
    confirmed(json)
    this.#caller.confirmed()
    return { kind: 'taken', json }
  }

  #seen(json: unknown): void {
    const event = json as EventSeen
    this.#fact(`event ${event.id} ${event.start} ${event.state}`, eventIsThere(event))
  }

  #answered(key: string, isThere: Fact['isThere']): void {
    this.#fact(`answer to ${key}`, isThere)
    this.#known.answers.push({ household: this.id, key, at: Date.now() })
  }

  #fact(what: string, isThere: (left: Left) => boolean): void {
    this.#known.facts.push({ household: this.id, what, at: Date.now(), isThere })
  }
}

const ADA = { id: 7, is_bot: false, first_name: 'Ada' }

let updates = 5000
export const nextUpdate = (): number => ++updates

const iso = (at: number): string => new Date(at).toISOString()

function must(reply: Reply | null, status: number): unknown {
  if (reply?.status !== status)
    throw new Error(
      `Cannot set up as the answer must be ${status}: current value is ${reply?.status} ${reply?.text}`,
    )
  return reply.text === '' ? null : JSON.parse(reply.text)
}
