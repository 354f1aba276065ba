// `npm run picture`: the README's picture, of the worked example as the page shows it. Needs Debian's chromium.

import { mkdirSync, mkdtempSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { chromium } from 'playwright-core'
import { serve } from './serve.ts'

const ARGUMENTS = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
]

const server = await serve({
  port: 0,
  state: mkdtempSync(join(tmpdir(), 'holdbell-picture-')),
  allowLocal: false,
  rehearse: false,
  clock: { from: Date.parse('2027-01-14T13:00:00-04:00'), rate: 1, since: Date.now() },
})
const post = async (path: string, token: string, body: object) => {
  const answer = await fetch(`${server.url}${path}`, {
    method: 'POST',
    headers: { authorization: `Bearer ${token}`, 'content-type': 'application/json' },
    body: JSON.stringify(body),
  })
  return (await answer.json()) as { token: string; link: string }
}
const made = await post('/api/households', '', {
  name: 'Tern Street',
  timeZone: 'America/Halifax',
  battery: { capacityKwh: 9.6, maxDischargeKw: 3.6 },
  load: { kw: 0.8 },
})
await post('/api/messages', made.token, { text: '55' })
await post('/api/messages', made.token, { text: 'today 17:30-18:30' })

const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: ARGUMENTS })
const page = await browser.newPage({ viewport: { width: 390, height: 660 }, deviceScaleFactor: 2 })
await page.goto(made.link)
await page.waitForURL('**/plan')
mkdirSync('.pictures', { recursive: true })
await page.screenshot({ path: '.pictures/plan.png' })
await browser.close()
await server.stop()
