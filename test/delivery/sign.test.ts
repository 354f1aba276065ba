import * as fc from 'fast-check'
import { Webhook } from 'standardwebhooks'
import { describe, expect, test, vi } from 'vitest'
import { newWebhookSecret, signWebhook } from '../../src/delivery/index.ts'

// Standard Webhooks 1.0. The first two are published in the specification's own library suites
// (JavaScript and others; Rust). The others are derived: the first one's secret, id and timestamp.
const SECRET = 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw'
const ID = 'msg_p5jXN8AQM9LWM0D4loKWxJek'
const vectors = [
  [
    SECRET,
    ID,
    1614265330,
    '{"test": 2432232314}',
    'v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=',
  ],
  [
    'whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD',
    'msg_27UH4WbU6Z5A5EzD8u03UvzRbpk',
    1649367553,
    '{"email":"test@example.com","username":"test_user"}',
    'v1,tZ1I4/hDygAJgO5TYxiSd6Sd0kDW6hPenDe+bTa3Kkw=',
  ],
  [
    SECRET,
    ID,
    1614265330,
    '{"note":"Hold – ½ charge ⚡"}',
    'v1,5PoFfgXsoOWSqk1vVNtRCzDrripVWVMWoHBUrdias0E=',
  ],
  [SECRET, ID, 1614265330, '', 'v1,v48jdbgvh29KJz2Qc+ghw8G6vG3nAKnujWBg8oM/62A='],
] as const

const secretBytes = fc.uint8Array({ minLength: 24, maxLength: 64 })

describe('signWebhook (Standard Webhooks 1.0)', () => {
  test.each(vectors)('vector %#', async (secret, id, timestamp, body, signature) => {
    expect(await signWebhook([secret], id, timestamp, body)).toBe(signature)
  })

  test('a secret without its prefix is the same key', async () => {
    const bare = SECRET.replace('whsec_', '')
    expect(await signWebhook([bare], ID, 1614265330, '{"test": 2432232314}')).toBe(vectors[0][4])
  })

  test.each(['', 'whsec_'])(
    'an empty secret (%j) is refused, as in the published suites',
    (secret) => expect(signWebhook([secret], ID, 1614265330, '')).rejects.toThrow(RangeError),
  )

  test('an id with a dot and a broken timestamp are refused', async () => {
    await expect(signWebhook([SECRET], 'a.b', 1, '')).rejects.toThrow(RangeError)
    await expect(signWebhook([SECRET], 'a', 1.5, '')).rejects.toThrow(RangeError)
    await expect(signWebhook([SECRET], 'a', Number.NaN, '')).rejects.toThrow(RangeError)
  })

  // Derived with the first vector's message: its own key, then the Rust suite's.
  test('two secrets: both signatures, in their order, with a space between', async () => {
    const [, id, timestamp, body, first] = vectors[0]
    expect(await signWebhook([SECRET, vectors[1][0]], id, timestamp, body)).toBe(
      `${first} v1,78nXHjpFP0tVJQW5D0SBwmVyyW87BV/rL6MgfM/Bw44=`,
    )
  })

  test('without a secret nothing is signed', () =>
    expect(signWebhook([], ID, 1, '')).rejects.toThrow(RangeError))

  test('an error tells no secret', async () => {
    const error = await signWebhook([SECRET], 'a.b', 1, '').catch(String)
    expect(error).not.toContain(SECRET.slice(8, 16))
  })
})

