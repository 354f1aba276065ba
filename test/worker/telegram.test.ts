// What the chat's platform brings, through the whole worker. Shapes of updates and of answers: the Telegram Bot API's
// reference, version 10.1 of 2026-06-11. People and ids are invented; nothing goes out.

import { env } from 'cloudflare:workers'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { Env } from '../../src/env.ts'
import { settings } from '../reminder/house.ts'
import { type Call, at, house, inside, outside, setTime } from './told.ts'

let calls: Call[]
beforeEach(() => {
  calls = outside(() => Response.json({ ok: true, result: true }))
})
afterEach(inside)

const SECRET = 'what-the-platform-was-given'
const BOT = { TELEGRAM_TOKEN: '1:t', TELEGRAM_BOT: 'OurTestBot', TELEGRAM_SECRET: SECRET }
const alex = { id: 77, is_bot: false, first_name: 'Alex' }
const family = { id: -1001234567890, type: 'supergroup', title: 'Family' }

let homes = 0
let chats = 1000
let updates = 5000

/** A household, and a chat that nobody linked yet. */
async function atHome() {
  const home = await house(`telegram-${String((homes += 1)).padStart(7, '0')}`, BOT)
  const chat = { id: (chats += 1), type: 'private', first_name: 'Alex' }
  const post = (body: BodyInit, secret: string | null = SECRET) =>
    home.visit('/telegram', {
      method: 'POST',
      headers: {
        'content-type': 'application/json',
        ...(secret === null ? {} : { 'X-Telegram-Bot-Api-Secret-Token': secret }),
      },
      body,
    })
  const update = async (content: object, update_id = (updates += 1)) => {
    const answer = await post(JSON.stringify({ update_id, ...content }))
    expect(answer.status).toBe(200)
    const text = await answer.text()
    return text === '' ? null : (JSON.parse(text) as Record<string, unknown>)
  }
  const message = (text: string, changes: object = {}) => ({
    message: { message_id: 3, date: Date.now() / 1000, chat, from: alex, text, ...changes },
  })
  const invite = async () => home.stub().inviteChat(home.key, 'Rowan')
  return {
    ...home,
    chat,
    post,
    update,
    say: (text: string, changes: object = {}, id?: number) => update(message(text, changes), id),
    tap: (data: string, changes: object = {}, id?: number) =>
      update(
        {
          callback_query: {
            id: 'q1',
            from: alex,
            message: { message_id: 9, date: 1, chat },
            data,
            ...changes,
          },
        },
        id,
      ),
    invite,
    linked: async () =>
      home
        .stub()
        .linkChat(
          (await home.stub().inviteChat(home.key, 'Rowan'))?.slice(16) ?? '',
          { chatId: String(chat.id), group: false },
          'Alex',
        ),
    channels: async () => (await home.household())?.channels ?? [],
  }
}

const told = (chatId: number, text: unknown) => ({ method: 'sendMessage', chat_id: chatId, text })

describe('who calls', () => {
  // The reference, setWebhook: the secret comes in a header of every request.
  it('has to bring the secret, whole', async () => {
    const { post, linked, household } = await atHome()
    await linked()
    const before = await household()
    for (const secret of [null, '', 'what', `${SECRET}x`, SECRET.toUpperCase()])
      expect((await post('{"update_id":1}', secret)).status).toBe(403)
    expect(await household()).toEqual(before)
    expect((await post('{"update_id":1}')).status).toBe(200)
  })

  it('finds nothing where no bot is set up, and posts no more than 64 KiB', async () => {
    const { post } = await atHome()
    const without = await house(`telegram-${'nobot'.padStart(7, '0')}`)
    const asked = { method: 'POST', headers: { 'X-Telegram-Bot-Api-Secret-Token': SECRET } }
    expect((await without.visit('/telegram', { ...asked, body: '{}' })).status).toBe(404)
    expect((await post(JSON.stringify({ update_id: 1, x: 'x'.repeat(65_536) }))).status).toBe(413)
  })

  it('is thanked for what is no update of ours, so that it is not brought again', async () => {
    const { post } = await atHome()
    for (const body of ['', '{', 'null', '[]', '{"update_id":"1"}', '{"update_id":1,"poll":{}}']) {
      const answer = await post(body)
      expect([answer.status, await answer.text()]).toEqual([200, ''])
    }
  })
})

