// From a meter's file to a plan that goes by it, through the whole worker; the days themselves stay inside.

import { env } from 'cloudflare:workers'
import { expect, it } from 'vitest'
import type { Env } from '../../src/env.ts'
import { webApp } from '../../src/web/app.tsx'
import { kwh, rows, seriesFrom } from '../meter/build.ts'
import { ORIGIN } from './browser.ts'

const DAY = 86_400_000

/** The parts of the answers that are looked at. */
type Answer = {
  readonly token: string
  readonly wholeDays: number
  readonly meter: object
  readonly messages: readonly { readonly text: string }[]
  readonly plan: {
    readonly events: readonly {
      readonly confidence: { readonly days: number; readonly coveredOn: number } | null
      readonly explanation: readonly { readonly what: string }[]
    }[]
  }
}

it('plans from the days of an uploaded file, says so, and gives no days away', async () => {
  const app = webApp(env as unknown as Env, new URL(ORIGIN))
  let token = ''
  const call = async (method: string, path: string, body?: object | string) => {
    const answer = await app.request(ORIGIN + path, {
      method,
      headers: {
        'content-type': typeof body === 'string' ? 'text/csv' : 'application/json',
        ...(token === '' ? {} : { authorization: `Bearer ${token}` }),
      },
      ...(body === undefined
        ? {}
        : { body: typeof body === 'string' ? body : JSON.stringify(body) }),
    })
    const text = await answer.text()
    return { status: answer.status, body: (text === '' ? {} : JSON.parse(text)) as Answer }
  }
  const made = await call('POST', '/api/households', {
    name: 'Plover Row',
    timeZone: 'UTC',
    battery: { capacityKwh: 9.6, maxDischargeKw: 3.6 },
    load: { kw: 0.8 },
  })
  token = made.body.token
  const today = Math.floor(Date.now() / DAY) * DAY
  const series = seriesFrom(new Date(today - 80 * DAY).toISOString(), 80 * 48)
  const file = rows(
    series,
    ({ start, wh }) => `${new Date(start).toISOString()},${kwh(wh)}`,
    'start,kWh',
  )
  const taken = await call('POST', '/api/meter', file)
  expect([taken.status, taken.body.wholeDays]).toEqual([200, 80])
  await call('POST', '/api/readings', { socPct: 60 })
  const start = Date.now() + 4 * 3_600_000
  const announced = await call('POST', '/api/events', {
    start: new Date(start).toISOString(),
    end: new Date(start + 3_600_000).toISOString(),
  })
  expect(announced.status).toBe(201)

  const { body } = await call('GET', '/api/household')
  const [event] = body.plan.events
  const { days, coveredOn = 0 } = event?.confidence ?? {}
  expect(days).toBe(80)
  expect(coveredOn).toBeGreaterThanOrEqual(72)
  expect(event?.explanation.map(({ what }) => what).join(' ')).toContain('of 80 past days')
  expect(body.meter).toMatchObject({ wholeDays: 80, missingDays: 0, idleShare: 0 })
  expect(JSON.stringify(body).length).toBeLessThan(40_000)
  const said = body.messages.map(({ text }) => text).join(' ')
  expect(said).toContain(`on ${coveredOn} of your last 80 days`)
  // Taken away, the plan goes by the settings again.
  await call('DELETE', '/api/meter')
  expect((await call('GET', '/api/household')).body.plan.events[0]?.confidence).toBeNull()
})
