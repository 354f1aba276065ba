// One call to the Telegram Bot API, and what its answer means. The token is part of the address, so it is kept
// out of every note and every error.

import * as z from 'zod'
import type { Outcome, Tools } from './channel.ts'
import { post, readJson, retryAfterMs } from './http.ts'

/** `api`: `https://api.telegram.org`, or a stand-in on a local run. `name`: the bot's user name, without `@`. */
export type TelegramBot = { readonly token: string; readonly api: string; readonly name: string }

export type TelegramTools = Tools & { readonly bot: TelegramBot }

// Only the operator can help: there is no use in asking more often.
const BAD_TOKEN_MS = 300_000

const LONGEST_NOTE = 200

// What the platform says where the wanted state is there already.
const HARMLESS = ['message is not modified', 'query is too old']

const Answer = z.object({
  ok: z.boolean(),
  result: z.object({ message_id: z.int() }).optional().catch(undefined),
  error_code: z.int().optional(),
  description: z.string().optional(),
  parameters: z
    .object({
      retry_after: z.int().nonnegative().optional().catch(undefined),
      migrate_to_chat_id: z.int().optional().catch(undefined),
    })
    .optional()
    .catch(undefined),
})
type Answer = z.infer<typeof Answer>

export const methodUrl = (bot: TelegramBot, method: string): string =>
  `${bot.api}/bot${bot.token}/${method}`

export const jsonPost = (body: object) => ({
  headers: { 'content-type': 'application/json' },
  body: JSON.stringify(body),
})

/** Makes one call. Accepted with the message's id as handle where the answer is a message. */
export async function callTelegram(
  method: string,
  body: object,
  { fetch, now, bot }: TelegramTools,
): Promise<Outcome> {
  const posted = await post(fetch, methodUrl(bot, method), jsonPost(body))
  if (!posted.ok) return posted.refusal
  const response = posted.value
  const answer = Answer.safeParse(await readJson(response)).data
  const waitMs = retryAfterMs(response.headers.get('retry-after'), now)
  if (answer === undefined || answer.ok !== response.ok) {
    const note = `status ${response.status} without a readable answer`
    // Accepted, perhaps; or lost behind a gateway (504, RFC 9110 §15.6.5).
    const doubtful = response.ok || response.status === 504
    return { kind: 'try-again', afterMs: waitMs, note, doubtful }
  }
  if (!answer.ok) return failure(answer, response.status, waitMs, bot)
  return answer.result === undefined
    ? { kind: 'accepted' }
    : { kind: 'accepted', handle: String(answer.result.message_id) }
}

function failure(
  { error_code, description = '', parameters }: Answer,
  status: number,
  waitMs: number | null,
  { token }: TelegramBot,
): Outcome {
  const code = error_code ?? status
  const says = (part: string) => description.includes(part)
  const note = `${code} ${description}`.replaceAll(token, '…').slice(0, LONGEST_NOTE)
  if (parameters?.migrate_to_chat_id !== undefined)
    return { kind: 'moved', chatId: String(parameters.migrate_to_chat_id), note }
  if (code === 429) {
    const seconds = parameters?.retry_after
    return { kind: 'try-again', afterMs: seconds === undefined ? waitMs : seconds * 1000, note }
  }
  if (HARMLESS.some(says)) return { kind: 'accepted' }
  if (code === 401 || code === 404) return { kind: 'try-again', afterMs: BAD_TOKEN_MS, note }
  // In the platform's own words alone: what is gone is not tried again.
  if ((code === 403 && says('Forbidden')) || says('chat not found')) return { kind: 'gone', note }
  if (code >= 400 && code < 500) return { kind: 'refused', note }
  return { kind: 'try-again', afterMs: waitMs, note }
}
