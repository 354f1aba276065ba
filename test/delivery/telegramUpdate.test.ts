// Shapes of updates: the Telegram Bot API's reference, version 10.1 of 2026-06-11. People and ids are invented.

import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readUpdate, replyInAnswer, sendTelegram } from '../../src/delivery/index.ts'
import { bot, message as reminder, platform, taken } from './telegramBot.ts'

const alex = { id: 77, is_bot: false, first_name: 'Alex', language_code: 'en' }
const us = { id: 123456, is_bot: true, first_name: 'Holdbell', username: 'ourtestbot' }
const alone = { id: 77, type: 'private', first_name: 'Alex' }
const family = { id: -1001234567890, type: 'supergroup', title: 'Family' }

const read = (update: object) => readUpdate({ update_id: 9, ...update }, bot.name)
const readMessage = (changes: object) =>
  read({ message: { message_id: 3, date: 1800000000, chat: alone, from: alex, ...changes } })
const inGroup = (text: string, changes: object = {}) =>
  readMessage({ chat: family, text, ...changes })

const OTHER = { updateId: 9, kind: 'other' }

describe('a message', () => {
  test('of one person is for the conversation as it is', () => {
    expect(readMessage({ text: ' it shows 58\nnow ' })).toEqual({
      updateId: 9,
      kind: 'message',
      chatId: '77',
      group: false,
      senderName: 'Alex',
      text: 'it shows 58\nnow',
      // Reference: `date` in seconds of Unix time.
      sentAt: Date.parse('2027-01-15T08:00:00Z'),
    })
  })

  test.each([
    ['/plan', 'plan'],
    ['/done', 'done'],
    ['/Done@OurTestBot', 'Done'],
    ['/not_yet', 'not yet'],
    ['/help', 'help'],
    ['/stop', 'stop'],
    ['/start', 'start'],
    ['/in 10', 'in 10'],
    ['@ourtestbot, 58 %', '58 %'],
    // Not a command, by its form: left to the conversation.
    ['/58.5', '/58.5'],
    ['tomorrow 17:30/18:30', 'tomorrow 17:30/18:30'],
  ])('%s says "%s"', (text, said) => {
    expect(readMessage({ text })).toMatchObject({ kind: 'message', text: said })
  })

  test('to another bot is none of ours', () => {
    expect(readMessage({ text: '/done@otherbot' })).toEqual(OTHER)
    expect(inGroup('/done@otherbot')).toEqual(OTHER)
    expect(inGroup('/done@otherbot', { reply_to_message: { from: us } })).toEqual(OTHER)
  })

  test.each([
    ['of a bot', { from: { ...alex, is_bot: true }, text: '58' }],
    ['of a channel’s', { sender_chat: { id: -5, type: 'channel' }, text: '58' }],
    ['of nobody', { from: undefined, text: '58' }],
    ['in a channel', { chat: { id: -5, type: 'channel' }, text: '58' }],
    ['without text', { photo: [] }],
    ['without a date', { date: undefined, text: '58' }],
    ['from after the last day', { date: 8.64e12 + 1, text: '58' }],
    ['of spaces', { text: '  \n ' }],
    ['that is a service message', { chat: family, new_chat_members: [alex] }],
    // Reference: at most 4096 characters.
    ['that is too long', { text: 'x'.repeat(4097) }],
  ])('%s is none', (_, changes) => {
    expect(readMessage(changes)).toEqual(OTHER)
  })

  test('that was edited, or posted in a channel, is none', () => {
    const message = { message_id: 3, date: 1, chat: alone, from: alex, text: '58' }
    expect(read({ edited_message: message })).toEqual(OTHER)
    expect(read({ channel_post: { ...message, chat: { id: -5, type: 'channel' } } })).toEqual(OTHER)
  })

  test.each([
    ['  Alex\u0000\u202E ', 'Alex'],
    // From memory: the account of somebody who left has no name.
    ['', null],
    ['👩‍🔧 Sam', '👩‍🔧 Sam'],
    ['x'.repeat(70), 'x'.repeat(64)],
  ])('of "%s" is by %s', (first_name, senderName) => {
    expect(readMessage({ from: { ...alex, first_name }, text: '58' })).toMatchObject({ senderName })
  })
})

