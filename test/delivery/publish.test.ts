import * as fc from 'fast-check'
import { describe, expect, test, vi } from 'vitest'
import * as z from 'zod'
import {
  checkToken,
  checkTopic,
  newTopic,
  sendPublish,
  settlePublish,
} from '../../src/delivery/index.ts'
import type { PersonalMessage } from '../../src/delivery/index.ts'
import type { PublishTarget } from '../../src/delivery/publish.ts'
import { shortened } from '../../src/delivery/shortened.ts'
import { asInstant } from '../../src/plan/index.ts'

// Names, kinds and limits as the protocol's published description has them (OpenAPI: `PublishMessage`, `Action`;
// documentation: "Publish as JSON", "Action buttons", "Updating + deleting notifications", "Limitations").
// Strict: a name that is not in it is a slip of ours.
const octets = (text: string) => new TextEncoder().encode(text).length
const PublishedAction = z.strictObject({
  action: z.enum(['view', 'http', 'broadcast']),
  label: z.string().min(1),
  url: z.url(),
  method: z.enum(['GET', 'POST', 'PUT']),
  headers: z.record(z.string(), z.string()),
  body: z.string(),
  clear: z.boolean(),
})
const PublishedMessage = z.strictObject({
  topic: z.string().regex(/^[-_A-Za-z0-9]{1,64}$/),
  title: z.string().min(1),
  message: z
    .string()
    .min(1)
    .refine((text) => octets(text) <= 4096),
  priority: z.int().min(1).max(5),
  click: z.url(),
  actions: z.array(PublishedAction).max(3),
  sequence_id: z.string().regex(/^[-_A-Za-z0-9]{1,64}$/),
})

const at = (iso: string) => asInstant(Date.parse(iso))
const now = at('2027-01-14T20:13:05.700Z')

const target: PublishTarget = {
  kind: 'publish',
  server: 'https://topics.example.org/',
  topic: 'k7p2m9',
  token: null,
}
const message: PersonalMessage = {
  // As long as deliveries' ids come.
  id: `msg_${'h'.repeat(43)}_hold-e1-1_0_${'c'.repeat(21)}`,
  at: at('2027-01-14T20:13:00Z'),
  key: 'hold-e1-1',
  kind: 'hold',
  eventId: 'e1',
  text: 'Hold by 16:28, or as soon as it shows 25 %.',
  dueAt: at('2027-01-14T20:13:00Z'),
  uselessAfter: at('2027-01-14T21:25:00Z'),
  repeat: 0,
  page: 'https://holdbell.example/plan',
  title: 'Terraced house',
  taps: [
    { label: 'Held', does: 'done' },
    { label: 'In 10 minutes', does: 'later' },
  ],
  answerUrl: 'https://holdbell.example/a/h.k',
  urgent: true,
}

type Answer = () => Response | Promise<Response>

/** A server that answers with `answer`, and what it was sent. */
function server(answer: Answer) {
  const calls: { url: string; init: RequestInit }[] = []
  const fetch = (async (url: string, init: RequestInit) => {
    calls.push({ url, init })
    return answer()
  }) as unknown as typeof globalThis.fetch
  return { calls, fetch }
}

/** A server that shows each message it took, as the published `Message` is; older ones do not know of sequences. */
const shows = (sequences: boolean) => {
  const calls: { url: string; init: RequestInit }[] = []
  const fetch = (async (url: string, init: RequestInit) => {
    calls.push({ url, init })
    const { sequence_id, ...rest } = JSON.parse(String(init.body))
    const known = sequences ? { sequence_id } : {}
    return Response.json({
      id: 'hwQ2YpKdmg12',
      time: 1799957585,
      event: 'message',
      ...known,
      ...rest,
    })
  }) as unknown as typeof globalThis.fetch
  return { calls, fetch }
}

async function sent(change: Partial<PersonalMessage> = {}, to: Partial<PublishTarget> = {}) {
  const { calls, fetch } = server(() => new Response('{}'))
  await sendPublish({ ...target, ...to }, { ...message, ...change }, { fetch, now })
  const { url, init } = calls[0]!
  return { url, init, headers: new Headers(init.headers), body: JSON.parse(String(init.body)) }
}

const outcomeWhen = (answer: Answer) =>
  sendPublish(target, message, { fetch: server(answer).fetch, now })

