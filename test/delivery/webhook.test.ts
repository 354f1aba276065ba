import { Webhook } from 'standardwebhooks'
import { describe, expect, test, vi } from 'vitest'
import { rotated, secretsNow, sendWebhook } from '../../src/delivery/index.ts'
import type { OutgoingMessage } from '../../src/delivery/index.ts'
import { webhookBody } from '../../src/delivery/webhook.ts'
import { retryAfterMs } from '../../src/delivery/http.ts'
import { asInstant } from '../../src/plan/index.ts'

const at = (iso: string) => asInstant(Date.parse(iso))

const message: OutgoingMessage = {
  id: 'dlv_7',
  at: at('2027-01-14T20:13:00Z'),
  key: 'hold-e1-1',
  kind: 'hold',
  eventId: 'e1',
  text: 'Hold by 16:28, or as soon as it shows 25 %.',
  dueAt: at('2027-01-14T20:13:00Z'),
  uselessAfter: asInstant(Date.parse('2027-01-14T21:25:00Z') + 0.4),
  repeat: 0,
  page: 'https://holdbell.example/',
}
const target = {
  url: 'https://hooks.example.com/holdbell',
  secret: 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw',
}
const now = at('2027-01-14T20:13:05.700Z')

type Call = { url: string; init: RequestInit }

/** A receiver that answers with `answer`, and what it was sent. */
function receiver(answer: () => Response | Promise<Response>) {
  const calls: Call[] = []
  const fetch = (async (url: string, init: RequestInit) => {
    calls.push({ url, init })
    return answer()
  }) as unknown as typeof globalThis.fetch
  return { calls, fetch }
}

const header = (init: RequestInit | undefined, name: string) => new Headers(init?.headers).get(name)

const outcomeWhen = (answer: () => Response | Promise<Response>) =>
  sendWebhook(target, message, { fetch: receiver(answer).fetch, now })

const failing = (error: unknown) =>
  outcomeWhen(() => {
    throw error
  })

// Not every status can be made with `new Response`.
const answer = (status: number, headers: Record<string, string> = {}) =>
  ({ status, headers: new Headers(headers), body: null }) as unknown as Response

describe('the request', () => {
  test('is a signed POST that the specification’s own library accepts', async () => {
    const { calls, fetch } = receiver(() => new Response('ok'))
    await sendWebhook(target, message, { fetch, now })
    const { url, init } = calls[0]!
    expect(url).toBe(target.url)
    expect(init.method).toBe('POST')
    const headers = init.headers as Record<string, string>
    expect(headers).toMatchObject({
      'content-type': 'application/json',
      'webhook-id': 'dlv_7',
      'webhook-timestamp': String(Date.parse('2027-01-14T20:13:05Z') / 1000),
    })
    vi.useFakeTimers({ toFake: ['Date'], now })
    const read = new Webhook(target.secret).verify(String(init.body), headers)
    vi.useRealTimers()
    // The form that the HTTP contract names.
    expect(read).toEqual({
      type: 'reminder.hold',
      timestamp: '2027-01-14T20:13:00Z',
      data: {
        key: 'hold-e1-1',
        kind: 'hold',
        eventId: 'e1',
        text: 'Hold by 16:28, or as soon as it shows 25 %.',
        dueAt: '2027-01-14T20:13:00Z',
        uselessAfter: '2027-01-14T21:25:00Z',
        repeat: 0,
        page: 'https://holdbell.example/',
      },
    })
  })

  test('follows no redirect and can be given up', async () => {
    const { calls, fetch } = receiver(() => new Response('ok'))
    await sendWebhook(target, message, { fetch, now })
    expect(calls[0]!.init.redirect).toBe('manual')
    expect(calls[0]!.init.signal).toBeInstanceOf(AbortSignal)
  })

  test('gives up after 8 s', async () => {
    const timeout = vi.spyOn(AbortSignal, 'timeout')
    await outcomeWhen(() => new Response('ok'))
    expect(timeout).toHaveBeenCalledWith(8000)
    timeout.mockRestore()
  })

  test('a repeat has the same id and octets, and its own timestamp', async () => {
    const { calls, fetch } = receiver(() => new Response('no', { status: 500 }))
    await sendWebhook(target, message, { fetch, now })
    await sendWebhook(target, message, { fetch, now: asInstant(now + 15_000) })
    const [first, second] = calls.map(({ init }) => init)
    expect(second?.body).toBe(first?.body)
    expect(header(second, 'webhook-id')).toBe(header(first, 'webhook-id'))
    const seconds = [first, second].map((init) => Number(header(init, 'webhook-timestamp')))
    expect(seconds[1]! - seconds[0]!).toBe(15)
    expect(header(second, 'webhook-signature')).not.toBe(header(first, 'webhook-signature'))
  })

  test('calls fetch as a plain function: the platform’s refuses another `this`', async () => {
    const owners: unknown[] = []
    const fetch = function (this: unknown) {
      owners.push(this)
      return Promise.resolve(new Response('ok'))
    } as unknown as typeof globalThis.fetch
    await sendWebhook(target, message, { fetch, now })
    expect(owners).toEqual([undefined])
  })

  test('stays far below the 20 kB that the specification suggests', () => {
    const longest = { ...message, text: 'ü'.repeat(2000) }
    expect(new TextEncoder().encode(webhookBody(longest)).length).toBeLessThan(20_000)
  })
})