// The reader is the specification's own library; its clock is set, since it reads one.
describe('what we sign, read by the standardwebhooks package', () => {
  const at = 1614265330
  const verify = (secret: string, body: string, headers: Record<string, string>) => {
    vi.useFakeTimers({ toFake: ['Date'], now: at * 1000 })
    try {
      return new Webhook(secret).verify(body, headers, { jsonParse: false })
    } finally {
      vi.useRealTimers()
    }
  }
  const headersFor = async (body: string, timestamp = at) => ({
    'webhook-id': ID,
    'webhook-timestamp': String(timestamp),
    'webhook-signature': await signWebhook([SECRET], ID, timestamp, body),
  })

  test('any secret and any text verify', async () => {
    await fc.assert(
      fc.asyncProperty(secretBytes, fc.string({ unit: 'grapheme' }), async (bytes, body) => {
        const secret = newWebhookSecret(bytes)
        const signature = await signWebhook([secret], ID, at, body)
        const headers = { ...(await headersFor(body)), 'webhook-signature': signature }
        expect(() => verify(secret, body, headers)).not.toThrow()
      }),
      { numRuns: 50 },
    )
  })

  test('the good signature among others verifies', async () => {
    const body = '{"test": 2432232314}'
    const headers = await headersFor(body)
    const decoy = 'Ceo5qEr07ixe2NLpvHk3FH9bwy/WavXrAFQ/9tdO6mc='
    headers['webhook-signature'] =
      `v1,${decoy} v2,${decoy} ${headers['webhook-signature']} v1,${decoy}`
    expect(() => verify(SECRET, body, headers)).not.toThrow()
  })

  test('while two secrets sign, a receiver that knows either is satisfied', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.tuple(secretBytes, secretBytes),
        fc.string({ unit: 'grapheme' }),
        async (bytes, body) => {
          const secrets = bytes.map(newWebhookSecret)
          const signature = await signWebhook(secrets, ID, at, body)
          const headers = { ...(await headersFor(body)), 'webhook-signature': signature }
          for (const secret of secrets) expect(() => verify(secret, body, headers)).not.toThrow()
        },
      ),
      { numRuns: 50 },
    )
  })

  // Published in the suites of the specification's libraries, JavaScript and Rust.
  test.each([
    ['a signature that is none', { 'webhook-signature': 'v1,dawfeoifkpqwoekfpqoekf' }],
    ['an empty signature', { 'webhook-signature': 'v1,' }],
    [
      'other versions and decoys only',
      {
        'webhook-signature':
          'v1,Ceo5qEr07ixe2NLpvHk3FH9bwy/WavXrAFQ/9tdO6mc= v2,Ceo5qEr07ixe2NLpvHk3FH9bwy/WavXrAFQ/9tdO6mc=',
      },
    ],
    [
      'the decoys of the Rust suite',
      {
        'webhook-signature':
          'v1,tFtCZ5RDCPxzWQRWXWPgrCgE2frDBe9gjpbWQxnVfsQ= v1,Mm7xgUVICxZfQ3bgf0h0Dof65L/IFx+PnZvnDWPCX6Q= v1,9DfC1c3eeOrXB6w/5dIDydLNQaEyww5KalE5jLBZucE=',
      },
    ],
    ['a timestamp that is none', { 'webhook-timestamp': 'hello' }],
    ['no id', { 'webhook-id': '' }],
    ['no timestamp', { 'webhook-timestamp': '' }],
    ['no signature', { 'webhook-signature': '' }],
  ])('published negatives: %s', async (_, spoilt) => {
    const body = '{"test": 2432232314}'
    const good = await headersFor(body)
    expect(() => verify(SECRET, body, good)).not.toThrow()
    expect(() => verify(SECRET, body, { ...good, ...spoilt })).toThrow()
  })

  test('published negatives: a header that is missing', async () => {
    const body = '{"test": 2432232314}'
    const good = await headersFor(body)
    for (const name of Object.keys(good)) {
      const rest = Object.fromEntries(Object.entries(good).filter(([each]) => each !== name))
      expect(() => verify(SECRET, body, rest), name).toThrow()
    }
  })

  test('header names in any case, and an empty body, are legal', async () => {
    const good = await headersFor('')
    const loud = Object.fromEntries(
      Object.entries(good).map(([name, value]) => [name.toUpperCase(), value]),
    )
    expect(() => verify(SECRET, '', loud)).not.toThrow()
  })

  test('a changed body, id, timestamp, secret or tail does not', async () => {
    const body = '{"test": 2432232314}'
    const good = await headersFor(body)
    const spoilt: [string, string, Record<string, string>][] = [
      [SECRET, '{"test":2432232314}', good],
      [SECRET, body, { ...good, 'webhook-id': `${ID}x` }],
      [SECRET, body, { ...good, 'webhook-timestamp': String(at + 1) }],
      [
        SECRET,
        body,
        { ...good, 'webhook-signature': 'v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OA=' },
      ],
      [SECRET, body, { ...good, 'webhook-signature': good['webhook-signature'].slice(0, 8) }],
      ['whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD', body, good],
      [SECRET, body, await headersFor(body, at - 301)],
      [SECRET, body, await headersFor(body, at + 301)],
    ]
    expect(() => verify(SECRET, body, good)).not.toThrow()
    for (const [secret, text, headers] of spoilt)
      expect(() => verify(secret, text, headers), JSON.stringify(headers)).toThrow()
  })
})

describe('newWebhookSecret', () => {
  test('whsec_ and base64 of the bytes (the published secret has 24)', () => {
    const bytes = Uint8Array.from(Buffer.from('MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw', 'base64'))
    expect(newWebhookSecret(bytes)).toBe(SECRET)
  })

  test.each([0, 23, 65])('%i bytes are refused: 24 to 64', (length) => {
    expect(() => newWebhookSecret(new Uint8Array(length))).toThrow(RangeError)
  })
})
