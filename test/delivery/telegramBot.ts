// A stand-in for the platform: answers as it is told, and keeps what it was asked.

import { asInstant } from '../../src/plan/index.ts'
import type { PersonalMessage, TelegramBot, TelegramTools } from '../../src/delivery/index.ts'

export const bot: TelegramBot = {
  // The form of a token; an invented one.
  token: '123456:AAinvented-token_for-tests',
  api: 'https://api.telegram.org',
  name: 'OurTestBot',
}

export const now = asInstant(Date.parse('2027-01-14T20:13:00Z'))

export const message: PersonalMessage = {
  id: 'dlv_7',
  at: now,
  key: 'release-e12-3',
  kind: 'release',
  eventId: 'e12',
  text: 'Let it run now.',
  dueAt: now,
  uselessAfter: asInstant(now + 600_000),
  repeat: 0,
  page: 'https://holdbell.example/',
  title: 'Terrace, Halifax',
  taps: [
    { label: 'Done', does: 'done' },
    { label: 'In 10 minutes', does: 'later' },
  ],
  answerUrl: 'https://holdbell.example/a/1',
  urgent: true,
}

type Call = { readonly url: string; readonly init: RequestInit; readonly body: Asked }
export type Asked = {
  readonly chat_id: unknown
  readonly text: string
  readonly reply_markup?: { inline_keyboard: { text: string; callback_data: string }[][] }
} & Record<string, unknown>

/** The tools of an attempt whose call is answered so, and the calls that were made. */
export function platform(answer: () => Response | Promise<Response>) {
  const calls: Call[] = []
  const fetch = (async (url: string, init: RequestInit) => {
    calls.push({ url, init, body: JSON.parse(String(init.body)) as Asked })
    return answer()
  }) as unknown as typeof globalThis.fetch
  const tools: TelegramTools = { fetch, now, bot }
  return { calls, tools }
}

/** An answer that takes what was sent: the message with its id. */
export const taken = () =>
  Response.json({
    ok: true,
    result: { message_id: 4711, date: 1, chat: { id: 5, type: 'private' } },
  })

/** An error in the platform's form (vectors: "Errors"). */
export const failed = (
  error_code: number,
  description: string,
  parameters?: object,
  headers: Record<string, string> = {},
) =>
  Response.json(
    { ok: false, error_code, description, ...(parameters === undefined ? {} : { parameters }) },
    { status: error_code, headers },
  )
