// The pages of people and prices through the whole worker: what a browser sends, and what nobody but a browser sends.

import { env } from 'cloudflare:workers'
import { expect, it } from 'vitest'
import type { Env } from '../../src/env.ts'
import { webApp } from '../../src/web/app.tsx'
import { ORIGIN, browser } from './browser.ts'

const rowan = {
  'p-0-name': 'Rowan',
  'p-0-away-0-d4': 'yes',
  'p-0-away-0-from': '08:00',
  'p-0-away-0-until': '17:00',
  'p-0-quiet-from': '',
  'p-0-quiet-until': '',
}

it('keeps people, and shows one more row when another is wanted', async () => {
  const { visit, send } = await browser()
  expect((await send('/people', rowan)).to).toBe('/plan?saved')
  expect((await visit('/people')).text).toMatch(/name="p-0-name"[^>]*value="Rowan"/)
  expect((await send('/people', { ...rowan, more: 'yes' })).to).toBe('/people?saved')
  const again = (await visit('/people?saved')).text
  expect(again).toContain('Saved.')
  expect(again).toContain('name="p-0-away-1-from"')
})

it('brings back what cannot be taken as it was typed, and keeps nothing of it', async () => {
  const { visit, send } = await browser()
  const back = await send('/people', { ...rowan, 'p-0-away-0-until': '' })
  expect(back.status).toBe(422)
  expect(back.text).toMatch(/name="p-0-away-0-from"[^>]*value="08:00"/)
  expect(back.text).toContain('There is a problem')
  expect((await visit('/people')).text).not.toContain('Rowan')
})

it('keeps prices; the settings page leaves them and the people as they are', async () => {
  const { visit, send } = await browser()
  await send('/people', rowan)
  const prices = {
    currency: 'CAD',
    perKwh: '0.18',
    'charge-0-d1': 'yes',
    'charge-0-from': '23:00',
    'charge-0-until': '07:00',
    maxChargeKw: '3',
    cheapest: 'yes',
    maxActions: '4',
  }
  expect((await send('/prices', prices)).to).toBe('/plan?saved')
  await send('/settings', {
    capacityKwh: '10',
    timeZone: 'America/Halifax',
    medical: 'no',
    maxChargeKw: '3',
  })
  const kept = (await visit('/prices')).text
  expect(kept).toMatch(/name="perKwh"[^>]*value="0\.18"/)
  expect(kept).toMatch(/id="maxActions-4"[^>]*checked/)
  expect((await visit('/people')).text).toContain('Rowan')
})

it('lets nobody in without a key, and takes no form from elsewhere', async () => {
  const { visit } = await browser()
  expect((await visit('/people', { ...rowan, csrf: 'guessed' })).status).toBe(403)
  const stranger = webApp(env as unknown as Env, new URL(ORIGIN))
  for (const path of ['/people', '/prices']) {
    const answer = await stranger.request(ORIGIN + path)
    expect([answer.status, answer.headers.get('location')]).toEqual([303, '/?closed'])
  }
})
