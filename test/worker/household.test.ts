// The household's object in the platform's own runtime: saving, arming, sending, surviving. Dates lie in the real
// future (the alarm's clock is the real one), only `Date` is faked, and the test fires the alarms itself.

import { abortAllDurableObjects, runInDurableObject } from 'cloudflare:test'
import { env } from 'cloudflare:workers'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { Webhook } from 'standardwebhooks'
import type { Env } from '../../src/env.ts'
import type { HouseholdObject } from '../../src/household/index.ts'
import type { Settings } from '../../src/reminder/index.ts'
import { settings } from '../reminder/house.ts'

const DAY = '2036-01-14'
const at = (clock: string) => Date.parse(`${DAY}T${clock}:00-04:00`)
const setTime = (clock: string) => vi.setSystemTime(at(clock))
const SECRET = 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw'
const keys = { page: 'p'.repeat(43), feed: 'f'.repeat(43) }

type Sent = { readonly headers: Record<string, string>; readonly body: string }
let sent: Sent[]
let status: () => number

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['Date'] })
  setTime('13:00')
  sent = []
  status = () => 200
  vi.stubGlobal('fetch', async (input: RequestInfo, init?: RequestInit) => {
    const request = new Request(input, init)
    sent.push({ headers: Object.fromEntries(request.headers), body: await request.text() })
    return new Response(null, { status: status() })
  })
})

afterEach(() => {
  vi.useRealTimers()
  vi.unstubAllGlobals()
})

const stubOf = (name: string) => (env as unknown as Env).HOUSEHOLD.getByName(name)

/** The worked example's day: 55 % at 13:00, an event from 17:30 to 18:30; hold by 16:28:36. */
async function house(name: string, changed: Partial<Settings> = {}) {
  await stubOf(name).create({
    id: name,
    settings: { ...settings, ...changed },
    origin: 'https://holdbell.example',
    keys,
    clock: null,
  })
  const perform = async (command: Parameters<HouseholdObject['perform']>[1]) =>
    stubOf(name).perform(keys.page, command)
  await perform({ type: 'reading', at: at('13:00') as never, socPct: 55 })
  await perform({ type: 'announce', start: at('17:30') as never, end: at('18:30') as never })
  return perform
}

const armedAt = (name: string) =>
  runInDurableObject(stubOf(name), (_, state) => state.storage.getAlarm())

/** What the platform does when an alarm is due: it takes it, then calls the handler. */
const fire = (name: string) =>
  runInDurableObject(stubOf(name), async (object, state) => {
    await state.storage.deleteAlarm()
    await object.alarm()
  })

const texts = async (name: string) =>
  (await stubOf(name).read(keys.page))?.household.messages.map((each) => each.text) ?? []

describe('keys', () => {
  it('opens to its own key alone, each for its own purpose', async () => {
    await house('keys')
    expect(await stubOf('keys').read(keys.page)).not.toBeNull()
    expect(await stubOf('keys').read(keys.feed)).toBeNull()
    expect(await stubOf('keys').feed(keys.page)).toBeNull()
    expect(await stubOf('keys').say('', 'cancel')).toBeNull()
  })

  it('keeps digests only', async () => {
    await house('digests')
    const bodies = await runInDurableObject(stubOf('digests'), (_, { storage }) =>
      storage.sql.exec<{ body: string }>('SELECT body FROM part').toArray(),
    )
    expect(bodies.length).toBeGreaterThan(5)
    expect(JSON.stringify(bodies)).not.toContain(keys.page)
  })

  it('writes nothing where no household was made', async () => {
    expect(await stubOf('nobody').read(keys.page)).toBeNull()
    const tables = await runInDurableObject(stubOf('nobody'), (_, { storage }) =>
      storage.sql
        .exec("SELECT name FROM sqlite_master WHERE name NOT LIKE '\\_cf%' ESCAPE '\\'")
        .toArray(),
    )
    expect(tables).toEqual([])
  })
})

