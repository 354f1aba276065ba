import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { PersonalMessage } from '../../src/delivery/channel.ts'
import { LONGEST_BODY_OCTETS, pushBody, settledBody } from '../../src/delivery/pushBody.ts'
import type { PushBody } from '../../src/delivery/pushBody.ts'
import { asInstant } from '../../src/plan/index.ts'

const message: PersonalMessage = {
  id: 'msg_h1_hold-e1-1_0',
  at: asInstant(Date.parse('2027-01-14T20:13:00Z')),
  key: 'hold-e1-1',
  kind: 'hold',
  eventId: 'e1',
  text: 'Hold by 16:28, or as soon as it shows 25 %.',
  dueAt: asInstant(Date.parse('2027-01-14T20:13:00Z')),
  uselessAfter: asInstant(Date.parse('2027-01-14T21:25:00Z')),
  repeat: 1,
  page: 'https://holdbell.example/h/h1/plan',
  title: 'Terraced house',
  taps: [
    { label: 'Done', does: 'done' },
    { label: 'In 10 minutes', does: 'later' },
  ],
  answerUrl: 'https://holdbell.example/h/h1/answer/hold-e1-1?t=abc',
  urgent: true,
}
const tag = 'AAECAwQFBgcICQoLDA0ODxAREhMUFRYX'

// Fatal, so that half a character is an error.
const read = (octets: Uint8Array) =>
  JSON.parse(new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(octets)) as PushBody
const saying = (text: string) => read(pushBody({ ...message, text }, tag)).notification.body

/**
 * Whether a browser takes it as declarative: W3C Push API, "declarative push message parser", with the two
 * rules of the Notifications standard, "create a notification", that fail; read in excerpts.
 */
function isDeclarative(octets: Uint8Array): boolean {
  const json = read(octets) as unknown as { web_push: unknown; notification: Json }
  const { title, navigate, actions, silent, vibrate, renotify, tag: given } = json.notification
  const isAddress = (value: unknown) => typeof value === 'string' && URL.canParse(value)
  return (
    json.web_push === 8030 &&
    typeof title === 'string' &&
    isAddress(navigate) &&
    (actions as Json[]).every(
      (each) =>
        typeof each['action'] === 'string' &&
        typeof each['title'] === 'string' &&
        isAddress(each['navigate']),
    ) &&
    !(silent === true && vibrate !== undefined) &&
    !(renotify === true && (given ?? '') === '')
  )
}
type Json = Record<string, unknown>

test('the reader used here takes no other form', () => {
  const spoilt = [
    { answerUrl: 'not an address' },
    { title: undefined as unknown as string },
    { taps: [{ does: 'done', label: undefined as unknown as string }] },
  ] as const
  for (const each of spoilt)
    expect(isDeclarative(pushBody({ ...message, ...each }, tag))).toBe(false)
  expect(isDeclarative(pushBody(message, ''))).toBe(false)
})

describe('a request', () => {
  test('has the declarative form, and what the service worker needs', () => {
    const octets = pushBody(message, tag)
    expect(isDeclarative(octets)).toBe(true)
    expect(read(octets)).toEqual({
      web_push: 8030,
      notification: {
        title: 'Terraced house',
        body: 'Hold by 16:28, or as soon as it shows 25 %.',
        navigate: message.answerUrl,
        lang: 'en',
        tag,
        renotify: true,
        silent: false,
        requireInteraction: true,
        actions: [
          { action: 'done', title: 'Done', navigate: message.answerUrl },
          { action: 'later', title: 'In 10 minutes', navigate: message.answerUrl },
        ],
        data: {
          key: 'hold-e1-1',
          kind: 'hold',
          answerUrl: message.answerUrl,
          page: message.page,
          uselessAfter: Date.parse('2027-01-14T21:25:00Z'),
          repeat: 1,
          settled: false,
        },
      },
    })
  })

  test('that can wait does not stay on the screen', () => {
    const calm = read(pushBody({ ...message, urgent: false, taps: [] }, tag)).notification
    expect(calm).toMatchObject({ requireInteraction: false, actions: [], renotify: true })
  })
})

test('what is over has the same tag, no sound, no button and the text that says so', () => {
  const text = 'Held by Ada at 15:40.'
  const octets = settledBody({ handle: tag, message, text }, tag)
  expect(isDeclarative(octets)).toBe(true)
  expect(read(octets).notification).toMatchObject({
    body: text,
    tag,
    renotify: false,
    silent: true,
    requireInteraction: false,
    actions: [],
    data: { key: 'hold-e1-1', settled: true },
  })
})

describe('a text that is too long', () => {
  const limit = (octets: Uint8Array) =>
    expect(octets.length).toBeLessThanOrEqual(LONGEST_BODY_OCTETS)

  test('ends at a word', () => {
    const text = 'Hold the battery. '.repeat(300)
    limit(pushBody({ ...message, text }, tag))
    const body = saying(text)
    expect(body).toMatch(/(Hold|the|battery\.)…$/)
    expect(text.startsWith(body.slice(0, -1))).toBe(true)
    // No word more would have fitted.
    expect(pushBody({ ...message, text }, tag).length).toBeGreaterThan(LONGEST_BODY_OCTETS - 12)
  })

  test('that is the last to fit is left whole', () => {
    const room = LONGEST_BODY_OCTETS - pushBody({ ...message, text: '' }, tag).length
    const fits = `${'a '.repeat(100)}${'b'.repeat(room - 200)}`
    expect(pushBody({ ...message, text: fits }, tag)).toHaveLength(LONGEST_BODY_OCTETS)
    expect(saying(fits)).toBe(fits)
    expect(saying(`${fits}b`)).toBe(`${'a '.repeat(100).trimEnd()}…`)
  })

  test.each(['a', 'ü', '½', '🔋', '👨‍👩‍👧‍👦', 'é', '"', '\\', '\u0007', '🇨🇦'])(
    'of one word of %j ends between characters',
    (character) => {
      const text = character.repeat(3000)
      limit(pushBody({ ...message, text }, tag))
      const body = saying(text)
      expect(body.endsWith('…')).toBe(true)
      const kept = body.slice(0, -1)
      expect(kept).toBe(character.repeat(kept.length / character.length))
      expect(kept.length).toBeGreaterThan(0)
    },
  )

  test('or any other: within the limit, its beginning, in whole characters', () => {
    const word = fc.oneof(
      fc.string({ unit: 'grapheme', maxLength: 12 }),
      fc.string({ unit: 'binary', maxLength: 200 }),
      fc.constantFrom('🔋', '½', '25 %.', '\n', '  '),
    )
    fc.assert(
      fc.property(fc.array(word, { maxLength: 400, size: 'max' }), (words) => {
        const text = words.join(' ')
        const octets = pushBody({ ...message, text }, tag)
        limit(octets)
        expect(isDeclarative(octets)).toBe(true)
        const body = read(octets).notification.body
        if (body === text) return
        expect(body.endsWith('…')).toBe(true)
        expect(text.startsWith(body.slice(0, -1))).toBe(true)
        expect(body).not.toMatch(/\p{Surrogate}/u)
      }),
    )
  })

  test('with half a character in it still goes out', () => {
    const octets = pushBody({ ...message, text: '\ud83d '.repeat(2000) }, tag)
    limit(octets)
    expect(isDeclarative(octets)).toBe(true)
  })
})

test('names that look like markup or JSON stay what they are', () => {
  const title = '<b>*_x","silent":true'
  const text = '</script> & "quoted" \\u0000 '
  expect(read(pushBody({ ...message, title, text }, tag)).notification).toMatchObject({
    title,
    body: text,
    silent: false,
  })
})
