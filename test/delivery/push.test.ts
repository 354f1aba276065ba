import { createECDH } from 'node:crypto'
import * as fc from 'fast-check'
import ece from 'http_ece'
import { describe, expect, test, vi } from 'vitest'
import type { PersonalMessage, Settled } from '../../src/delivery/channel.ts'
import { checkSubscription, sendPush, settlePush } from '../../src/delivery/push.ts'
import type { PushBody } from '../../src/delivery/pushBody.ts'
import { asInstant } from '../../src/plan/index.ts'

const at = (iso: string) => asInstant(Date.parse(iso))

// The receiver of RFC 8291, Appendix A.
const receiverPrivate = 'q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94'
const target = {
  kind: 'push',
  endpoint: 'https://push.example.net/push/JzLQ3raZJfFBR0aqvOMsLrt54w4rJUsV',
  p256dh: 'BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4',
  auth: 'BTBZMqHH6r4Tts7J_aSIgg',
} as const
// The pair of RFC 7515, A.3.
const vapid = {
  publicKey:
    'BH_Nzidw9sRdQYPL7m_bS3tYBzM1e-nvE7rPbjx70VRFx_FEzRu9m36HLN_tue659LNpXW6pCyStikYjKIWI5a0',
  privateKey: 'jpsQnnGQmL-YBIffH1136cspYG6-0iY7X1fCE9-E9LI',
  subject: 'mailto:push@example.com',
}
const message: PersonalMessage = {
  id: 'msg_h1_hold-e1-1_0',
  at: at('2027-01-14T20:13:00Z'),
  key: 'hold-e1-1',
  kind: 'hold',
  eventId: 'e1',
  text: 'Hold by 16:28, or as soon as it shows 25 %.',
  dueAt: at('2027-01-14T20:13:00Z'),
  uselessAfter: at('2027-01-14T21:25:00Z'),
  repeat: 0,
  page: 'https://holdbell.example/h/h1/plan',
  title: 'Terraced house 🔋',
  taps: [{ label: 'Done', does: 'done' }],
  answerUrl: 'https://holdbell.example/h/h1/answer/hold-e1-1',
  urgent: true,
}
const now = at('2027-01-14T20:13:05.700Z')

type Call = { url: string; init: RequestInit }

/** A push service that answers with `answer`, and what it was sent. */
function service(answer: () => Response | Promise<Response>) {
  const calls: Call[] = []
  const fetch = (async (url: string, init: RequestInit) => {
    calls.push({ url, init })
    return answer()
  }) as unknown as typeof globalThis.fetch
  return { calls, fetch }
}

// Not every status can be made with `new Response`.
const status = (code: number, headers: Record<string, string> = {}) =>
  ({ status: code, headers: new Headers(headers), body: null }) as unknown as Response

async function sent(changed: Partial<PersonalMessage> = {}, when = now) {
  const { calls, fetch } = service(() => status(201))
  const outcome = await sendPush(target, { ...message, ...changed }, { fetch, now: when, vapid })
  return { ...requestOf(calls[0]), outcome }
}

async function settled(changed: Partial<Settled> = {}, when = now) {
  const { calls, fetch } = service(() => status(201))
  const over = { handle: 'AAECAw', message, text: 'Held by Ada at 15:40.', ...changed }
  const outcome = await settlePush(target, over, { fetch, now: when, vapid })
  return { ...requestOf(calls[0]), outcome }
}

function requestOf(call: Call | undefined) {
  const headers = new Headers(call?.init.headers)
  const privateKey = createECDH('prime256v1')
  privateKey.setPrivateKey(Buffer.from(receiverPrivate, 'base64url'))
  const octets = Buffer.from(call?.init.body as Uint8Array)
  const opened = ece.decrypt(octets, { version: 'aes128gcm', privateKey, authSecret: target.auth })
  const { notification } = JSON.parse(opened.toString()) as PushBody
  return {
    url: call?.url,
    init: call?.init,
    header: (name: string) => headers.get(name),
    notification,
  }
}

const outcomeWhen = (answer: () => Response | Promise<Response>) =>
  sendPush(target, message, { fetch: service(answer).fetch, now, vapid })

const failing = (error: unknown) =>
  outcomeWhen(() => {
    throw error
  })

