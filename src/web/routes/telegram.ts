// Where the chat's platform brings what is written and tapped in chats with the bot. Who calls is proved by the secret that
// the platform was given; whose chat it is, the address's own object knows. The answer goes back in the answer.

import { Hono } from 'hono'
import { bodyLimit } from 'hono/body-limit'
import { realNow } from '../../clock.ts'
import {
  SECRET_HEADER,
  type TelegramBot,
  type TelegramUpdate,
  answerTap,
  fitsSecret,
  readUpdate,
  replyInAnswer,
} from '../../delivery/index.ts'
import { botIn } from '../../env.ts'
import { MINUTE_MS, asInstant } from '../../plan/index.ts'
import { answerPageWords, channelWords, format } from '../../words/index.ts'
import { type Heard, repliesText } from '../heard.ts'
import type { Households } from '../households.ts'
import type { Place } from '../place.ts'

/** An update is a few KiB; its text is at most 4096 characters. */
const MAX_UPDATE_BYTES = 64 * 1024

/** A figure is of when it was written (`ageMs`); after so long a message as a whole may be: "tomorrow" was another day. */
const STALE_MS = 360 * MINUTE_MS

type Update<Kind extends TelegramUpdate['kind']> = Extract<TelegramUpdate, { kind: Kind }>

export function telegramRoutes({ env, households }: Place): Hono {
  const bot = botIn(env)
  return new Hono()
    .use('/telegram', async (c, next) => {
      if (bot === null) return c.notFound()
      const given = c.req.header(SECRET_HEADER) ?? null
      if (!(await fitsSecret(given, env.TELEGRAM_SECRET ?? ''))) return c.body(null, 403)
      return next()
    })
    .use('/telegram', bodyLimit({ maxSize: MAX_UPDATE_BYTES, onError: (c) => c.body(null, 413) }))
    .post('/telegram', async (c) => {
      if (bot === null) return c.notFound()
      const update = readUpdate(await c.req.json().catch(() => null), bot.name)
      // What throws below answers 500, and the platform brings it again.
      const answer = update === null ? null : await answerTo(update, households)
      if (update?.kind === 'tap' && answer?.method !== TAP_ANSWERED)
        c.executionCtx.waitUntil(endWaiting(update, bot))
      return answer === null ? c.body(null, 200) : c.json(answer)
    })
}

const TAP_ANSWERED = 'answerCallbackQuery'

const endWaiting = ({ queryId }: Update<'tap'>, bot: TelegramBot) =>
  answerTap(queryId, '', { fetch, now: asInstant(realNow()), bot })

type Answer = { readonly method: string } | null

async function answerTo(update: TelegramUpdate, households: Households): Promise<Answer> {
  switch (update.kind) {
    case 'other':
      return null
    case 'start':
      return linked(update, households)
    case 'message':
      return said(update, households)
    case 'tap':
      return tapped(update, households)
    case 'left':
      await (await householdOf(update, households))?.chatLeft(update.chatId)
      return null
    case 'migrated':
      await (await householdOf(update, households))?.chatMoved(update.chatId, update.toChatId)
      return null
  }
}

async function householdOf({ chatId }: { readonly chatId: string }, households: Households) {
  const id = await households.ledFrom('telegram', chatId)
  return id === null ? null : households.outside(id)
}

/** The code is the household's id and its one-time secret. */
async function linked(
  { chatId, group, senderName, code }: Update<'start'>,
  households: Households,
) {
  const [, id = '', secret = ''] = /^([\w-]{16})([\w-]{22})$/.exec(code) ?? []
  const found = await households.outside(id)?.linkChat(secret, { chatId, group }, senderName)
  const text =
    found?.kind === 'linked'
      ? channelWords.linked(found.household)
      : found?.kind === 'taken'
        ? channelWords.linkTaken
        : channelWords.linkExpired
  return replyInAnswer(chatId, text, [])
}

async function said(update: Update<'message'>, households: Households): Promise<Answer> {
  const { chatId, group, text, sentAt } = update
  const household = await householdOf(update, households)
  // A group talks about other things; nobody asked us there.
  const stranger = group ? null : replyInAnswer(chatId, channelWords.notLinked, [])
  if (household === null) return stranger
  const age = Math.max(0, realNow() - sentAt)
  if (age > STALE_MS) {
    const ago = format('en', 'UTC').duration(age / (60 * MINUTE_MS))
    return replyInAnswer(chatId, answerPageWords.cameLate(ago), [])
  }
  const heard: Heard = await household.hear({ ...saidBy(update), ageMs: age, kind: 'text', text })
  if (heard.kind === 'not-ours') return stranger
  return heard.kind === 'again' ? null : reply(chatId, heard)
}

async function tapped(update: Update<'tap'>, households: Households): Promise<Answer> {
  const { chatId, queryId } = update
  const notice = (text: string) => ({
    method: TAP_ANSWERED,
    callback_query_id: queryId,
    text: text.slice(0, LONGEST_NOTICE),
  })
  const household = await householdOf(update, households)
  if (household === null) return notice(channelWords.notLinked)
  const heard: Heard = await household.hear(
    update.does === 'say'
      ? { ...saidBy(update), kind: 'text', text: update.text }
      : { ...saidBy(update), kind: 'tap', key: update.key, does: update.does },
  )
  if (heard.kind === 'not-ours') return notice(channelWords.notLinked)
  if (heard.kind === 'again') return notice('')
  // An answer to a question may be long, and is part of the conversation; a reminder's buttons end in a short word.
  return update.does === 'say'
    ? reply(chatId, heard)
    : notice(repliesText(heard.performed, update.key))
}

/** `answerCallbackQuery`: 0 to 200 characters. */
const LONGEST_NOTICE = 200

const saidBy = ({ updateId, chatId, senderName }: Update<'message'> | Update<'tap'>) =>
  ({ messageId: `t${updateId}`, by: senderName, from: 'telegram', address: chatId }) as const

/** All that we say to one message as one, with the buttons of the last. */
function reply(chatId: string, { performed }: Extract<Heard, { kind: 'answered' }>): Answer {
  const text = repliesText(performed)
  return text === '' ? null : replyInAnswer(chatId, text, performed.replies.at(-1)?.buttons ?? [])
}