describe('the alarm', () => {
  // An id whose share of the minute's spread (R26) is nought.
  it('is set to the earliest reminder, and sends it when it comes', async () => {
    await house('alarm27')
    expect(await armedAt('alarm27')).toBe(at('15:28') + 36_000)
    vi.setSystemTime(at('15:28') + 36_000)
    await fire('alarm27')
    expect((await texts('alarm27')).at(-1)).toMatch(/^Look at the battery\. 25.%/)
    expect(await armedAt('alarm27')).toBe(at('16:18') + 36_000)
  })

  it('never lets a throw out, and tries again', async () => {
    await house('throws')
    setTime('16:20')
    await runInDurableObject(stubOf('throws'), async (object, { storage }) => {
      const broken = vi.spyOn(storage, 'transactionSync').mockImplementation(() => {
        throw new Error('disk')
      })
      const log = vi.spyOn(console, 'error').mockImplementation(() => undefined)
      await expect(object.alarm()).resolves.toBeUndefined()
      expect(await storage.getAlarm()).toBe(at('16:21'))
      expect(log).toHaveBeenCalledTimes(1)
      broken.mockRestore()
      log.mockRestore()
    })
    setTime('16:21')
    await fire('throws')
    expect((await texts('throws')).at(-1)).toMatch(/^Hold by 16:28/)
  })

  it('is set again when the platform lost it', async () => {
    await house('lost')
    await runInDurableObject(stubOf('lost'), (_, { storage }) => storage.deleteAlarm())
    await stubOf('lost').read(keys.page)
    expect(await armedAt('lost')).toBe(at('15:28') + 36_000)
  })

  it('sends once, late, after a crash that lost the memory', async () => {
    await house('crash')
    await abortAllDurableObjects()
    setTime('16:50')
    await fire('crash')
    await fire('crash')
    const holds = (await texts('crash')).filter((text) =>
      text.startsWith('Hold now. It was to be by 16:28'),
    )
    expect(holds).toHaveLength(1)
  })
})

describe('the webhook', () => {
  const webhook = { url: 'https://receiver.example/hook', secret: SECRET }

  it('is signed so that another library accepts it, with the same id on each try', async () => {
    status = () => 503
    await house('hook', { webhook })
    await vi.waitFor(() => expect(sent).toHaveLength(1))
    vi.setSystemTime(at('13:00') + 6000)
    status = () => 204
    await fire('hook')
    await vi.waitFor(() => expect(sent).toHaveLength(2))
    const [first, second] = sent as [Sent, Sent]
    expect(second.headers['webhook-id']).toBe(first.headers['webhook-id'])
    // The reference library of Standard Webhooks; it reads the (faked) clock for its tolerance.
    expect(new Webhook(SECRET).verify(second.body, second.headers)).toMatchObject({
      type: 'reminder.plan',
      data: { kind: 'plan', eventId: 'e1', repeat: 0, page: 'https://holdbell.example/plan' },
    })
    const seen = await stubOf('hook').read(keys.page)
    expect(seen?.household.deliveries.map((each) => each.state)).toEqual(['accepted'])
  })

  it('is not sent when the answer comes between saving and sending', async () => {
    await house('answered', { webhook })
    setTime('16:19')
    await runInDurableObject(stubOf('answered'), async (object, { storage }) => {
      await storage.deleteAlarm()
      const armed = vi.spyOn(storage, 'setAlarm').mockImplementationOnce(async () => {
        await object.perform(keys.page, { type: 'acknowledge', key: 'hold-e1-1', by: 'page' })
      })
      await object.alarm()
      expect(armed).toHaveBeenCalled()
    })
    const seen = await stubOf('answered').read(keys.page)
    expect(seen?.household.reminders.find((each) => each.kind === 'hold')?.state).toBe(
      'acknowledged',
    )
    expect(sent.filter((each) => each.body.includes('"reminder.hold"'))).toEqual([])
    expect(sent.filter((each) => each.body.includes('"reminder.plan"'))).toHaveLength(1)
  })
})

describe('the feed', () => {
  it('is kept until something changes', async () => {
    const perform = await house('feed')
    const feed = await stubOf('feed').feed(keys.feed)
    expect(feed?.text).toContain('BEGIN:VEVENT')
    expect(await stubOf('feed').feed(keys.feed)).toEqual(feed)
    await perform({ type: 'cancel', eventId: 'e1' })
    const after = await stubOf('feed').feed(keys.feed)
    expect(after?.etag).not.toBe(feed?.etag)
    expect(after?.text).toContain('STATUS:CANCELLED')
  })
})

describe('deleting', () => {
  it('leaves no row and no alarm', async () => {
    await house('gone')
    expect(await stubOf('gone').erase(keys.feed)).toBe(false)
    expect(await stubOf('gone').erase(keys.page)).toBe(true)
    expect(await stubOf('gone').read(keys.page)).toBeNull()
    expect(await armedAt('gone')).toBeNull()
    const tables = await runInDurableObject(stubOf('gone'), (_, { storage }) =>
      storage.sql.exec("SELECT name FROM sqlite_master WHERE name = 'part'").toArray(),
    )
    expect(tables).toEqual([])
  })
})