describe('a one-time link', () => {
  it('makes the chat a channel of the person that it was made for', async () => {
    const { say, invite, chat, channels } = await atHome()
    const code = await invite()
    // The reference: a start parameter has at most 64 of A-Z, a-z, 0-9, _ and -.
    expect(code).toMatch(/^[\w-]{38}$/)
    expect(await say(`/start ${code}`)).toMatchObject(
      told(chat.id, expect.stringContaining('"Tern Street"')),
    )
    expect(await channels()).toMatchObject([
      {
        person: 'Rowan',
        state: 'on',
        target: { kind: 'telegram', chatId: String(chat.id), group: false },
      },
    ])
  })

  it('in a group makes the group a channel', async () => {
    const { say, invite, channels } = await atHome()
    const chat = { ...family, id: family.id - homes }
    await say(`/start@OurTestBot ${await invite()}`, { chat })
    expect(await channels()).toMatchObject([{ target: { chatId: String(chat.id), group: true } }])
  })

  it('works once, for a quarter of an hour, and for this household alone', async () => {
    const { say, invite, id, channels } = await atHome()
    const code = (await invite()) ?? ''
    const other = await atHome()
    const expired = { text: expect.stringContaining('Make a new one') }
    for (const wrong of ['x', id, `${id}${'x'.repeat(22)}`, `${other.id}${code.slice(16)}`])
      expect(await say(`/start ${wrong}`)).toMatchObject(expired)
    setTime('13:15')
    expect(await say(`/start ${code}`)).toMatchObject(expired)
    setTime('13:00')
    await say(`/start ${code}`)
    expect(await say(`/start ${code}`, { chat: { ...family, id: -5 } })).toMatchObject(expired)
    expect(await channels()).toHaveLength(1)
  })
})

describe('what is written', () => {
  it('is understood, noted under the name of who wrote, and answered in the answer', async () => {
    const { say, linked, chat, household } = await atHome()
    await linked()
    setTime('13:30')
    const answer = await say('52')
    expect(answer).toMatchObject(told(chat.id, expect.stringMatching(/hold by 16:\d\d/i)))
    // The reference: without `parse_mode`, text is text.
    expect(answer).not.toHaveProperty('parse_mode')
    expect((await household())?.readings.at(-1)).toMatchObject({ socPct: 52, at: at('13:30') })
  })

  it('is answered without what comes to the chat as a reminder of its own', async () => {
    const { say, linked, chat, reminder } = await atHome()
    await linked()
    const answer = await say('24')
    expect(answer).toMatchObject(told(chat.id, expect.stringContaining('hold now')))
    expect(JSON.stringify(answer)).not.toContain('pause the discharge')
    expect((await reminder('hold-e1-1'))?.state).toBe('sent')
  })

  it('is counted once, however often it is brought', async () => {
    const { say, linked, household } = await atHome()
    await linked()
    await say('event on 20 January 17:30-18:30', {}, 42)
    const before = await household()
    expect(before?.events).toHaveLength(2)
    expect(await say('event on 20 January 17:30-18:30', {}, 42)).toBeNull()
    expect(await household()).toEqual(before)
  })

  it('has the buttons of the last answer', async () => {
    const { say, linked, perform } = await atHome()
    await linked()
    const people = ['Rowan', 'Mika'].map((name) => ({ name, away: [], absences: [], quiet: null }))
    await perform({ type: 'settings', settings: { ...settings, people }, from: settings })
    const answer = await say('asleep 22:30-7')
    const markup = answer?.['reply_markup'] as
      { inline_keyboard: { callback_data: string }[][] } | undefined
    expect(markup?.inline_keyboard.flat().length).toBeGreaterThan(1)
    for (const { callback_data } of markup?.inline_keyboard.flat() ?? [])
      expect(callback_data).toMatch(/^say:/)
  })

  it('in a chat that nobody linked is answered politely, in a group not at all', async () => {
    const { say, chat, household } = await atHome()
    const before = await household()
    expect(await say('58')).toMatchObject(told(chat.id, expect.stringContaining('do not know')))
    expect(await say('58', { chat: { ...family, id: -6 } })).toBeNull()
    expect(await household()).toEqual(before)
  })

  it('that comes long after it was written is not taken for what is true now', async () => {
    const { say, linked, household, chat } = await atHome()
    await linked()
    setTime('15:00')
    // The platform keeps updates for a day while nobody takes them: a figure is of when it was written.
    await say('52', { date: at('13:40') / 1000 })
    expect((await household())?.readings.at(-1)).toMatchObject({ at: at('13:40'), socPct: 52 })
    setTime('21:00')
    const late = { date: at('13:00') / 1000 }
    expect(await say('58', late)).toMatchObject(
      told(chat.id, expect.stringContaining('only now, 8 h')),
    )
    expect((await household())?.readings).toHaveLength(2)
  })
})

it('a chat stays the household’s that linked it, until that lets it go', async () => {
  const address = (env as unknown as Env).ADDRESS.getByName('telegram:-99')
  expect(await address.claim('one')).toBe(true)
  expect(await address.claim('one')).toBe(true)
  expect(await address.claim('two')).toBe(false)
  await address.forget('two')
  expect(await address.leadsTo()).toBe('one')
  await address.forget('one')
  expect(await address.claim('two')).toBe(true)
})

