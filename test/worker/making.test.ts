// A household is made once, however often its form is sent: a POST is not idempotent (RFC 9110, 9.2.2), and a page that is
// loaded again sends its form again.

import { env } from 'cloudflare:workers'
import { describe, expect, it } from 'vitest'
import type { Env } from '../../src/env.ts'
import { webApp } from '../../src/web/app.tsx'

const ORIGIN = 'https://holdbell.example'

/** A browser that keeps its cookies. */
function browser() {
  const app = webApp(env as unknown as Env, new URL(ORIGIN))
  const cookies = new Map<string, string>()
  return async (path: string, form?: Record<string, string>) => {
    const headers = { cookie: [...cookies].map((pair) => pair.join('=')).join('; ') }
    const post = form && { method: 'POST', body: new URLSearchParams(form) }
    const answer = await app.request(ORIGIN + path, {
      ...post,
      headers: { ...headers, origin: ORIGIN },
    })
    for (const line of answer.headers.getSetCookie()) {
      const [, name = '', value = ''] = /^([^=]+)=([^;]*)/.exec(line) ?? []
      cookies.set(name, value)
    }
    return { status: answer.status, to: answer.headers.get('location'), text: await answer.text() }
  }
}

const csrfOf = (text: string) => / name="csrf" value="([^"]+)"/.exec(text)?.[1] ?? ''
const keyOf = (text: string) => /\/open#([^"]+)"/.exec(text)?.[1]

const typed = { capacityKwh: '9.6', outageReservePct: '10', timeZone: 'America/Halifax' }

describe('setting up', () => {
  it('leads to the plan when the same form comes again, and makes nothing', async () => {
    const visit = browser()
    const csrf = csrfOf((await visit('/setup')).text)
    const form = { ...typed, medical: 'no', csrf }
    const welcome = await visit('/setup', form)
    expect(welcome.status).toBe(200)
    expect(welcome.text).toMatch(/It is \d\d:\d\d at your house/)
    expect(keyOf(welcome.text)).toBeDefined()

    const again = await visit('/setup', form)
    expect([again.status, again.to, keyOf(again.text)]).toEqual([303, '/plan', undefined])
    expect((await visit('/plan')).status).toBe(200)

    // Whoever wants another one opens the form anew.
    const second = { ...form, csrf: csrfOf((await visit('/setup')).text) }
    const other = await visit('/setup', second)
    expect(other.status).toBe(200)
    expect(keyOf(other.text)).not.toBe(keyOf(welcome.text))
  })

  it('makes nothing for a browser that keeps no cookies, and says so', async () => {
    const { status, text } = await browser()('/setup', { ...typed, medical: 'no', csrf: 'any' })
    expect(status).toBe(403)
    expect(text).toContain('keeps no cookies')
  })

  it('says on the first page that nothing is open here', async () => {
    const visit = browser()
    const { status, to } = await visit('/plan')
    expect([status, to]).toEqual([303, '/?closed'])
    expect((await visit('/?closed')).text).toContain('This browser has no household open.')
    expect((await visit('/')).text).not.toContain('no household open')
  })

  it('says that settings were saved, on the plan', async () => {
    const visit = browser()
    const csrf = csrfOf((await visit('/setup')).text)
    await visit('/setup', { ...typed, medical: 'no', csrf })
    const form = { ...typed, medical: 'no', csrf: csrfOf((await visit('/settings')).text) }
    const { status, to } = await visit('/settings', form)
    expect([status, to]).toEqual([303, '/plan?saved'])
    expect((await visit('/plan?saved')).text).toContain('Saved.')
    expect((await visit('/plan')).text).not.toContain('Saved.')
  })
})
