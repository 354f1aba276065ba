// Shapes, limits and error texts: the Telegram Bot API's reference, version 10.1 of 2026-06-11, and its published
// server source; named "reference" and "server source" below.

import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { answerTap, replyInAnswer, sendTelegram, settleTelegram } from '../../src/delivery/index.ts'
import type { Outcome } from '../../src/delivery/index.ts'
import { bot, failed, message, platform, taken } from './telegramBot.ts'

const target = { kind: 'telegram', chatId: '-1001234567890', group: true } as const

async function sent(changes: Partial<typeof message> = {}) {
  const { calls, tools } = platform(taken)
  const outcome = await sendTelegram(target, { ...message, ...changes }, tools)
  return { outcome, ...calls[0]! }
}

const outcomeWhen = (answer: () => Response | Promise<Response>): Promise<Outcome> =>
  sendTelegram(target, message, platform(answer).tools)

describe('a reminder', () => {
  test('is one sendMessage with the shape of the reference', async () => {
    const { url, init, body } = await sent()
    expect(url).toBe(`https://api.telegram.org/bot${bot.token}/sendMessage`)
    expect(init).toMatchObject({ method: 'POST', redirect: 'manual' })
    expect(new Headers(init.headers).get('content-type')).toBe('application/json')
    expect(body).toEqual({
      chat_id: -1001234567890,
      text: 'Terrace, Halifax\nLet it run now.',
      link_preview_options: { is_disabled: true },
      reply_markup: {
        inline_keyboard: [
          [
            { text: 'Done', callback_data: 'done:release-e12-3' },
            { text: 'In 10 minutes', callback_data: 'later:release-e12-3' },
          ],
        ],
      },
    })
  })

  test('is called by the id that the answer gave it', async () => {
    expect((await sent()).outcome).toEqual({ kind: 'accepted', handle: '4711' })
  })

  // Without `parse_mode` the platform takes text as it is (reference: sendMessage).
  test.each(['<b>*_x', '&amp; `code` [a](b)', '\\_\\*', '<a href="x">'])(
    'of a household called %s arrives as written',
    async (title) => {
      const { body } = await sent({ title })
      expect(body.text).toBe(`${title}\nLet it run now.`)
      expect(body).not.toHaveProperty('parse_mode')
      expect(body).not.toHaveProperty('entities')
    },
  )

  test('has the title as one line, and none where there is no title', async () => {
    expect((await sent({ title: ' Two\n lines ' })).body.text).toBe('Two lines\nLet it run now.')
    expect((await sent({ title: ' ' })).body.text).toBe('Let it run now.')
  })

  test('rings whatever it asks for', async () => {
    expect((await sent({ urgent: false })).body).not.toHaveProperty('disable_notification')
  })

  test('without taps has no buttons', async () => {
    expect((await sent({ taps: [] })).body).not.toHaveProperty('reply_markup')
  })

  // Reference: text has 1 to 4096 characters after entity parsing.
  test('fits the limit of 4096, cut after a whole word', async () => {
    const { body } = await sent({ title: '', text: 'wordy '.repeat(1000) })
    expect(body.text.length).toBeLessThanOrEqual(4096)
    expect(body.text.length).toBeGreaterThan(4085)
    expect(body.text).toMatch(/ wordy…$/)
    expect((await sent({ title: '', text: 'x'.repeat(4096) })).body.text).toBe('x'.repeat(4096))
    expect((await sent({ title: '', text: 'x'.repeat(4097) })).body.text).toBe(
      'x'.repeat(4095) + '…',
    )
  })

  test('of any text has 1 to 4096 characters and no half character', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.string({ unit: 'binary', maxLength: 20 }),
        fc.string({ unit: 'binary', minLength: 4000, maxLength: 4300, size: 'max' }),
        async (title, text) => {
          const { body } = await sent({ title, text })
          expect(body.text.length).toBeGreaterThan(0)
          expect(body.text.length).toBeLessThanOrEqual(4096)
          // Half a character does not survive UTF-8.
          expect(Buffer.from(body.text).toString()).toBe(body.text)
          expect(`${title.replace(/\s+/g, ' ').trim()}\n${text}`).toContain(
            body.text.replace(/…$/, ''),
          )
        },
      ),
      // Texts so long shrink for minutes.
      { numRuns: 60, endOnFailure: true },
    )
  })

  // Reference: callback_data has 1 to 64 bytes.
  test('whose key no button can carry is a bug', async () => {
    const longest = 'k'.repeat(64 - 'later:'.length)
    const { body } = await sent({ key: longest })
    expect(body.reply_markup?.inline_keyboard[0]?.[1]?.callback_data).toHaveLength(64)
    await expect(sent({ key: `${longest}k` })).rejects.toThrow(RangeError)
    // 29 characters of two bytes and `later:` are 64 bytes, 30 are 66.
    await expect(sent({ key: 'é'.repeat(29) })).resolves.toBeDefined()
    await expect(sent({ key: 'é'.repeat(30) })).rejects.toThrow(RangeError)
  })
})