describe('the request (RFC 8030 §5)', () => {
  test('is a POST to the endpoint that its receiver alone can read', async () => {
    const { url, init, header, notification } = await sent()
    expect(url).toBe(target.endpoint)
    expect(init).toMatchObject({ method: 'POST', redirect: 'manual' })
    expect(header('content-encoding')).toBe('aes128gcm')
    expect(header('content-type')).toBe('application/octet-stream')
    expect(notification).toMatchObject({ title: 'Terraced house 🔋', body: message.text })
  })

  test('names its sender to this push service', async () => {
    const authorization = (await sent()).header('authorization') ?? ''
    expect(authorization).toMatch(new RegExp(`^vapid t=[\\w.-]+, k=${vapid.publicKey}$`))
    const claims = authorization.split('.')[1] ?? ''
    expect(JSON.parse(Buffer.from(claims, 'base64url').toString())).toMatchObject({
      aud: 'https://push.example.net',
      sub: vapid.subject,
    })
  })

  test('is given up after 8 s', async () => {
    const timeout = vi.spyOn(AbortSignal, 'timeout')
    await outcomeWhen(() => status(201))
    expect(timeout).toHaveBeenCalledWith(8000)
    timeout.mockRestore()
  })

  test('stays within the 4096 octets that a push service has to take (§7.2)', async () => {
    const { init } = await sent({ text: '🔋 '.repeat(3000) })
    expect(Buffer.from(init?.body as Uint8Array).length).toBeLessThanOrEqual(3000 + 103)
  })

  test('urgent ones are of high urgency, others of normal (§5.3)', async () => {
    expect((await sent()).header('urgency')).toBe('high')
    expect((await sent({ urgent: false })).header('urgency')).toBe('normal')
  })
})

describe('TTL (RFC 8030 §5.2: seconds, required)', () => {
  const ttl = async (uselessAfter: number) =>
    (await sent({ uselessAfter: asInstant(uselessAfter) })).header('ttl')

  test.each([
    ['a minute', 60_000, '60'],
    ['a second', 1000, '1'],
    ['less than a second', 999.9, '0'],
    ['nothing', 0, '0'],
    ['less than nothing', -3_600_000, '0'],
    // "larger than can be represented": 2^31.
    ['for ever', Infinity, '2147483648'],
  ])('%s left', async (_, left, seconds) => {
    expect(await ttl(now + left)).toBe(seconds)
  })

  test('is never negative, never beyond the deadline', async () => {
    await fc.assert(
      fc.asyncProperty(fc.double({ min: -1e9, max: 1e9, noNaN: true }), async (left) => {
        const header = await ttl(now + left)
        expect(header).toMatch(/^\d+$/)
        expect(Number(header) * 1000).toBeLessThanOrEqual(Math.max(0, left) + 0.001)
      }),
      { numRuns: 30 },
    )
  })
})

describe('Topic (RFC 8030 §5.4: at most 32 characters of base64url)', () => {
  const topic = async (changed: Partial<PersonalMessage>) => (await sent(changed)).header('topic')
  const VALID = /^[A-Za-z0-9_-]{1,32}$/

  test.each([
    ['A'.repeat(32), true],
    ['A'.repeat(33), false],
    ['hold.1', false],
    ['a=', false],
    ['', false],
  ])('the rule used here: %j is %s', (text, valid) => expect(VALID.test(text)).toBe(valid))

  test('is valid whatever the event is called', async () => {
    await fc.assert(
      fc.asyncProperty(fc.string({ unit: 'binary' }), async (eventId) => {
        expect(await topic({ eventId })).toMatch(VALID)
      }),
      { numRuns: 30 },
    )
  })

  test('is that of the request before: another wording, a nudge, a hold that changed', async () => {
    const first = await topic({})
    expect(await topic({ key: 'hold-e1-2', repeat: 3, text: 'Hold now.', at: now })).toBe(first)
  })

  test('differs between kinds, events and households', async () => {
    const changes = [
      {},
      { kind: 'release' },
      { eventId: 'e2' },
      { page: 'https://holdbell.example/h/h2/plan' },
      { kind: 'hold', eventId: 'e1-e1' },
    ] as const
    const topics = await Promise.all(changes.map(topic))
    expect(new Set(topics).size).toBe(changes.length)
  })

  test('is the notification’s tag, and the handle to settle it by', async () => {
    const { header, notification, outcome } = await sent()
    expect(notification.tag).toBe(header('topic'))
    expect(outcome).toEqual({ kind: 'accepted', handle: header('topic') })
  })
})

describe('settling', () => {
  test('replaces the message, undelivered or shown, without a sound', async () => {
    const first = await sent()
    const handle = first.header('topic') ?? ''
    const { header, notification, outcome } = await settled({ handle })
    expect(header('topic')).toBe(handle)
    expect(header('urgency')).toBe('normal')
    expect(notification).toMatchObject({
      body: 'Held by Ada at 15:40.',
      tag: first.notification.tag,
      silent: true,
      renotify: false,
      actions: [],
    })
    expect(outcome).toEqual({ kind: 'accepted' })
  })

  test('is kept while the request would have helped, and for an hour at least', async () => {
    expect((await settled()).header('ttl')).toBe(String(72 * 60 - 6))
    expect((await settled({}, asInstant(message.uselessAfter - 60_000))).header('ttl')).toBe('3600')
    expect((await settled({}, asInstant(message.uselessAfter + 60_000))).header('ttl')).toBe('3600')
  })
})