describe('the outcome (Standard Webhooks 1.0: 2xx is success, 3xx failure, 410 the end)', () => {
  test.each([200, 201, 202, 204, 299])('%i is accepted', async (status) => {
    expect(await outcomeWhen(() => answer(status))).toEqual({ kind: 'accepted' })
  })

  test('410 is gone', async () => {
    expect(await outcomeWhen(() => answer(410, { 'retry-after': '5' }))).toEqual({
      kind: 'gone',
      note: 'status 410',
    })
  })

  test.each([0, 100, 301, 302, 303, 307, 308, 400, 401, 403, 404, 413, 500, 503])(
    '%i is to be tried again',
    async (status) => {
      expect(
        await outcomeWhen(() => answer(status, { location: 'https://elsewhere.example/' })),
      ).toEqual({
        kind: 'try-again',
        afterMs: null,
        note: `status ${status}`,
      })
    },
  )

  // The wait is our choice; that these three ask for one is the specification's.
  test.each([429, 502, 504])('%i, saying nothing else, slows us down', async (status) => {
    expect(await outcomeWhen(() => answer(status))).toEqual({
      kind: 'try-again',
      afterMs: 30_000,
      note: `status ${status}`,
    })
  })

  // Common among senders of Standard Webhooks, not in the specification.
  test.each([400, 429, 500, 302])('%i with abort-message is not to be repeated', async (status) => {
    const headers = { 'Webhook-Delivery': ' Abort-Message ', 'retry-after': '5' }
    expect(await outcomeWhen(() => answer(status, headers))).toEqual({
      kind: 'refused',
      note: `status ${status}, abort-message`,
    })
  })

  test('abort-message changes nothing about what was accepted, or is gone', async () => {
    const headers = { 'webhook-delivery': 'abort-message' }
    expect(await outcomeWhen(() => answer(204, headers))).toEqual({ kind: 'accepted' })
    expect(await outcomeWhen(() => answer(410, headers))).toMatchObject({ kind: 'gone' })
    expect(await outcomeWhen(() => answer(500, { 'webhook-delivery': 'abort' }))).toMatchObject({
      kind: 'try-again',
    })
  })

  test('a shorter Retry-After is obeyed, too, and one on a redirect is not', async () => {
    expect(await outcomeWhen(() => answer(429, { 'retry-after': '1' }))).toMatchObject({
      afterMs: 1000,
    })
    expect(await outcomeWhen(() => answer(302, { 'retry-after': '1' }))).toMatchObject({
      afterMs: null,
    })
  })

  test.each([429, 502, 503, 504])('%i obeys Retry-After exactly', async (status) => {
    expect(await outcomeWhen(() => answer(status, { 'retry-after': '120' }))).toMatchObject({
      kind: 'try-again',
      afterMs: 120_000,
    })
  })

  test('a time-out, a refused connection and an unknown name are outcomes', async () => {
    const none = { kind: 'try-again', afterMs: null }
    expect(await failing(new DOMException('', 'TimeoutError'))).toEqual({
      ...none,
      note: 'no answer in time',
      doubtful: true,
    })
    expect(await failing(new TypeError('fetch failed'))).toEqual({
      ...none,
      note: 'no connection',
      doubtful: true,
    })
    expect(await failing('boom')).toEqual({
      ...none,
      note: 'no connection',
      doubtful: true,
    })
  })

  test('a signal that was given up in truth is a time-out', async () => {
    const gone = AbortSignal.abort(new DOMException('late', 'TimeoutError'))
    expect(await failing(gone.reason)).toMatchObject({
      kind: 'try-again',
      note: 'no answer in time',
    })
  })

  test('the answer’s body is never read, only let go, even if that fails', async () => {
    for (const cancel of [() => undefined, () => Promise.reject(new Error('lost'))]) {
      const pull = vi.fn()
      const cancelled = vi.fn(cancel)
      const body = new ReadableStream({ pull, cancel: cancelled }, { highWaterMark: 0 })
      expect(await outcomeWhen(() => new Response(body))).toEqual({ kind: 'accepted' })
      expect(pull).not.toHaveBeenCalled()
      expect(cancelled).toHaveBeenCalledOnce()
    }
  })

  test('a broken secret is a bug, not an outcome', async () => {
    const { fetch, calls } = receiver(() => new Response('ok'))
    const sending = sendWebhook({ ...target, secret: '' }, message, { fetch, now })
    await expect(sending).rejects.toThrow(RangeError)
    expect(calls).toEqual([])
  })
})

