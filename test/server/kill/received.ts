// What reaches the stand-ins, read as the outside would: a webhook's call, a published message, a bot's call, a push.

// oxlint-disable-next-line typescript/triple-slash-reference -- the library brings no types
/// <reference path="../../delivery/http_ece.d.ts" />
import { type ECDH, createECDH, randomBytes } from 'node:crypto'
import ece from 'http_ece'
import * as z from 'zod'

export type ChannelName = 'webhook' | 'publish' | 'telegram' | 'push'

/** One message as it arrived. */
export type Said = {
  readonly channel: ChannelName
  /** Which of the stand-in's addresses it came to. */
  readonly address: string
  readonly purpose: 'ask' | 'settle'
  /** The same for every copy of one message, as far as the outside can tell. */
  readonly id: string
  /** The reminder that it is about; empty where the message does not say. */
  readonly key: string
  readonly kind: string
  readonly text: string
  /** Where a tap on it posts to; `null` where it is answered otherwise. */
  readonly answerUrl: string | null
}

export type Request = {
  readonly path: string
  readonly headers: Readonly<Record<string, string | string[] | undefined>>
  readonly body: Buffer
}

const MARKED = ' (You may have this already.)'

/** Whether a person is told that it may have come before. */
export const isMarked = ({ text }: Said): boolean => text.includes(MARKED)

const unmarked = (text: string): string => text.replace(MARKED, '')

const kindOf = (key: string): string => key.split('-')[0] ?? ''

const Webhook = z.object({
  data: z.object({ key: z.string(), kind: z.string(), text: z.string() }),
})

export function readWebhook({ path, headers, body }: Request): Said {
  const { key, kind, text } = Webhook.parse(JSON.parse(body.toString())).data
  return {
    channel: 'webhook',
    address: path,
    purpose: 'ask',
    answerUrl: null,
    id: String(headers['webhook-id']),
    key,
    kind,
    text,
  }
}

const Publish = z.object({
  topic: z.string(),
  message: z.string(),
  click: z.string(),
  priority: z.number(),
  sequence_id: z.string(),
})

export function readPublish({ body }: Request): Said {
  const { topic, message, click, priority, sequence_id } = Publish.parse(
    JSON.parse(body.toString()),
  )
  const key = new URL(click).pathname.split('/')[4] ?? ''
  return {
    channel: 'publish',
    address: topic,
    purpose: priority === 2 ? 'settle' : 'ask',
    id: sequence_id,
    key,
    kind: kindOf(key),
    text: message,
    answerUrl: click,
  }
}

const Buttons = z.object({
  inline_keyboard: z.array(z.array(z.object({ callback_data: z.string() }))),
})
const Telegram = z.object({
  chat_id: z.number(),
  text: z.string(),
  message_id: z.number().optional(),
  reply_markup: Buttons.optional(),
})

/** `null` for a call that is no message. A bot's call has no id: copies are known by their words. */
export function readTelegram({ path, body }: Request): Said | null {
  const method = path.split('/').at(-1)
  if (method !== 'sendMessage' && method !== 'editMessageText') return null
  const call = Telegram.parse(JSON.parse(body.toString()))
  const { chat_id, text, message_id, reply_markup } = call
  const data = reply_markup?.inline_keyboard[0]?.[0]?.callback_data ?? ''
  const key = data.split(':')[1] ?? ''
  return {
    channel: 'telegram',
    address: String(chat_id),
    purpose: method === 'sendMessage' ? 'ask' : 'settle',
    id: `${chat_id} ${message_id ?? 'new'} ${unmarked(text)}`,
    key,
    kind: kindOf(key),
    text,
    answerUrl: null,
  }
}

const Push = z.object({
  notification: z.object({
    body: z.string(),
    data: z.object({
      key: z.string(),
      kind: z.string(),
      answerUrl: z.string(),
      repeat: z.number(),
      settled: z.boolean(),
    }),
  }),
})

/** A browser that subscribed: it alone can read what comes. */
export class Subscriber {
  readonly #keys: ECDH = createECDH('prime256v1')
  readonly p256dh: string
  readonly auth = randomBytes(16).toString('base64url')

  constructor() {
    this.p256dh = this.#keys.generateKeys('base64url')
  }

  read({ path, body }: Request): Said {
    const opened = ece.decrypt(body, {
      version: 'aes128gcm',
      privateKey: this.#keys,
      authSecret: this.auth,
    })
    const { body: text, data } = Push.parse(JSON.parse(opened.toString())).notification
    const { key, kind, answerUrl, repeat, settled } = data
    return {
      channel: 'push',
      address: path,
      purpose: settled ? 'settle' : 'ask',
      id: `${path} ${key} ${repeat}`,
      key,
      kind,
      text,
      answerUrl,
    }
  }
}
