// The page of the sun through the whole worker: saved, brought back as typed, counted on by the plan.

import { env } from 'cloudflare:workers'
import { describe, expect, it } from 'vitest'
import type { Env } from '../../src/env.ts'
import { webApp } from '../../src/web/app.tsx'
import { ORIGIN, browser } from './browser.ts'

describe('the page of the sun', () => {
  it('is for a household only', async () => {
    const app = webApp(env as unknown as Env, new URL(ORIGIN))
    const answer = await app.request(`${ORIGIN}/sun`)
    expect([answer.status, answer.headers.get('location')]).toEqual([303, '/?closed'])
  })

  it('keeps an energy, shows what is expected, and forgets it again', async () => {
    const { visit, send } = await browser()
    expect((await visit('/sun')).text).toContain('value="44.65"')
    expect((await send('/sun', { kind: 'energy', kwhPerDay: '1,2 kWh' })).to).toBe('/sun?saved')
    const page = (await visit('/sun?saved')).text
    expect(page).toMatch(/Today: about 1\.2\u00a0kWh, the last of it at \d\d:\d\d\./)
    expect(page).toMatch(/id="kind-energy"[^>]*checked/)
    await send('/sun', { kind: 'none', kwhPerDay: '1.2' })
    expect((await visit('/sun?saved')).text).toContain('The plan counts on no sun')
  })

  it('brings a form back as it was typed, and keeps what there was', async () => {
    const { visit, send } = await browser()
    await send('/sun', { kind: 'energy', kwhPerDay: '1.2' })
    const refused = await send('/sun', {
      kind: 'array',
      kwp: 'four',
      latitude: '44.6',
      longitude: '-63.6',
    })
    expect(refused.status).toBe(422)
    expect(refused.text).toMatch(/name="kwp"[^>]*value="four"/)
    expect(refused.text).toContain('<a href="#facing">')
    expect((await visit('/sun')).text).toMatch(/id="kind-energy"[^>]*checked/)
  })

  it('takes no form of another page', async () => {
    const { visit, send } = await browser()
    await send('/sun', { kind: 'energy', kwhPerDay: '9', csrf: 'other' })
    expect((await visit('/sun')).text).not.toMatch(/id="kind-energy"[^>]*checked/)
  })

  it('is left alone by the settings, which do not show it', async () => {
    const { visit, send } = await browser()
    await send('/sun', { kind: 'energy', kwhPerDay: '2' })
    const form = (await visit('/settings')).text
    const csrf = / name="csrf" value="([^"]+)"/.exec(form)?.[1] ?? ''
    const typed = { capacityKwh: '9.6', timeZone: 'America/Halifax', medical: 'no', csrf }
    expect((await visit('/settings', typed)).to).toBe('/plan?saved')
    expect((await visit('/sun')).text).toMatch(/name="kwhPerDay"[^>]*value="2"/)
  })
})