describe('what is published', () => {
  test('in the published names, and nothing else', async () => {
    const { body } = await sent()
    expect(PublishedMessage.parse(body)).toEqual({
      topic: 'k7p2m9',
      title: 'Terraced house',
      message: 'Hold by 16:28, or as soon as it shows 25 %.',
      priority: 4,
      click: 'https://holdbell.example/a/h.k',
      actions: [
        {
          action: 'http',
          label: 'Held',
          url: 'https://holdbell.example/a/h.k',
          method: 'POST',
          headers: { 'content-type': 'application/json' },
          body: '{"do":"done"}',
          clear: true,
        },
        {
          action: 'http',
          label: 'In 10 minutes',
          url: 'https://holdbell.example/a/h.k',
          method: 'POST',
          headers: { 'content-type': 'application/json' },
          body: '{"do":"later"}',
          clear: true,
        },
      ],
      sequence_id: expect.any(String),
    })
  })

  test('a POST to the server’s root, whatever path was given', async () => {
    for (const address of ['https://topics.example.org', 'https://topics.example.org/k7p2m9?a=b']) {
      const { url, init, headers } = await sent({}, { server: address })
      expect(url).toBe('https://topics.example.org/')
      expect(init.method).toBe('POST')
      expect(init.redirect).toBe('manual')
      expect(init.signal).toBeInstanceOf(AbortSignal)
      expect(headers.get('content-type')).toBe('application/json')
    }
  })

  // RFC 6750 §2.1.
  test('with the token as a bearer’s, and without one with no authorization at all', async () => {
    expect((await sent({}, { token: 'tk_a' })).headers.get('authorization')).toBe('Bearer tk_a')
    expect((await sent()).headers.has('authorization')).toBe(false)
  })

  test('a household called <b>*_x is called so: nothing is markup', async () => {
    const { body } = await sent({ title: '<b>*_x', text: '<b>*_x & {{.}} \\n' })
    expect(body).toMatchObject({ title: '<b>*_x', message: '<b>*_x & {{.}} \\n' })
    expect(body).not.toHaveProperty('markdown')
  })

  // 3 is the usual priority, 4 high, 5 the highest ("Message priority").
  test.each([
    [{ urgent: true, kind: 'hold', repeat: 0 }, 4],
    [{ urgent: true, kind: 'hold', repeat: 1 }, 5],
    [{ urgent: true, kind: 'release', repeat: 0 }, 5],
    [{ urgent: true, kind: 'restore', repeat: 0 }, 4],
    [{ urgent: true, kind: 'restore', repeat: 2 }, 5],
    [{ urgent: false, kind: 'reading', repeat: 0 }, 3],
    [{ urgent: false, kind: 'reading', repeat: 2 }, 3],
    [{ urgent: false, kind: 'test', repeat: 0 }, 3],
  ] as const)('%j has priority %i', async (change, priority) => {
    expect((await sent(change)).body.priority).toBe(priority)
  })

  test('three buttons at most', async () => {
    const tap = { label: 'Held', does: 'done' } as const
    expect((await sent({ taps: [tap, tap, tap, tap] })).body.actions).toHaveLength(3)
    expect((await sent({ taps: [] })).body.actions).toEqual([])
  })

  test('any text stays within the limits', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.string({ unit: 'binary', minLength: 1, maxLength: 9000, size: 'max' }),
        fc.string({ unit: 'grapheme', minLength: 1, maxLength: 500, size: 'max' }),
        async (text, title) => {
          const { body } = await sent({ text, title })
          expect(() => PublishedMessage.parse(body)).not.toThrow()
          expect(octets(body.title)).toBeLessThanOrEqual(200)
        },
      ),
      { numRuns: 50 },
    )
  })

  test('a repeat of an attempt takes the same place, another delivery has its own', async () => {
    const first = (await sent()).body.sequence_id
    expect((await sent({ text: 'Hold now.' })).body.sequence_id).toBe(first)
    expect((await sent({ id: 'msg_h_hold-e1-1_1' })).body.sequence_id).not.toBe(first)
  })
})

