// The file of `npm start -- --vars`, and the keys kept beside the households. Telegram's forms: Bot API, "setWebhook"
// (secret_token) and the rule for user names; both from memory.

import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, describe, expect, test } from 'vitest'
import { keptKeys } from '../../scripts/vapid.ts'
import { BadVars, readVars } from '../../scripts/vars.ts'

const read = (text: string, allowLocal = false) => readVars(text, { allowLocal })

describe('a vars file', () => {
  test('is lines of NAME=value, with comments and empty lines, as any editor writes them', () => {
    const text =
      '\uFEFF# ours\r\n\r\nMAIL_FROM = holdbell@example.com \r\n  # and\nMAIL_AUTH_SERVER=mx.example\n'
    expect(read(text)).toEqual({
      MAIL_FROM: 'holdbell@example.com',
      MAIL_AUTH_SERVER: 'mx.example',
    })
    expect(read('')).toEqual({})
  })

  test('keeps everything after the first =', () => {
    const bot = 'TELEGRAM_TOKEN=12:a=b\nTELEGRAM_BOT=tern_bot\nTELEGRAM_SECRET=s-_1'
    expect(read(bot).TELEGRAM_TOKEN).toBe('12:a=b')
  })

  test.each([
    ['MAIL_FROM', 'line 1: write NAME=value.'],
    ['\nMAIL_FORM=a@b.example', /^line 2: "MAIL_FORM" is none of TELEGRAM_TOKEN, /],
    ['MAIL_FROM=a@b.example\nMAIL_FROM=c@d.example', 'line 2: MAIL_FROM is there twice.'],
    ['MAIL_FROM=nobody', 'line 1: MAIL_FROM takes a mail address.'],
    ['MAIL_AUTH_SERVER=', 'line 1: MAIL_AUTH_SERVER takes a value.'],
    ['TELEGRAM_BOT=@tern_bot', "line 1: TELEGRAM_BOT takes the bot's user name, without @."],
    ['TELEGRAM_SECRET=no spaces', 'line 1: TELEGRAM_SECRET takes 1 to 256 of A-Z a-z 0-9 _ -.'],
    ['VAPID_SUBJECT=me', 'line 1: VAPID_SUBJECT takes an address with mailto: or https:.'],
    [
      'TELEGRAM_BOT=tern_bot',
      'the bot takes TELEGRAM_TOKEN, TELEGRAM_BOT, TELEGRAM_SECRET: TELEGRAM_TOKEN and TELEGRAM_SECRET missing.',
    ],
    ['TELEGRAM_API=http://127.0.0.1:8081', 'TELEGRAM_API is for tests: it takes --allow-local.'],
  ])('%j is refused in words', (text, sentence) => {
    expect(() => read(text)).toThrow(BadVars)
    expect(() => read(text)).toThrow(sentence)
  })

  test('no refusal repeats a value', () => {
    try {
      read('TELEGRAM_SECRET=not a secret')
      expect.unreachable()
    } catch (error) {
      expect((error as Error).message).not.toContain('not a secret')
    }
  })

  test('a stand-in for the chat needs --allow-local', () => {
    expect(read('TELEGRAM_API=http://127.0.0.1:8081', true)).toEqual({
      TELEGRAM_API: 'http://127.0.0.1:8081',
    })
  })
})

describe('the keys of a local run', () => {
  const folders: string[] = []
  const folder = () => {
    const made = mkdtempSync(join(tmpdir(), 'holdbell-test-'))
    folders.push(made)
    return made
  }
  afterEach(() => {
    for (const each of folders.splice(0)) rmSync(each, { recursive: true, force: true })
  })

  test('are made once, and are for their owner alone', async () => {
    const state = folder()
    const made = await keptKeys(state)
    expect(await keptKeys(state)).toEqual(made)
    expect(statSync(join(state, 'keys.json')).mode & 0o777).toBe(0o600)
    expect(readFileSync(join(state, 'keys.json'), 'utf8')).toContain(made.privateKey)
    expect((await keptKeys(folder())).publicKey).not.toBe(made.publicKey)
  })

  test.each(['', '[]', '{"publicKey":"AAAA","privateKey":"AAAA"}'])(
    'are never replaced in silence: %j',
    async (text) => {
      const state = folder()
      writeFileSync(join(state, 'keys.json'), text)
      await expect(keptKeys(state)).rejects.toThrow(/does not hold the keys of push messages/)
      expect(readFileSync(join(state, 'keys.json'), 'utf8')).toBe(text)
    },
  )
})
