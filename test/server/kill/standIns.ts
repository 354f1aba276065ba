// Stand-ins on this machine for all that messages go to: a webhook's receiver, a publish server, a chat platform and a
// push service, behind one port. They fail by seed, and keep a record of all that came.

import { once } from 'node:events'
import { type IncomingMessage, type Server, type ServerResponse, createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { type Fault, type Faulty, takes } from './faults.ts'
import {
  type ChannelName,
  type Request,
  type Said,
  Subscriber,
  readPublish,
  readTelegram,
  readWebhook,
} from './received.ts'

/** One message that came, and what the stand-in did with it. */
export type Arrival = Said & {
  readonly number: number
  readonly at: number
  readonly fault: Fault
  readonly taken: boolean
  /** Real ms; `null` where it never was. */
  answeredAt: number | null
}

export type Hooks = {
  /** It is taken, and not answered yet. Whether the server was killed by then. */
  received(arrival: Arrival): boolean
  answered(arrival: Arrival): void
}

const SETTINGS = { token: '110201543:stand-in', name: 'stand_in_bot', secret: 'chat-secret' }

export class StandIns {
  readonly arrivals: Arrival[] = []
  readonly subscribers = new Map<string, Subscriber>()
  readonly bot = SETTINGS
  readonly #server: Server
  readonly #hooks: Hooks
  readonly #faulty: (channel: ChannelName, address: string) => Faulty
  #messageId = 1000

  constructor(hooks: Hooks, faulty: (channel: ChannelName, address: string) => Faulty) {
    this.#hooks = hooks
    this.#faulty = faulty
    this.#server = createServer((request, response) => void this.#serve(request, response))
    // What is half answered when a server is killed is no trouble here.
    this.#server.on('clientError', (_, socket) => socket.destroy())
  }

  async open(): Promise<void> {
    this.#server.listen(0, '127.0.0.1')
    await once(this.#server, 'listening')
  }

  close(): void {
    this.#server.close()
    this.#server.closeAllConnections()
  }

  get origin(): string {
    return `http://127.0.0.1:${(this.#server.address() as AddressInfo).port}`
  }

  /** The lines of a file for `npm start -- --vars FILE`. */
  get vars(): string {
    const { token, name, secret } = this.bot
    const bot = [`TELEGRAM_TOKEN=${token}`, `TELEGRAM_BOT=${name}`, `TELEGRAM_SECRET=${secret}`]
    return [...bot, `TELEGRAM_API=${this.origin}`, ''].join('\n')
  }

  /** The address of a browser that subscribes now. */
  subscribe(path: string): {
    readonly endpoint: string
    readonly p256dh: string
    readonly auth: string
  } {
    const subscriber = new Subscriber()
    this.subscribers.set(path, subscriber)
    const { p256dh, auth } = subscriber
    return { endpoint: `${this.origin}${path}`, p256dh, auth }
  }

  async #serve(incoming: IncomingMessage, response: ServerResponse): Promise<void> {
    const chunks: Buffer[] = []
    try {
      for await (const chunk of incoming) chunks.push(chunk as Buffer)
    } catch {
      // Its sender was killed in the middle of it.
      return
    }
    const path = incoming.url ?? '/'
    const request = { path, headers: incoming.headers, body: Buffer.concat(chunks) }
    const said = this.#read(request)
    if (said === null) {
      response
        .writeHead(200, { 'content-type': 'application/json' })
        .end('{"ok":true,"result":true}')
      return
    }
    const faulty = this.#faulty(said.channel, said.address)
    const fault = faulty.next()
    const arrival: Arrival = {
      ...said,
      number: this.arrivals.length + 1,
      at: Date.now(),
      fault,
      taken: takes(fault),
      answeredAt: null,
    }
    this.arrivals.push(arrival)
    if (arrival.taken && this.#hooks.received(arrival)) return
    if (fault === 'slow') await new Promise((resolve) => setTimeout(resolve, faulty.slowMs()))
    const messageId = ++this.#messageId
    if (!answer(response, arrival, messageId)) return
    arrival.answeredAt = Date.now()
    if (arrival.taken) this.#hooks.answered(arrival)
  }

  #read(request: Request): Said | null {
    const { path } = request
    if (path === '/') return readPublish(request)
    if (path.startsWith('/hook/')) return readWebhook(request)
    if (path.startsWith('/bot')) return readTelegram(request)
    return this.subscribers.get(path)?.read(request) ?? null
  }
}

/** Whether there was an answer at all. */
function answer(
  response: ServerResponse,
  { fault, channel, ...said }: Arrival,
  id: number,
): boolean {
  switch (fault) {
    case 'hang-before':
    case 'hang-after':
      return false
    case 'reset-before':
    case 'reset-after':
      response.socket?.resetAndDestroy()
      return false
    case 'nonsense':
      response.socket?.end('220 ready\r\n\r\n')
      return false
    case 'error':
      response.writeHead(500).end(channel === 'telegram' ? telegramError(500) : '')
      return true
    case 'too-many':
      response.writeHead(429, { 'retry-after': '20' })
      response.end(channel === 'telegram' ? telegramError(429) : '')
      return true
    case 'garbage':
      response.writeHead(200).end('<html>\u0000\ufffd{"ok":')
      return true
    default:
      response.writeHead(channel === 'push' ? 201 : 200, { 'content-type': 'application/json' })
      response.end(bodyOf(channel, said, id))
      return true
  }
}

const telegramError = (error_code: number): string =>
  JSON.stringify({
    ok: false,
    error_code,
    description: error_code === 429 ? 'Too Many Requests: retry after 20' : 'Internal Server Error',
    ...(error_code === 429 ? { parameters: { retry_after: 20 } } : {}),
  })

function bodyOf(
  channel: ChannelName,
  { id, text, address }: Pick<Said, 'id' | 'text' | 'address'>,
  messageId: number,
): string {
  switch (channel) {
    case 'telegram':
      return JSON.stringify({
        ok: true,
        result: {
          message_id: messageId,
          date: 1,
          chat: { id: Number(address), type: 'private' },
          text,
        },
      })
    case 'publish':
      return JSON.stringify({ id: 'x', event: 'message', sequence_id: id })
    default:
      return ''
  }
}