describe('the outcome', () => {
  test('accepted, with a handle where the server knows of sequences', async () => {
    const { calls, fetch } = shows(true)
    const outcome = await sendPublish(target, message, { fetch, now })
    const { sequence_id } = JSON.parse(String(calls[0]!.init.body))
    expect(outcome).toEqual({ kind: 'accepted', handle: sequence_id })
  })

  test('accepted, without a handle where it does not', async () => {
    const { fetch } = shows(false)
    expect(await sendPublish(target, message, { fetch, now })).toEqual({ kind: 'accepted' })
  })

  test.each(['', 'ok', 'null', '[]', '{"sequence_id":7}', '{"sequence_id":"other"}', '{'])(
    'accepted, with %j for an answer',
    async (body) => {
      expect(await outcomeWhen(() => new Response(body))).toEqual({ kind: 'accepted' })
    },
  )

  test('an answer that never ends is let go, and is accepted', async () => {
    const cancelled = vi.fn()
    const endless = new ReadableStream({
      pull: (controller) => controller.enqueue(new Uint8Array(10_000)),
      cancel: cancelled,
    })
    expect(await outcomeWhen(() => new Response(endless))).toEqual({ kind: 'accepted' })
    expect(cancelled).toHaveBeenCalledOnce()
  })

  test('an answer that breaks off after its status was accepted', async () => {
    const broken = new ReadableStream({
      pull: () => Promise.reject(new DOMException('late', 'TimeoutError')),
    })
    expect(await outcomeWhen(() => new Response(broken))).toEqual({ kind: 'accepted' })
  })

  // The protocol's errors: 400xx a message that is none, 40101 and 40301 a topic that is protected, 413xx too large.
  test.each([400, 401, 403, 413])('%i will never be taken', async (status) => {
    expect(await outcomeWhen(() => new Response('{}', { status }))).toMatchObject({
      kind: 'refused',
      note: expect.stringContaining(`status ${status}`),
    })
  })

  // RFC 9110 §15.5.11.
  test('410 is gone', async () => {
    const outcome = await outcomeWhen(() => new Response(null, { status: 410 }))
    expect(outcome).toEqual({ kind: 'gone', note: 'status 410' })
  })

  // 50701 is for topics of another kind: nobody has subscribed yet.
  test.each([
    [301, null],
    [404, null],
    [405, null],
    [408, null],
    [429, 30_000],
    [500, null],
    [502, 30_000],
    [503, null],
    [504, 30_000],
    [507, null],
  ])('%i is to be tried again, in %j', async (status, afterMs) => {
    const outcome = await outcomeWhen(() => new Response(null, { status }))
    expect(outcome).toEqual({ kind: 'try-again', afterMs, note: `status ${status}` })
  })

  test('429 obeys Retry-After exactly', async () => {
    const headers = { 'retry-after': '61' }
    expect(await outcomeWhen(() => new Response('{}', { status: 429, headers }))).toMatchObject({
      kind: 'try-again',
      afterMs: 61_000,
    })
  })

  test('silence is doubtful, and so is a connection that breaks', async () => {
    const failing = (error: unknown) =>
      outcomeWhen(() => {
        throw error
      })
    expect(await failing(new DOMException('', 'TimeoutError'))).toEqual({
      kind: 'try-again',
      afterMs: null,
      note: 'no answer in time',
      doubtful: true,
    })
    expect(await failing(new TypeError('fetch failed'))).toEqual({
      kind: 'try-again',
      afterMs: null,
      note: 'no connection',
      doubtful: true,
    })
  })

  test('no note tells the topic, the token or the server', async () => {
    const secret = { ...target, topic: 'topicsecret', token: 'tokensecret' }
    for (const status of [400, 401, 403, 404, 410, 413, 429, 500]) {
      const { fetch } = server(() => new Response('topicsecret', { status }))
      const outcome = JSON.stringify(await sendPublish(secret, message, { fetch, now }))
      expect(outcome).not.toMatch(/secret|example/)
    }
  })

  test('the body of a refusal is let go', async () => {
    const cancel = vi.fn()
    const body = new ReadableStream({ cancel }, { highWaterMark: 0 })
    await outcomeWhen(() => new Response(body, { status: 500 }))
    expect(cancel).toHaveBeenCalledOnce()
  })
})