describe('how an attempt ended', () => {
  // Server source; the number is an example.
  test('429: to be tried again after exactly the seconds it asks for', async () => {
    const description = 'Too Many Requests: retry after 5'
    expect(
      await outcomeWhen(() => failed(429, description, { retry_after: 5 }, { 'Retry-After': '5' })),
    ).toEqual({ kind: 'try-again', afterMs: 5000, note: `429 ${description}` })
    expect(
      await outcomeWhen(() => failed(429, description, undefined, { 'Retry-After': '7' })),
    ).toMatchObject({ kind: 'try-again', afterMs: 7000 })
    expect(await outcomeWhen(() => failed(429, description))).toMatchObject({ afterMs: null })
    // Its own number before the header's.
    expect(
      await outcomeWhen(() => failed(429, description, { retry_after: 5 }, { 'Retry-After': '9' })),
    ).toMatchObject({ afterMs: 5000 })
  })

  // Server source: the parameter; the text is from memory.
  test('a group that became a supergroup has another id', async () => {
    expect(
      await outcomeWhen(() =>
        failed(400, 'Bad Request: group chat was upgraded to a supergroup chat', {
          migrate_to_chat_id: -1009876543210,
        }),
      ),
    ).toMatchObject({ kind: 'moved', chatId: '-1009876543210' })
  })

  // Server source: the dead-chat answers.
  test.each([
    [403, 'Forbidden: bot was blocked by the user'],
    [403, 'Forbidden: user is deactivated'],
    [403, 'Forbidden: bot was kicked from the group chat'],
    [403, 'Forbidden: bot was kicked from the supergroup chat'],
    [400, 'Bad Request: chat not found'],
  ])('%i %s: gone', async (code, description) => {
    expect(await outcomeWhen(() => failed(code, description))).toEqual({
      kind: 'gone',
      note: `${code} ${description}`,
    })
  })

  // From memory: the texts; that 400 is about this one call is common practice.
  test.each([
    [400, 'Bad Request: message text is empty'],
    [400, 'Bad Request: not enough rights to send text messages to the chat'],
    [413, 'Request Entity Too Large'],
    // Not in the platform's words: perhaps of something on the way.
    [403, 'blocked'],
  ])('%i %s: refused', async (code, description) => {
    expect(await outcomeWhen(() => failed(code, description))).toMatchObject({ kind: 'refused' })
  })

  // From memory: a token that was taken back, and one that never was.
  test.each([
    [401, 'Unauthorized'],
    [404, 'Not Found'],
  ])('%i %s: the operator’s trouble, in five minutes again', async (code, description) => {
    expect(await outcomeWhen(() => failed(code, description))).toMatchObject({
      kind: 'try-again',
      afterMs: 300_000,
    })
  })

  test.each([500, 502, 503])('%i: to be tried again', async (status) => {
    const expected = { kind: 'try-again', afterMs: null }
    expect(await outcomeWhen(() => failed(status, 'Internal Server Error'))).toMatchObject(expected)
    expect(await outcomeWhen(() => new Response('<html>', { status }))).toMatchObject({
      ...expected,
      doubtful: false,
    })
  })

  test('without an answer from the platform itself, nobody is gone', async () => {
    for (const status of [400, 401, 403, 404, 410, 429])
      for (const body of ['', '<html>', 'null', '[]', '{"ok":true}', '{"ok":"false"}'])
        expect(await outcomeWhen(() => new Response(body, { status }))).toMatchObject({
          kind: 'try-again',
        })
  })

  test('an acceptance that cannot be read, or a gateway that waited too long, is doubtful', async () => {
    for (const body of ['', '<html>', '{"ok":', '{"ok":false,"error_code":403}'])
      expect(await outcomeWhen(() => new Response(body))).toMatchObject({
        kind: 'try-again',
        doubtful: true,
      })
    expect(await outcomeWhen(() => new Response('', { status: 504 }))).toMatchObject({
      kind: 'try-again',
      doubtful: true,
    })
  })

  test('silence is doubtful, and so is a connection that breaks', async () => {
    const failing = (error: Error) =>
      outcomeWhen(() => {
        throw error
      })
    expect(await failing(new DOMException('x', 'TimeoutError'))).toMatchObject({
      kind: 'try-again',
      doubtful: true,
    })
    expect(await failing(new TypeError('fetch failed'))).toEqual({
      kind: 'try-again',
      afterMs: null,
      note: 'no connection',
      doubtful: true,
    })
  })

  test('is never a throw, and never tells the token', async () => {
    const description = fc.oneof(
      fc.string(),
      fc.constantFrom(bot.token, `no such method /bot${bot.token}/sendMessage`, 'chat not found'),
    )
    const shaped = fc.record(
      {
        ok: fc.boolean(),
        error_code: fc.oneof(fc.integer({ min: 400, max: 599 }), fc.jsonValue()),
        description,
        result: fc.jsonValue(),
        parameters: fc.oneof(
          fc.record({ retry_after: fc.jsonValue(), migrate_to_chat_id: fc.jsonValue() }),
          fc.jsonValue(),
        ),
      },
      { requiredKeys: [] },
    )
    const kinds = new Set<string>()
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 200, max: 599 }).filter((status) => ![204, 205, 304].includes(status)),
        fc.oneof(shaped, fc.jsonValue()),
        async (status, body) => {
          const outcome = await outcomeWhen(() => new Response(JSON.stringify(body), { status }))
          kinds.add(outcome.kind)
          expect(JSON.stringify(outcome)).not.toContain(bot.token)
          if (outcome.kind === 'try-again' && outcome.afterMs !== null)
            expect(outcome.afterMs).toBeGreaterThanOrEqual(0)
          if (outcome.kind === 'moved') expect(outcome.chatId).toMatch(/^-?\d+$/)
        },
      ),
      { numRuns: 500 },
    )
    expect([...kinds].sort()).toEqual(expect.arrayContaining(['accepted', 'try-again', 'refused']))
  })
})

