import { createServer } from 'node:http'
import type { IncomingMessage, RequestListener } from 'node:http'
import type { AddressInfo } from 'node:net'
import { describe, expect, test, vi } from 'vitest'
import { sendPublish, sendWebhook } from '../../src/delivery/index.ts'
import type { PersonalMessage } from '../../src/delivery/index.ts'
import { asInstant } from '../../src/plan/index.ts'

// The channels over HTTP through the real `fetch`, against a receiver on this machine.

const now = asInstant(Date.parse('2027-01-14T20:13:05Z'))
const message: PersonalMessage = {
  id: 'msg_h_hold-e1-1_0',
  at: now,
  key: 'hold-e1-1',
  kind: 'hold',
  eventId: 'e1',
  text: 'Hold by 16:28 – or as soon as it shows 25 %.',
  dueAt: now,
  uselessAfter: asInstant(now + 3_600_000),
  repeat: 0,
  page: 'https://holdbell.example/plan',
  title: 'Terraced house',
  taps: [],
  answerUrl: 'https://holdbell.example/a/h.k',
  urgent: true,
}

type Got = { readonly method: string; readonly url: string; readonly body: string }

async function textOf(request: IncomingMessage): Promise<string> {
  const chunks: Buffer[] = []
  for await (const chunk of request) chunks.push(chunk as Buffer)
  return Buffer.concat(chunks).toString('utf8')
}

/** Runs `use` against a receiver, and says what it got. */
async function withReceiver(
  answer: (...args: Parameters<RequestListener>) => void,
  use: (origin: string) => Promise<void>,
): Promise<readonly Got[]> {
  const got: Got[] = []
  const server = createServer(async (request, response) => {
    const body = await textOf(request)
    got.push({ method: request.method ?? '', url: request.url ?? '', body })
    answer(request, response)
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  try {
    await use(`http://127.0.0.1:${(server.address() as AddressInfo).port}`)
  } finally {
    server.closeAllConnections()
    await new Promise((resolve) => server.close(resolve))
  }
  return got
}

const channels = [
  [
    'webhook',
    (origin: string) =>
      sendWebhook(
        { url: `${origin}/hook`, secret: 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw' },
        message,
        { fetch, now },
      ),
    '/hook',
  ],
  [
    'publish',
    (origin: string) =>
      sendPublish({ kind: 'publish', server: origin, topic: 'k7p2m9', token: null }, message, {
        fetch,
        now,
      }),
    '/',
  ],
] as const

describe.each(channels)('%s over a real connection', (_, send, path) => {
  test('posts its JSON once, in UTF-8', async () => {
    const got = await withReceiver(
      (__, response) => response.end('{}'),
      async (origin) => expect(await send(origin)).toEqual({ kind: 'accepted' }),
    )
    expect(got.map(({ method, url }) => `${method} ${url}`)).toEqual([`POST ${path}`])
    expect(got[0]!.body).toContain('16:28 – or')
    expect(() => JSON.parse(got[0]!.body)).not.toThrow()
  })

  test.each([301, 302, 303, 307, 308])('follows no %i', async (status) => {
    const got = await withReceiver(
      (__, response) => response.writeHead(status, { location: '/elsewhere' }).end(),
      async (origin) =>
        expect(await send(origin)).toEqual({
          kind: 'try-again',
          afterMs: null,
          note: `status ${status}`,
        }),
    )
    expect(got.map(({ url }) => url)).toEqual([path])
  })

  test('is not held up by a refusal whose body never ends', async () => {
    await withReceiver(
      (__, response) => response.writeHead(503).write('a'),
      async (origin) => expect(await send(origin)).toMatchObject({ note: 'status 503' }),
    )
  })

  test('gives up on silence, in doubt', async () => {
    const timeout = vi
      .spyOn(AbortSignal, 'timeout')
      .mockImplementation(() => AbortSignal.abort(new DOMException('late', 'TimeoutError')))
    try {
      await withReceiver(
        () => undefined,
        async (origin) =>
          expect(await send(origin)).toMatchObject({ note: 'no answer in time', doubtful: true }),
      )
    } finally {
      timeout.mockRestore()
    }
  })

  test('says so where nobody listens, or a connection breaks', async () => {
    let nobody = ''
    await withReceiver(
      (__, response) => response.destroy(),
      async (origin) => {
        nobody = origin
        expect(await send(origin)).toMatchObject({ note: 'no connection' })
      },
    )
    expect(await send(nobody)).toEqual({
      kind: 'try-again',
      afterMs: null,
      note: 'no connection',
      doubtful: true,
    })
  })
})