describe('settled', () => {
  test('takes the place of the message: no sound, no buttons', async () => {
    const { calls, fetch } = shows(true)
    const outcome = await sendPublish(target, message, { fetch, now })
    const handle = outcome.kind === 'accepted' ? (outcome.handle ?? '') : ''
    const text = 'Held at 16:20 by Sam.'
    await settlePublish({ ...target, token: 'tk_a' }, { handle, message, text }, { fetch, now })
    const [first, second] = calls.map(({ init }) => JSON.parse(String(init.body)))
    expect(PublishedMessage.parse(second)).toMatchObject({
      topic: 'k7p2m9',
      title: 'Terraced house',
      message: 'Held at 16:20 by Sam.',
      // Low: neither sound nor vibration ("Message priority").
      priority: 2,
      actions: [],
      sequence_id: first.sequence_id,
    })
    expect(new Headers(calls[1]!.init.headers).get('authorization')).toBe('Bearer tk_a')
  })
})

describe('a topic', () => {
  test.each(['a', '-_A9', 'x'.repeat(64)])('%j can be one', (topic) => {
    expect(checkTopic(topic)).toEqual({ ok: true, value: topic })
  })

  test.each([
    ['', { reason: 'length', length: 0, longest: 64 }],
    ['x'.repeat(65), { reason: 'length', length: 65, longest: 64 }],
    ['a/b', { reason: 'character', character: '/' }],
    ['a,b', { reason: 'character', character: ',' }],
    ['a b', { reason: 'character', character: ' ' }],
    ['a\n', { reason: 'character', character: '\n' }],
    ['küche', { reason: 'character', character: 'ü' }],
    ['🔋', { reason: 'character', character: '🔋' }],
  ])('%j cannot', (topic, refusal) => {
    expect(checkTopic(topic)).toEqual({ ok: false, refusal })
  })

  test('made of 128 random bits can be one, tells them all, and is easy to type', () => {
    const bits = fc.uint8Array({ minLength: 16, maxLength: 16 })
    fc.assert(
      fc.property(bits, bits, (one, other) => {
        const topic = newTopic(one)
        expect(topic).toMatch(/^[a-km-np-z2-9]{26}$/)
        expect(checkTopic(topic).ok).toBe(true)
        expect(newTopic(other) === topic).toBe(Buffer.from(one).equals(Buffer.from(other)))
      }),
    )
    expect(newTopic(new Uint8Array(16))).toBe('a'.repeat(26))
    // 128 bits in fives: 25 of them all ones, and three ones with two noughts.
    expect(newTopic(new Uint8Array(16).fill(255))).toBe(`${'9'.repeat(25)}6`)
  })

  test.each([0, 15, 17])('of %i octets is a bug', (length) => {
    expect(() => newTopic(new Uint8Array(length))).toThrow(RangeError)
  })
})

// RFC 6750 §2.1: b64token.
describe('a token', () => {
  test.each(['tk_AgQdq7mVBoFD37zQVN29RhuMzNIz2', 'mF_9.B5f-4.1JqM', 'a+/~=='])(
    '%j can be one',
    (token) => expect(checkToken(token)).toEqual({ ok: true, value: token }),
  )

  test.each(['', ' ', 'a b', 'a\r\nx: y', 'ü', '=', 'a=b', 'Bearer a', 'x'.repeat(513)])(
    '%j cannot, and the refusal does not tell it',
    (token) => {
      const checked = checkToken(token)
      expect(checked.ok).toBe(false)
      if (token.length > 2) expect(JSON.stringify(checked)).not.toContain(token)
    },
  )
})

describe('shortened', () => {
  test('ends at a word, with a mark', () => {
    expect(shortened('Hold by 16:28 today.', 20)).toBe('Hold by 16:28 today.')
    expect(shortened('Hold by 16:28 today.', 19)).toBe('Hold by 16:28…')
    expect(shortened('Hold by 16:28 today.', 10)).toBe('Hold by…')
    expect(shortened('Hold by 16:28 today.', 6)).toBe('Hol…')
    expect(shortened('👩‍👩‍👧👩‍👩‍👧', 21)).toBe('👩‍👩‍👧…')
  })

  test('never longer than asked, the start of the text, and whole if it fits', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: 'grapheme', maxLength: 60 }),
        fc.integer({ min: 3, max: 80 }),
        (text, most) => {
          const short = shortened(text, most)
          expect(octets(short)).toBeLessThanOrEqual(most)
          if (octets(text) <= most) expect(short).toBe(text)
          else expect(text.startsWith(short.slice(0, -1))).toBe(true)
        },
      ),
    )
  })
})