describe('in a group', () => {
  test.each([
    ['/plan', 'plan'],
    ['/plan@OurTestBot', 'plan'],
    ['/in@ourtestbot 10', 'in 10'],
    ['@OurTestBot tomorrow 17:30-18:30', 'tomorrow 17:30-18:30'],
    ['when do we hold, @ourtestbot', 'when do we hold,'],
    ['@ourtestbot', 'help'],
    ['58 %', '58 %'],
    ['5%', '5%'],
    ['58,5 %', '58,5 %'],
    ['58', '58'],
    ['100', '100'],
    ['Done!', 'Done!'],
    ['held', 'held'],
    ['Not yet.', 'Not yet.'],
    ['in 10', 'in 10'],
    ['in 15 min', 'in 15 min'],
    ['✅', '✅'],
  ])('%s is for us', (text, said) => {
    expect(inGroup(text)).toMatchObject({
      kind: 'message',
      chatId: '-1001234567890',
      group: true,
      text: said,
    })
  })

  test.each([
    'Dinner at 7?',
    '5',
    '101',
    '580',
    'done with the dishes',
    'in 10 years',
    'ok',
    '/weather',
    'mail me@ourtestbot',
    '@ourtestbots 58 %',
    '@otherbot 58 %',
  ])('%s is not', (text) => {
    expect(inGroup(text)).toEqual(OTHER)
  })

  test('an answer to a message of ours is, whatever it says', () => {
    expect(inGroup('5', { reply_to_message: { message_id: 2, from: us } })).toMatchObject({
      text: '5',
    })
    expect(inGroup('5', { reply_to_message: { message_id: 2, from: alex } })).toEqual(OTHER)
  })
})

describe('a link with a code', () => {
  const code = 'Ab-9_x'.repeat(10) + 'Ab-9'

  test.each([
    [`/start ${code}`, alone],
    [`/start@OurTestBot ${code}`, family],
    [`/start ${code}`, family],
  ])('%s in %o says the code', (text, chat) => {
    expect(code).toHaveLength(64)
    expect(readMessage({ text, chat })).toEqual({
      updateId: 9,
      kind: 'start',
      chatId: String(chat.id),
      group: chat === family,
      senderName: 'Alex',
      code,
    })
  })

  test.each([`/start ${code}x`, '/start a b', '/start a.b', 'start again'])(
    '%s says none',
    (text) => {
      expect(readMessage({ text })).toMatchObject({ kind: 'message' })
    },
  )
})

describe('a tap', () => {
  const query = {
    id: '4382bfdwdsb323b2d9',
    from: alex,
    chat_instance: '-55',
    message: { message_id: 4711, date: 1800000000, chat: family, from: us, text: 'Hold by 15:42.' },
    data: 'done:hold-e1-1',
  }
  const from = { chatId: '-1001234567890', group: true, senderName: 'Alex', queryId: query.id }

  test('says what is done, or asks again later', () => {
    expect(read({ callback_query: query })).toEqual({
      updateId: 9,
      kind: 'tap',
      ...from,
      does: 'done',
      key: 'hold-e1-1',
    })
    expect(read({ callback_query: { ...query, data: 'later:hold-e1-1' } })).toMatchObject({
      does: 'later',
      key: 'hold-e1-1',
    })
  })

  test('says a whole message', () => {
    expect(read({ callback_query: { ...query, data: 'say:17:30-18:30' } })).toMatchObject({
      ...from,
      does: 'say',
      text: '17:30-18:30',
    })
  })

  // Reference: an inaccessible message has its chat, its id and a date; that the date is 0 is from memory.
  test('counts on an old message too', () => {
    const message = { chat: family, message_id: 4711, date: 0 }
    expect(read({ callback_query: { ...query, message } })).toMatchObject({ kind: 'tap', ...from })
  })

  test.each([
    ['without a message', { message: undefined }],
    ['without data', { data: undefined }],
    ['of a bot', { from: us }],
    ['of another form', { data: 'hold-e1-1' }],
    ['of another kind', { data: 'delete:hold-e1-1' }],
    ['without a key', { data: 'done:' }],
    ['too long to be one', { data: `done:${'x'.repeat(60)}` }],
  ])('%s is none', (_, changes) => {
    expect(read({ callback_query: { ...query, ...changes } })).toEqual(OTHER)
  })

  test('brings back what the button was sent with', async () => {
    const { calls, tools } = platform(taken)
    await sendTelegram({ kind: 'telegram', chatId: '77', group: false }, reminder, tools)
    const buttons = calls[0]!.body.reply_markup!.inline_keyboard.flat()
    expect(
      buttons.map(({ callback_data: data }) => read({ callback_query: { ...query, data } })),
    ).toMatchObject([
      { does: 'done', key: 'release-e12-3' },
      { does: 'later', key: 'release-e12-3' },
    ])
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', minLength: 1, maxLength: 20 }), (send) => {
        const { reply_markup } = replyInAnswer('77', '?', [{ label: 'x', send }])
        const data = reply_markup?.inline_keyboard[0]?.[0]?.callback_data
        if (data !== undefined)
          expect(read({ callback_query: { ...query, data } })).toMatchObject({ text: send })
      }),
    )
  })
})

