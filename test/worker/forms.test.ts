// A household as an earlier form of the store kept it, with reminders and sends under way: it loads, and goes on.

import { abortAllDurableObjects, runInDurableObject } from 'cloudflare:test'
import { env } from 'cloudflare:workers'
import { afterEach, beforeEach, expect, it, vi } from 'vitest'
import type { Env } from '../../src/env.ts'
import { settings } from '../reminder/house.ts'

const at = (clock: string) => Date.parse(`2036-01-14T${clock}:00-04:00`)
const keys = { page: 'p'.repeat(43), feed: 'f'.repeat(43) }
const stub = () => (env as unknown as Env).HOUSEHOLD.getByName('form 2')

let status = 503

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['Date'] })
  vi.setSystemTime(at('13:00'))
  vi.stubGlobal('fetch', async () => new Response(null, { status }))
})

afterEach(() => {
  vi.useRealTimers()
  vi.unstubAllGlobals()
})

it('of form 2, which had no channels: its sends go on with what they lack', async () => {
  await stub().create({
    id: 'form 2',
    settings: {
      ...settings,
      webhook: {
        url: 'https://hooks.example.com/',
        secret: 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw',
      },
    },
    origin: 'https://holdbell.example',
    keys,
    clock: null,
  })
  await stub().perform(keys.page, { type: 'reading', at: at('13:00') as never, socPct: 55 })
  await stub().perform(keys.page, {
    type: 'announce',
    start: at('17:30') as never,
    end: at('18:30') as never,
  })
  await runInDurableObject(stub(), (_, { storage }) => {
    const { sql } = storage
    sql.exec("DELETE FROM part WHERE kind = 'channels'")
    const without = (kind: string, names: readonly string[]) => {
      for (const { id, body } of sql
        .exec<{ id: string; body: string }>('SELECT id, body FROM part WHERE kind = ?', kind)
        .toArray()) {
        const kept = Object.entries(JSON.parse(body) as object).filter(
          ([name]) => !names.includes(name),
        )
        sql.exec(
          'UPDATE part SET body = ? WHERE kind = ? AND id = ?',
          JSON.stringify(Object.fromEntries(kept)),
          kind,
          id,
        )
      }
    }
    without('reminder', ['missedBecause'])
    without('delivery', ['purpose', 'acceptedAt', 'handle', 'doubtful'])
  })
  await abortAllDurableObjects()
  status = 204
  vi.setSystemTime(at('13:01'))
  await runInDurableObject(stub(), (object) => object.alarm())
  const seen = await stub().read(keys.page)
  expect(seen?.household.channels).toEqual([])
  expect(seen?.household.deliveries).toMatchObject([
    { purpose: 'ask', state: 'accepted', acceptedAt: at('13:01'), handle: null },
  ])
  expect(seen?.household.reminders.every(({ missedBecause }) => missedBecause === null)).toBe(true)
})