describe('settling', () => {
  const settled = { handle: '4711', message, text: 'Alex said at 16:20: done.' }

  // Reference: editMessageText with chat_id and message_id.
  test('edits the message and takes its buttons away', async () => {
    const { calls, tools } = platform(taken)
    expect(await settleTelegram(target, settled, tools)).toMatchObject({ kind: 'accepted' })
    expect(calls[0]!.url).toBe(`https://api.telegram.org/bot${bot.token}/editMessageText`)
    expect(calls[0]!.body).toEqual({
      chat_id: -1001234567890,
      message_id: 4711,
      text: 'Terrace, Halifax\nAlex said at 16:20: done.',
      link_preview_options: { is_disabled: true },
      reply_markup: { inline_keyboard: [] },
    })
  })

  const settledWhen = (code: number, description: string) =>
    settleTelegram(target, settled, platform(() => failed(code, description)).tools)

  test('twice is no trouble', async () => {
    // Server source: harmless; how the sentence goes on is from memory.
    const description =
      'Bad Request: message is not modified: specified new message content and reply markup are exactly the same'
    expect(await settledWhen(400, description)).toEqual({ kind: 'accepted' })
  })

  // From memory: the texts.
  test.each(["Bad Request: message can't be edited", 'Bad Request: message to edit not found'])(
    '%s: refused',
    async (description) => {
      expect(await settledWhen(400, description)).toMatchObject({ kind: 'refused' })
    },
  )
})

