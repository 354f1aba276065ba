// The service worker's branches, run in a bare context with a stand-in for its surroundings. What it must do with a push:
// W3C Push API, "userVisibleOnly"; Notifications API, "showNotification" (a silent one must not vibrate, `renotify` takes
// a tag) and "notificationclick". The whole of it in a real browser: test/server/push.test.ts.

import { readFileSync } from 'node:fs'
import { runInNewContext } from 'node:vm'
import { describe, expect, test, vi } from 'vitest'
import type { PersonalMessage } from '../../src/delivery/channel.ts'
import { pushBody, settledBody } from '../../src/delivery/pushBody.ts'
import { asInstant } from '../../src/plan/index.ts'

const source = readFileSync('src/web/public/sw.js', 'utf8')

const ORIGIN = 'https://holdbell.example'
const NOW = Date.parse('2027-01-14T20:13:00Z')
const message: PersonalMessage = {
  id: 'msg_h1_hold-e1-1_0',
  at: asInstant(NOW),
  key: 'hold-e1-1',
  kind: 'hold',
  eventId: 'e1',
  text: 'Hold by 16:28, or as soon as it shows 25 %.',
  dueAt: asInstant(NOW),
  uselessAfter: asInstant(NOW + 72 * 60_000),
  repeat: 0,
  page: `${ORIGIN}/plan`,
  title: 'Tern Street',
  taps: [
    { label: 'It is held', does: 'done' },
    { label: 'Later', does: 'later' },
  ],
  answerUrl: `${ORIGIN}/answer/h1/c1/hold-e1-1/code`,
  urgent: true,
}
const decoded = (octets: Uint8Array) => new TextDecoder().decode(octets)
const asks = decoded(pushBody(message, 'topic'))
const settles = decoded(
  settledBody({ handle: 'topic', message, text: 'Held by Ada at 15:40.' }, 'topic'),
)

type Shown = { title: string; close: () => void } & Record<string, unknown>
type Listener = (event: object) => void

/** The worker, started; notifications with the same tag replace each other, as the Notifications API says. */
function worker({
  now = NOW,
  reply = () => Response.json({ text: 'Held at 16:13.' }),
  windows = [] as { url: string; focus: () => void }[],
  openWindow = async (): Promise<unknown> => null,
  pass = (go: () => void): unknown => queueMicrotask(go),
}: {
  now?: number
  reply?: () => Response
  windows?: { url: string; focus: () => void }[]
  openWindow?: (url: string) => Promise<unknown>
  /** Whether the time passes that a timer waits for. */
  pass?: (go: () => void) => unknown
} = {}) {
  const listeners = new Map<string, Listener>()
  const log: Shown[] = []
  let shown: Shown[] = []
  const fetched = vi.fn(async (_url: string, _init: RequestInit) => reply())
  const opened = vi.fn(openWindow)
  const self = {
    location: new URL(`${ORIGIN}/sw.js`),
    addEventListener: (type: string, listener: Listener) => listeners.set(type, listener),
    skipWaiting: () => undefined,
    clients: { matchAll: async () => windows, openWindow: opened },
    registration: {
      showNotification: async (title: string, options: Record<string, unknown>) => {
        if (options['renotify'] === true && !options['tag']) throw new TypeError('no tag')
        const made: Shown = {
          title,
          ...options,
          close: () => (shown = shown.filter((each) => each !== made)),
        }
        shown = [...shown.filter((each) => each['tag'] !== options['tag']), made]
        log.push(made)
      },
      getNotifications: async ({ tag }: { tag: string }) =>
        shown.filter((each) => each['tag'] === tag),
    },
  }
  runInNewContext(source, {
    self,
    fetch: fetched,
    URL,
    AbortSignal,
    Date: { now: () => now },
    setTimeout: pass,
  })
  const fire = async (type: string, event: object) => {
    let work: Promise<unknown> = Promise.resolve()
    listeners.get(type)?.({ ...event, waitUntil: (promise: Promise<unknown>) => (work = promise) })
    await work
  }
  return {
    push: (text: string | null) =>
      fire('push', { data: text === null ? null : { json: () => JSON.parse(text) } }),
    click: (action = '') => fire('notificationclick', { notification: shown.at(-1), action }),
    shown: () => shown,
    log,
    fetched,
    opened,
  }
}