describe('"done" that comes late', () => {
  it('answers what was asked when it was written, and nothing that was asked since', async () => {
    const { say, linked, wakeAt, reminder } = await atHome()
    await linked()
    await wakeAt('16:19')
    await say('done', { date: at('16:20') / 1000 })
    expect((await reminder('hold-e1-1'))?.state).toBe('acknowledged')
    await wakeAt('17:24')
    expect((await reminder('release-e1-1'))?.state).toBe('sent')
    expect(await say('done', { date: at('16:24') / 1000 })).toMatchObject({
      text: expect.stringContaining('say it again'),
    })
    expect((await reminder('release-e1-1'))?.state).toBe('sent')
    await say('done', { date: at('17:24') / 1000 })
    expect((await reminder('release-e1-1'))?.state).toBe('acknowledged')
  })
})

describe('what is tapped', () => {
  it('ends the reminder, and the answer ends the waiting', async () => {
    const { tap, linked, wakeAt, reminder } = await atHome()
    await linked()
    await wakeAt('16:19')
    expect(await tap('later:hold-e1-1')).toEqual({
      method: 'answerCallbackQuery',
      callback_query_id: 'q1',
      text: expect.stringMatching(/^I will ask again at 16:2\d\.$/),
    })
    const done = await tap('done:hold-e1-1')
    expect(done).toMatchObject({ method: 'answerCallbackQuery', callback_query_id: 'q1' })
    // The reference: 0 to 200 characters.
    expect(String(done?.['text']).length).toBeLessThanOrEqual(200)
    expect(await reminder('hold-e1-1')).toMatchObject({
      state: 'acknowledged',
      acknowledgedBy: 'Alex',
    })
    // Somebody else, a moment later.
    const ada = { from: { ...alex, id: 78, first_name: 'Ada' } }
    expect(await tap('done:hold-e1-1', ada)).toMatchObject({ text: 'Done: Alex said so at 16:19.' })
    expect(await reminder('hold-e1-1')).toMatchObject({ acknowledgedBy: 'Alex' })
  })

  it('of an answer is said, and answered as a message', async () => {
    const { tap, linked, chat, household } = await atHome()
    await linked()
    expect(await tap('say:50')).toMatchObject(
      told(chat.id, expect.stringMatching(/hold by 15:\d\d/i)),
    )
    expect((await household())?.readings.at(-1)?.socPct).toBe(50)
    expect(calls.map(({ url }) => new URL(url).pathname)).toContain('/bot1:t/answerCallbackQuery')
  })

  it('is counted once, and in a chat of nobody or for no reminder says so', async () => {
    const { tap, linked, wakeAt, household } = await atHome()
    expect(await tap('done:hold-e1-1')).toMatchObject({
      method: 'answerCallbackQuery',
      text: expect.stringContaining('do not know this chat'),
    })
    await linked()
    await wakeAt('16:19')
    await tap('later:hold-e1-1', {}, 77)
    const before = await household()
    expect(await tap('later:hold-e1-1', {}, 77)).toEqual({
      method: 'answerCallbackQuery',
      callback_query_id: 'q1',
      text: '',
    })
    expect(await household()).toEqual(before)
    expect(await tap('done:hold-e9-9')).toMatchObject({ text: 'I know of no such reminder.' })
    expect(await tap('nothing of ours')).toBeNull()
  })
})

describe('a chat', () => {
  it('that put the bot out is turned off', async () => {
    const { update, linked, chat, channels } = await atHome()
    await linked()
    const my_chat_member = { chat, new_chat_member: { status: 'kicked' } }
    expect(await update({ my_chat_member })).toBeNull()
    expect(await channels()).toMatchObject([{ state: 'off' }])
  })

  it('that has another id from now on stays the same channel, and is heard under the new one', async () => {
    const { say, invite, channels, household } = await atHome()
    const group = { id: -(chats += 1), type: 'group', title: 'Family' }
    await say(`/start@OurTestBot ${await invite()}`, { chat: group })
    const to = -1009876500000 - homes
    await say('', { chat: group, migrate_to_chat_id: to, text: undefined })
    expect(await channels()).toMatchObject([
      { id: 'c1', state: 'on', target: { chatId: String(to), group: true } },
    ])
    await say('57 %', { chat: { ...family, id: to } })
    expect((await household())?.readings.at(-1)?.socPct).toBe(57)
  })
})

it('what breaks answers 500, so that the platform brings it again', async () => {
  const { post, chat, linked } = await atHome()
  await linked()
  // A household whose object cannot be reached.
  const broken = await house(`telegram-${'broken'.padStart(7, '0')}`, {
    ...BOT,
    ADDRESS: { getByName: () => ({ leadsTo: () => Promise.reject(new Error('reset')) }) } as never,
  })
  const body = JSON.stringify({
    update_id: 1,
    message: { message_id: 1, date: Date.now() / 1000, chat, from: alex, text: '58' },
  })
  expect((await post(body)).status).toBe(200)
  const headers = { 'X-Telegram-Bot-Api-Secret-Token': SECRET }
  expect((await broken.visit('/telegram', { method: 'POST', headers, body })).status).toBe(500)
})