describe('an answer to a tap', () => {
  // Reference: answerCallbackQuery, text of 0 to 200 characters.
  test('is a short word to who tapped', async () => {
    const { calls, tools } = platform(() => Response.json({ ok: true, result: true }))
    expect(await answerTap('987', 'Noted. Thank you.', tools)).toEqual({ kind: 'accepted' })
    expect(calls[0]!.url).toMatch(/\/answerCallbackQuery$/)
    expect(calls[0]!.body).toEqual({ callback_query_id: '987', text: 'Noted. Thank you.' })
    await answerTap('987', 'word '.repeat(100), tools)
    expect(calls[1]!.body.text.length).toBeLessThanOrEqual(200)
  })

  test('that comes too late is no trouble', async () => {
    // Server source: harmless.
    const late = 'Bad Request: query is too old and response timeout expired or query ID is invalid'
    expect(await answerTap('987', '', platform(() => failed(400, late)).tools)).toEqual({
      kind: 'accepted',
    })
  })
})

describe('an answer in the webhook’s own answer', () => {
  // Reference: a 2xx with a JSON body that names its `method` is run as a call.
  test('is a sendMessage with a button per choice', () => {
    const buttons = [
      { label: '58 %', send: '58 %' },
      { label: 'Not yet', send: 'not yet' },
    ]
    expect(replyInAnswer('-5', 'Is it done?', buttons)).toEqual({
      method: 'sendMessage',
      chat_id: -5,
      text: 'Is it done?',
      link_preview_options: { is_disabled: true },
      reply_markup: {
        inline_keyboard: [
          [{ text: '58 %', callback_data: 'say:58 %' }],
          [{ text: 'Not yet', callback_data: 'say:not yet' }],
        ],
      },
    })
    expect(replyInAnswer('5', 'Fine.', [])).not.toHaveProperty('reply_markup')
  })

  test('names in words what is too long for a button', () => {
    const fits = { label: 'Short', send: 'x'.repeat(60) }
    const long = { label: 'Long', send: 'x'.repeat(61) }
    const { text, reply_markup } = replyInAnswer('5', 'Which?', [fits, long])
    expect(text).toBe(`Which?\nFor “Long”, send: ${long.send}`)
    expect(reply_markup?.inline_keyboard).toEqual([
      [{ text: 'Short', callback_data: `say:${fits.send}` }],
    ])
    expect(replyInAnswer('5', 'Which?', [long])).not.toHaveProperty('reply_markup')
  })

  test('loses no choice', () => {
    const send = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 80 })
    fc.assert(
      fc.property(
        fc.array(fc.record({ label: fc.string(), send }), { maxLength: 8 }),
        (buttons) => {
          const { text, reply_markup } = replyInAnswer('5', 'Which?', buttons)
          const carried = (reply_markup?.inline_keyboard ?? []).flat()
          for (const { callback_data } of carried)
            expect(Buffer.byteLength(callback_data)).toBeLessThanOrEqual(64)
          for (const button of buttons)
            expect(
              carried.some(({ callback_data }) => callback_data === `say:${button.send}`) ||
                text.includes(button.send),
            ).toBe(true)
        },
      ),
    )
  })
})
