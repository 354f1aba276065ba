// What an update from the Telegram Bot API means, as data. Whose chat it is, and whether the update came before
// (`updateId`), is for the caller to know.

import * as z from 'zod'
import { asInstant } from '../plan/index.ts'
import type { Instant } from '../plan/index.ts'
import { readTap } from './telegramButtons.ts'
import type { TelegramTap } from './telegramButtons.ts'
import { saidToUs } from './telegramGroup.ts'
import { LONGEST_TEXT } from './telegramText.ts'

/** A chat's id has at most 52 significant bits and may be negative; as text it is never reckoned with. */
type Sender = {
  readonly chatId: string
  readonly group: boolean
  /** As the person calls themselves, without control characters, at most 64 characters. */
  readonly senderName: string | null
}

type Meaning =
  /** For the conversation; in a group only what is meant for us (telegramGroup.ts). After an outage it may be hours old. */
  | (Sender & { readonly kind: 'message'; readonly text: string; readonly sentAt: Instant })
  | (Sender & { readonly kind: 'tap'; readonly queryId: string } & TelegramTap)
  /** Somebody came by a link with a one-time code. */
  | (Sender & { readonly kind: 'start'; readonly code: string })
  /** The bot was blocked or put out of the group. */
  | { readonly kind: 'left'; readonly chatId: string }
  /** A group has another id from now on. */
  | { readonly kind: 'migrated'; readonly chatId: string; readonly toChatId: string }
  /** Nothing for us. */
  | { readonly kind: 'other' }

/** `updateId` rises with each update and is the same when one is sent again. */
export type TelegramUpdate = { readonly updateId: number } & Meaning

const LONGEST_NAME = 64

// The last second that a calendar can name (ECMA-262, time values).
const LAST_SECOND = 8.64e12

const Chat = z.object({ id: z.int(), type: z.string() })
const User = z.object({
  is_bot: z.boolean(),
  first_name: z.string(),
  username: z.string().optional(),
})
type User = z.infer<typeof User>

const Message = z.object({
  chat: Chat,
  date: z.int().nonnegative().max(LAST_SECOND),
  from: User.optional(),
  // There where a channel or the group itself speaks, not a person.
  sender_chat: z.unknown().optional(),
  text: z.string().max(LONGEST_TEXT).optional(),
  reply_to_message: z.object({ from: User.optional() }).optional().catch(undefined),
  migrate_to_chat_id: z.int().optional(),
  migrate_from_chat_id: z.int().optional(),
})

// The message may be an inaccessible one: it has its chat all the same.
const CallbackQuery = z.object({
  id: z.string().min(1),
  from: User,
  message: z.object({ chat: Chat }),
  data: z.string(),
})

const MyChatMember = z.object({ chat: Chat, new_chat_member: z.object({ status: z.string() }) })

const Update = z.object({
  update_id: z.int(),
  message: z.unknown().optional(),
  callback_query: z.unknown().optional(),
  my_chat_member: z.unknown().optional(),
})

const OTHER = { kind: 'other' } as const

/** Reads the webhook's body, whatever it is; `null` where it is no update. `botName`: ours, without `@`. */
export function readUpdate(json: unknown, botName: string): TelegramUpdate | null {
  const update = Update.safeParse(json).data
  if (update === undefined) return null
  const { message, callback_query, my_chat_member } = update
  const meaning =
    message !== undefined
      ? messageMeaning(message, botName)
      : callback_query !== undefined
        ? tapMeaning(callback_query)
        : memberMeaning(my_chat_member)
  return { updateId: update.update_id, ...meaning }
}

function messageMeaning(json: unknown, botName: string): Meaning {
  const message = Message.safeParse(json).data
  if (message === undefined) return OTHER
  const { chat, from, text, migrate_to_chat_id: to, migrate_from_chat_id: was } = message
  const chatId = String(chat.id)
  if (to !== undefined) return { kind: 'migrated', chatId, toChatId: String(to) }
  if (was !== undefined) return { kind: 'migrated', chatId: String(was), toChatId: chatId }

  const sender = message.sender_chat === undefined ? senderOf(chat, from) : null
  if (sender === null || text === undefined) return OTHER
  const repliedTo = message.reply_to_message?.from?.username
  const said = saidToUs(text, {
    group: sender.group,
    botName,
    repliesToUs: repliedTo?.toLowerCase() === botName.toLowerCase(),
  })
  if (said === null) return OTHER
  const code = /^\/start/i.test(text.trim())
    ? /^start\s+([\w-]{1,64})$/i.exec(said)?.[1]
    : undefined
  return code === undefined
    ? { kind: 'message', ...sender, text: said, sentAt: asInstant(message.date * 1000) }
    : { kind: 'start', ...sender, code }
}

function tapMeaning(json: unknown): Meaning {
  const query = CallbackQuery.safeParse(json).data
  if (query === undefined) return OTHER
  const sender = senderOf(query.message.chat, query.from)
  const tap = readTap(query.data)
  return sender === null || tap === null
    ? OTHER
    : { kind: 'tap', ...sender, queryId: query.id, ...tap }
}

function memberMeaning(json: unknown): Meaning {
  const member = MyChatMember.safeParse(json).data
  return member !== undefined && ['left', 'kicked'].includes(member.new_chat_member.status)
    ? { kind: 'left', chatId: String(member.chat.id) }
    : OTHER
}

// A person in a chat with one or with many; not a bot, not a channel.
function senderOf({ id, type }: z.infer<typeof Chat>, from: User | undefined): Sender | null {
  const group = type === 'group' || type === 'supergroup'
  if (from === undefined || from.is_bot || (!group && type !== 'private')) return null
  return { chatId: String(id), group, senderName: nameOf(from) }
}

// Marks of direction could turn the words around a name on a page.
function nameOf({ first_name }: User): string | null {
  const name = first_name.replace(/[\p{Cc}\u200E\u200F\u202A-\u202E\u2066-\u2069]/gu, '').trim()
  return name === '' ? null : [...name].slice(0, LONGEST_NAME).join('')
}