describe('our own coming and going', () => {
  const member = (status: string, chat: object = alone) =>
    read({
      my_chat_member: {
        chat,
        from: alex,
        date: 1800000000,
        old_chat_member: { status: 'member', user: us },
        new_chat_member: { status, user: us, until_date: 0 },
      },
    })

  test('blocked, put out or left', () => {
    expect(member('kicked')).toEqual({ updateId: 9, kind: 'left', chatId: '77' })
    expect(member('kicked', family)).toMatchObject({ kind: 'left', chatId: '-1001234567890' })
    expect(member('left', family)).toMatchObject({ kind: 'left' })
  })

  test.each(['member', 'administrator', 'creator', 'restricted'])('%s is no going', (status) => {
    expect(member(status)).toEqual(OTHER)
  })

  // Reference: Message, migrate_to_chat_id in the old chat and migrate_from_chat_id in the new one.
  test('a group with another id', () => {
    const expected = {
      updateId: 9,
      kind: 'migrated',
      chatId: '-5551234',
      toChatId: '-1001234567890',
    }
    const old = { id: -5551234, type: 'group' }
    expect(readMessage({ chat: old, migrate_to_chat_id: family.id })).toEqual(expected)
    expect(readMessage({ chat: family, migrate_from_chat_id: old.id })).toEqual(expected)
  })
})

describe('whatever comes', () => {
  test('without an update’s id is no update', () => {
    for (const json of [null, 1, 'x', [], {}, { update_id: '9' }, { update_id: 1.5 }])
      expect(readUpdate(json, bot.name)).toBeNull()
    expect(read({})).toEqual(OTHER)
    expect(read({ poll: { id: '1' } })).toEqual(OTHER)
  })

  // Reference: a chat's id has at most 52 significant bits.
  test('an id of 52 bits is kept to the last digit', () => {
    for (const id of [2 ** 52 - 1, -(2 ** 52 - 1)])
      expect(readMessage({ chat: { ...alone, id }, text: '58' })).toMatchObject({
        chatId: String(id),
      })
    expect(readMessage({ chat: { ...alone, id: 2 ** 60 }, text: '58' })).toEqual(OTHER)
  })

  test('however deep, it does not throw', () => {
    let deep: unknown = 1
    for (let depth = 0; depth < 20_000; depth += 1) deep = { reply_to_message: deep }
    expect(readMessage({ text: '58', reply_to_message: deep })).toMatchObject({ text: '58' })
    expect(read({ message: deep })).toEqual(OTHER)
  })

  test('it never throws, and ids are text', () => {
    const junk = fc.oneof(fc.anything(), fc.jsonValue())
    // Mostly as it should be, so that every part of the reader is reached.
    const or = <T>(arbitrary: fc.Arbitrary<T>): fc.Arbitrary<unknown> =>
      fc.oneof({ arbitrary, weight: 9 }, { arbitrary: junk, weight: 1 })
    const chat = or(fc.constantFrom<object>(alone, family, { id: -5, type: 'channel' }))
    const user = or(
      fc.oneof(
        fc.constantFrom<object>(alex, us),
        fc.record({ first_name: fc.string(), is_bot: fc.constant(false) }),
      ),
    )
    const text = or(
      fc.oneof(
        fc.string({ unit: 'binary' }),
        fc.constantFrom(
          '/start',
          '/start abc',
          '@OurTestBot',
          '58 %',
          '/done@x',
          'done:hold-e1-1',
          'say:58',
        ),
      ),
    )
    const rest = {
      sender_chat: junk,
      reply_to_message: or(fc.record({ from: user })),
      migrate_to_chat_id: or(fc.integer()),
      migrate_from_chat_id: or(fc.integer()),
    }
    // `from` and `text` may be missing, as the reference says; the rest mostly is.
    const message = or(
      fc
        .tuple(
          fc.record(
            { chat, from: user, text, date: or(fc.nat()) },
            { requiredKeys: ['chat', 'date'] },
          ),
          fc.oneof(
            { arbitrary: fc.constant({}), weight: 3 },
            { arbitrary: fc.record(rest, { requiredKeys: [] }), weight: 1 },
          ),
        )
        .map((parts) => Object.assign({}, ...parts) as object),
    )
    const update = fc
      .tuple(
        or(fc.nat()),
        fc.oneof(
          fc.record({ message }),
          fc.record({
            callback_query: or(fc.record({ id: text, from: user, message, data: text })),
          }),
          fc.record({
            my_chat_member: or(
              fc.record({
                chat,
                new_chat_member: or(fc.record({ status: fc.constantFrom('left', 'member') })),
              }),
            ),
          }),
        ),
      )
      .map(([update_id, body]) => ({ update_id, ...body }))
    const kinds = new Set<string>()
    fc.assert(
      fc.property(fc.oneof({ arbitrary: update, weight: 9 }, junk), (json) => {
        const meant = readUpdate(json, bot.name)
        if (meant === null) return
        kinds.add(meant.kind)
        expect(Number.isSafeInteger(meant.updateId)).toBe(true)
        if ('chatId' in meant) expect(meant.chatId).toMatch(/^-?\d+$/)
        if ('text' in meant) expect(meant.text).not.toBe('')
        if ('senderName' in meant) expect(meant.senderName).not.toBe('')
      }),
      { numRuns: 2000 },
    )
    expect([...kinds].sort()).toEqual(
      ['message', 'tap', 'start', 'left', 'migrated', 'other'].sort(),
    )
  })
})
