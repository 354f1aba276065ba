// A household of the worked example's day, one of whose people is told through a publish server; what leaves the house is
// kept, and nothing goes out.

import { runInDurableObject } from 'cloudflare:test'
import { env } from 'cloudflare:workers'
import { vi } from 'vitest'
import type { Env } from '../../src/env.ts'
import type { HouseholdObject } from '../../src/household/index.ts'
import type { ChannelTarget, Command, Reminder } from '../../src/reminder/index.ts'
import { webApp } from '../../src/web/app.tsx'
import { settings } from '../reminder/house.ts'
import { ORIGIN } from './browser.ts'

export const TOPIC = { kind: 'publish', server: 'https://push.example.org/', token: null } as const
const KEYS = { page: 'p'.repeat(43), feed: 'f'.repeat(43) }

export const at = (clock: string) => Date.parse(`2036-01-14T${clock}:00-04:00`) as never
export const setTime = (clock: string) => vi.setSystemTime(at(clock))

export type Call = {
  readonly url: string
  readonly body: Record<string, unknown>
  readonly headers: Readonly<Record<string, string>>
}

/** Stands in for everything outside; answers `{}` unless told otherwise. */
export function outside(answer: (call: Call) => Response = () => Response.json({})) {
  const calls: Call[] = []
  vi.useFakeTimers({ toFake: ['Date'] })
  setTime('13:00')
  vi.stubGlobal('fetch', async (input: RequestInfo, init?: RequestInit) => {
    const request = new Request(input, init)
    const text = await request.text()
    const call = {
      url: request.url,
      body: (text === '' ? {} : JSON.parse(text)) as Call['body'],
      headers: Object.fromEntries(request.headers),
    }
    calls.push(call)
    return answer(call)
  })
  return calls
}

export const inside = () => {
  vi.useRealTimers()
  vi.unstubAllGlobals()
}

/** The household by its id of 16 characters: 55 % at 13:00, an event from 17:30 to 18:30. */
export async function house(id: string, own: Partial<Env> = {}) {
  const bound = env as unknown as Env
  const stub = () => bound.HOUSEHOLD.getByName(id)
  const perform = async (command: Command) => stub().perform(KEYS.page, command)
  await stub().create({ id, settings, origin: ORIGIN, keys: KEYS, clock: null })
  await perform({ type: 'reading', at: at('13:00'), socPct: 55 })
  await perform({ type: 'announce', start: at('17:30'), end: at('18:30') })
  const app = webApp({ ...bound, ...own }, new URL(ORIGIN))
  return {
    id,
    key: KEYS.page,
    perform,
    stub,
    /** The whole address, or a path of ours. */
    visit: async (path: string, init: RequestInit = {}) =>
      app.request(new URL(path, ORIGIN).href, init, { ...bound, ...own }, CONTEXT),
    addChannel: async (target: ChannelTarget, person = 'Rowan', state: 'on' | 'waiting' = 'on') =>
      perform({ type: 'add-channel', person, label: 'phone', target, state }),
    /** What the platform does when an alarm is due. */
    wakeAt: async (clock: string) => {
      setTime(clock)
      await runInDurableObject(stub(), (object: HouseholdObject) => object.alarm())
    },
    household: async () => (await stub().read(KEYS.page))?.household,
    reminder: async (key: string): Promise<Reminder | undefined> =>
      (await stub().read(KEYS.page))?.household.reminders.find((each) => each.key === key),
  }
}

const CONTEXT = {
  waitUntil: () => {},
  passThroughOnException: () => {},
  props: {},
} as unknown as ExecutionContext