describe('the outcome', () => {
  // RFC 8030 §5: 201; 202 with a receipt (§5.1). 200 and 204 as some services do (common practice).
  test.each([200, 201, 202, 204])('%i is accepted', async (code) => {
    expect(await outcomeWhen(() => status(code))).toMatchObject({ kind: 'accepted' })
  })

  // §7.3: 404. 410 as push services use it (common practice, no source).
  test.each([404, 410])('%i is gone', async (code) => {
    expect(await outcomeWhen(() => status(code))).toEqual({ kind: 'gone', note: `status ${code}` })
  })

  // §7.2: 413; §5.2 to §5.4: 400.
  test.each([400, 413])('%i is refused', async (code) => {
    expect(await outcomeWhen(() => status(code))).toEqual({
      kind: 'refused',
      note: `status ${code}`,
    })
  })

  // RFC 8292 §2 to §4: 401 for a missing token, 403 for one that is not right.
  test.each([401, 403])('%i is refused, and says of what', async (code) => {
    expect(await outcomeWhen(() => status(code))).toEqual({
      kind: 'refused',
      note: `status ${code}: our VAPID token or key was not taken`,
    })
  })

  // §8.4: 429 with Retry-After.
  test.each([
    [429, '5', 5000],
    [503, 'Thu, 14 Jan 2027 20:14:05 GMT', 59_300],
    [500, 'soon', null],
    [502, '', null],
    [504, '0', 0],
    [408, '1', 1000],
  ])('%i with Retry-After %j: again after %s ms', async (code, after, afterMs) => {
    expect(await outcomeWhen(() => status(code, { 'retry-after': after }))).toEqual({
      kind: 'try-again',
      afterMs,
      note: `status ${code}`,
    })
  })

  test.each([0, 100, 301, 302, 303, 304, 307, 308])(
    '%i is to be tried again and leads nowhere',
    async (code) => {
      const { calls, fetch } = service(() =>
        status(code, { location: 'https://elsewhere.example/', 'retry-after': '9' }),
      )
      expect(await sendPush(target, message, { fetch, now, vapid })).toEqual({
        kind: 'try-again',
        afterMs: null,
        note: `status ${code}`,
      })
      expect(calls).toHaveLength(1)
    },
  )

  test('silence is doubtful: it may have arrived', async () => {
    expect(await failing(new DOMException('late', 'TimeoutError'))).toEqual({
      kind: 'try-again',
      afterMs: null,
      note: 'no answer in time',
      doubtful: true,
    })
  })

  test('no connection is to be tried again', async () => {
    const outcome = await failing(new TypeError('fetch failed'))
    expect(outcome).toMatchObject({ kind: 'try-again', afterMs: null, note: 'no connection' })
    expect(outcome).toHaveProperty('doubtful', true)
  })

  test('leaves no answer unread', async () => {
    const response = new Response('some text')
    await outcomeWhen(() => response)
    expect(response.body?.locked === false && (await response.body.getReader().read()).done).toBe(
      true,
    )
  })

  test('of a subscription that cannot be: refused, and nothing is sent', async () => {
    const { calls, fetch } = service(() => status(201))
    const offCurve = { ...target, p256dh: target.p256dh.replace(/iw4$/, 'iwA') }
    expect(await sendPush(offCurve, message, { fetch, now, vapid })).toEqual({
      kind: 'refused',
      note: 'subscription: not_on_curve',
    })
    expect(calls).toEqual([])
  })

  test('no note tells the text, the endpoint or a key', async () => {
    const secrets = [
      message.text,
      message.title,
      message.answerUrl,
      target.endpoint,
      target.p256dh,
      target.auth,
      vapid.privateKey,
      vapid.publicKey,
    ]
    const said = JSON.stringify([
      await failing(new TypeError(`fetch failed: ${target.endpoint} ${message.text}`)),
      await failing(new DOMException(target.endpoint, 'TimeoutError')),
      await outcomeWhen(() => status(403, { reason: target.auth })),
      await outcomeWhen(() => status(500)),
      await sendPush({ ...target, auth: vapid.privateKey }, message, {
        fetch: service(() => status(201)).fetch,
        now,
        vapid,
      }),
    ])
    for (const secret of secrets) expect(said).not.toContain(secret)
  })
})

describe('a subscription, as a browser gives it', () => {
  const { endpoint, p256dh, auth } = target

  test('becomes a target', async () => {
    expect(await checkSubscription({ endpoint, p256dh, auth })).toEqual({ ok: true, value: target })
  })

  test('is refused with what is wrong', async () => {
    expect(await checkSubscription({ endpoint, p256dh, auth: 'AAAA' })).toEqual({
      ok: false,
      refusal: { reason: 'wrong_length', field: 'auth', octets: 3, wanted: 16 },
    })
    expect(await checkSubscription({ endpoint, p256dh: `B${'A'.repeat(86)}`, auth })).toEqual({
      ok: false,
      refusal: { reason: 'not_on_curve' },
    })
  })
})