describe('retryAfterMs', () => {
  // RFC 9110 §10.2.3 prints the first two, §5.6.7 the three forms of a date.
  const eve = at('1999-12-31T23:59:00Z')
  test.each([
    ['120', 120_000],
    ['Fri, 31 Dec 1999 23:59:59 GMT', 59_000],
    ['0', 0],
    [' 7 ', 7000],
  ])('%j', (field, ms) => expect(retryAfterMs(field, eve)).toBe(ms))

  const sunday = at('1994-11-06T08:49:00Z')
  test.each([
    'Sun, 06 Nov 1994 08:49:37 GMT',
    'Sunday, 06-Nov-94 08:49:37 GMT',
    'Sun Nov  6 08:49:37 1994',
  ])('%j, a form of HTTP-date', (field) => expect(retryAfterMs(field, sunday)).toBe(37_000))

  test('a date that has passed is now', () => {
    expect(retryAfterMs('Fri, 31 Dec 1999 23:59:59 GMT', now)).toBe(0)
  })

  test.each([null, '', 'soon', '-5', '1.5', '1e3', '9'.repeat(40), '2027-01-14T20:13:00Z'])(
    '%j says nothing',
    (field) => expect(retryAfterMs(field, now)).toBeNull(),
  )
})

// Standard Webhooks 1.0: a sender signs with the old and the new secret while the owner changes over. That
// it is for a day is our choice.
describe('a new secret', () => {
  const newSecret = 'whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD'
  const changed = rotated(target, newSecret, now)
  const HOURS = 3_600_000
  const after = (ms: number) => asInstant(now + ms)

  const readBy = async (secret: string, at: typeof now) => {
    const { calls, fetch } = receiver(() => new Response('ok'))
    await sendWebhook(changed, message, { fetch, now: at })
    const { body, headers } = calls[0]!.init
    vi.useFakeTimers({ toFake: ['Date'], now: at })
    try {
      new Webhook(secret).verify(String(body), headers as Record<string, string>)
      return true
    } catch {
      return false
    } finally {
      vi.useRealTimers()
    }
  }

  test('the specification’s own library accepts with either secret for a day, then with the new one', async () => {
    for (const ms of [0, 12 * HOURS, 24 * HOURS - 1]) {
      expect(await readBy(newSecret, after(ms)), `new after ${ms}`).toBe(true)
      expect(await readBy(target.secret, after(ms)), `old after ${ms}`).toBe(true)
    }
    expect(await readBy(newSecret, after(24 * HOURS))).toBe(true)
    expect(await readBy(target.secret, after(24 * HOURS))).toBe(false)
  })

  test('stands first, and the rest of the webhook stays', () => {
    expect(secretsNow(changed, now)).toEqual([newSecret, target.secret])
    expect(secretsNow(target, now)).toEqual([target.secret])
    expect(changed.url).toBe(target.url)
  })

  test('a second change forgets the first secret', () => {
    const twice = rotated(changed, 'whsec_third', after(HOURS))
    expect(secretsNow(twice, after(2 * HOURS))).toEqual(['whsec_third', newSecret])
  })

  test('the same secret again is no change', () => {
    expect(rotated(changed, newSecret, after(HOURS))).toBe(changed)
  })
})