describe('a push', () => {
  test('shows what the message asks, with its buttons', async () => {
    const sw = worker()
    await sw.push(asks)
    expect(sw.shown()).toMatchObject([
      {
        title: 'Tern Street',
        body: message.text,
        tag: 'topic',
        silent: false,
        renotify: true,
        requireInteraction: true,
        actions: [
          { action: 'done', title: 'It is held' },
          { action: 'later', title: 'Later' },
        ],
        data: { answerUrl: message.answerUrl },
      },
    ])
  })

  test('that settles takes the place of what it settles, without a sound', async () => {
    const sw = worker()
    await sw.push(asks)
    await sw.push(settles)
    expect(sw.shown()).toMatchObject([
      { body: 'Held by Ada at 15:40.', silent: true, requireInteraction: false, actions: [] },
    ])
  })

  test.each([
    ['nothing', null],
    ['no JSON', '{"web_push":8030,'],
    ['JSON of another kind', '[]'],
    ['null', 'null'],
    ['no title', '{"notification":{"body":"x"}}'],
    ['what a browser does not show', '{"notification":{"title":"a","body":"b","renotify":true}}'],
  ])('with %s still shows something', async (_, text) => {
    const sw = worker()
    await sw.push(text)
    expect(sw.shown()).toMatchObject([
      { title: 'Holdbell', body: 'Open Holdbell to see what is due.' },
    ])
    await sw.click()
    expect(sw.opened).toHaveBeenCalledWith('/plan')
  })

  test('that comes too late asks for nothing any more, and still says what it was', async () => {
    const sw = worker({ now: message.uselessAfter + 1 })
    await sw.push(asks)
    expect(sw.shown()).toMatchObject([
      {
        body: `Too late by now: ${message.text}`,
        silent: true,
        renotify: false,
        requireInteraction: false,
        actions: [],
      },
    ])
  })

  test('is in time at the very instant', async () => {
    const sw = worker({ now: message.uselessAfter })
    await sw.push(asks)
    expect(sw.shown()).toMatchObject([{ body: message.text, requireInteraction: true }])
  })

  test('that settles is never too late', async () => {
    const sw = worker({ now: message.uselessAfter + 1 })
    await sw.push(settles)
    expect(sw.shown()).toMatchObject([{ body: 'Held by Ada at 15:40.' }])
  })
})

describe('a tap on a button', () => {
  test.each(['done', 'later'])('%s is posted; what came of it is said briefly', async (does) => {
    const sw = worker()
    await sw.push(asks)
    await sw.click(does)
    const [url, init] = sw.fetched.mock.calls[0] ?? []
    expect(url).toBe(message.answerUrl)
    expect(init).toMatchObject({ method: 'POST', redirect: 'error' })
    expect(new Headers(init?.headers).get('content-type')).toBe('application/json')
    expect(JSON.parse(String(init?.body))).toEqual({ do: does })
    expect(sw.log.at(-1)).toMatchObject({ body: 'Held at 16:13.', silent: true, tag: 'topic' })
    expect(sw.shown()).toEqual([])
    expect(sw.opened).not.toHaveBeenCalled()
  })

  test('leaves alone what came in its place meanwhile', async () => {
    const pass = vi.fn()
    const sw = worker({ pass })
    await sw.push(asks)
    const tapping = sw.click('done')
    await vi.waitFor(() => expect(pass).toHaveBeenCalled())
    expect(sw.shown()).toMatchObject([{ body: 'Held at 16:13.' }])
    await sw.push(settles)
    pass.mock.calls[0]?.[0]()
    await tapping
    expect(sw.shown()).toMatchObject([{ body: 'Held by Ada at 15:40.' }])
  })

  test.each<[string, () => Response, string]>([
    [
      'out of reach',
      () => {
        throw new TypeError('Failed to fetch')
      },
      'Your answer did not get through. Tap to answer on the page.',
    ],
    [
      'not found',
      () => Response.json({ text: 'It is not there.' }, { status: 404 }),
      'It is not there.',
    ],
    [
      'refused',
      () => Response.json({ text: 'The event was cancelled.' }, { status: 409 }),
      'The event was cancelled.',
    ],
    [
      'answered by something else',
      () => new Response('<h1>Sign in to the network</h1>'),
      'Your answer did not get through. Tap to answer on the page.',
    ],
  ])('that is %s opens the page, and stays', async (_, reply, body) => {
    const sw = worker({ reply })
    await sw.push(asks)
    await sw.click('done')
    expect(sw.opened).toHaveBeenCalledWith(message.answerUrl)
    expect(sw.shown()).toMatchObject([{ body, tag: 'topic', data: { key: message.key } }])
  })

  test('stays also when the browser opens no page', async () => {
    const openWindow = async () => {
      throw new DOMException('Not allowed to open a window.', 'InvalidAccessError')
    }
    const sw = worker({ reply: () => new Response('', { status: 503 }), openWindow })
    await sw.push(asks)
    await sw.click('done')
    expect(sw.shown()).toHaveLength(1)
  })

  test.each([
    'https://evil.example/answer',
    'http://holdbell.example/answer',
    'javascript:0',
    '/x',
  ])('with an address that is not ours is not posted: %s', async (answerUrl) => {
    const sw = worker()
    await sw.push(decoded(pushBody({ ...message, answerUrl }, 'topic')))
    await sw.click('done')
    expect(sw.fetched).not.toHaveBeenCalled()
    expect(sw.opened.mock.calls).toEqual([['/plan']])
  })

  test('that is none of ours posts nothing', async () => {
    const sw = worker()
    await sw.push(asks)
    await sw.click('constructor')
    expect(sw.fetched).not.toHaveBeenCalled()
  })
})

describe('a tap on the notification itself', () => {
  test('opens the page that answers it', async () => {
    const sw = worker()
    await sw.push(asks)
    await sw.click()
    expect(sw.opened.mock.calls).toEqual([[message.answerUrl]])
    expect(sw.shown()).toEqual([])
  })

  test('goes to the plan where that is open', async () => {
    const [other, plan] = [vi.fn(), vi.fn()]
    const windows = [
      { url: `${ORIGIN}/settings`, focus: other },
      { url: `${ORIGIN}/plan?said=x`, focus: plan },
    ]
    const sw = worker({ windows })
    await sw.push(asks)
    await sw.click()
    expect(plan).toHaveBeenCalledOnce()
    expect(other).not.toHaveBeenCalled()
    expect(sw.opened).not.toHaveBeenCalled()
  })
})
