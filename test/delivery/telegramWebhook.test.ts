// Limits: the Telegram Bot API's reference, version 10.1 of 2026-06-11 (setWebhook).

import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { fitsSecret, setWebhookCall, startLink } from '../../src/delivery/index.ts'
import { bot } from './telegramBot.ts'

const url = 'https://holdbell.example/telegram'

describe('the call that sets the webhook', () => {
  test('names the secret and the updates that we read', () => {
    const call = setWebhookCall(bot, url, 'a-Secret_1')
    expect(call.url).toBe(`https://api.telegram.org/bot${bot.token}/setWebhook`)
    expect(call.init.method).toBe('POST')
    expect(JSON.parse(call.init.body)).toEqual({
      url,
      secret_token: 'a-Secret_1',
      allowed_updates: ['message', 'callback_query', 'my_chat_member'],
    })
  })

  // Reference: secret_token has 1 to 256 of A-Z a-z 0-9 _ -.
  test('refuses a secret that the platform would not take, without telling it', () => {
    expect(() => setWebhookCall(bot, url, 'x'.repeat(256))).not.toThrow()
    for (const secret of ['', 'x'.repeat(257), 'secret word', 'sécret', 'secret\n']) {
      expect(() => setWebhookCall(bot, url, secret)).toThrow(RangeError)
      if (secret !== '') expect(() => setWebhookCall(bot, url, secret)).not.toThrow(secret)
    }
  })

  test('refuses an address that is not https', () => {
    for (const address of ['http://holdbell.example/', 'holdbell.example', ''])
      expect(() => setWebhookCall(bot, address, 'x')).toThrow(RangeError)
  })
})

describe('the secret', () => {
  test('fits itself alone', async () => {
    await fc.assert(
      fc.asyncProperty(fc.string(), fc.string({ minLength: 1 }), async (given, expected) => {
        expect(await fitsSecret(given, expected)).toBe(given === expected)
        expect(await fitsSecret(expected, expected)).toBe(true)
        expect(await fitsSecret(`${expected} `, expected)).toBe(false)
      }),
    )
  })

  test('is never nothing', async () => {
    expect(await fitsSecret(null, 'x')).toBe(false)
    expect(await fitsSecret('', '')).toBe(false)
    expect(await fitsSecret(null, '')).toBe(false)
  })

  test('is compared by the runtime’s own means where it has them', async () => {
    const compared: [number, number][] = []
    const subtle = crypto.subtle as unknown as Record<string, unknown>
    subtle['timingSafeEqual'] = (a: Uint8Array, b: Uint8Array) => {
      compared.push([a.length, b.length])
      return Buffer.compare(a, b) === 0
    }
    try {
      expect(await fitsSecret('one', 'one')).toBe(true)
      expect(await fitsSecret('another', 'one')).toBe(false)
    } finally {
      delete subtle['timingSafeEqual']
    }
    // SHA-256 has 32 octets, whatever it was made of.
    expect(compared).toEqual([
      [32, 32],
      [32, 32],
    ])
  })
})

// Source: the platform's page on bots, "Deep linking": up to 64 of A-Z a-z 0-9 _ -.
describe('the link that opens the bot', () => {
  test('carries the code to a person’s chat or to a group', () => {
    expect(startLink(bot, 'abc-_9', false)).toBe('https://t.me/OurTestBot?start=abc-_9')
    expect(startLink(bot, 'abc-_9', true)).toBe('https://t.me/OurTestBot?startgroup=abc-_9')
  })

  test('carries no other', () => {
    expect(() => startLink(bot, 'x'.repeat(64), false)).not.toThrow()
    for (const code of ['', 'x'.repeat(65), 'a b', 'a&b'])
      expect(() => startLink(bot, code, false)).toThrow(RangeError)
  })
})
