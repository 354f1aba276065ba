// The meter's page through the whole worker: what a browser sends, and what nobody but a browser sends.

import { env } from 'cloudflare:workers'
import { describe, expect, it } from 'vitest'
import type { Env } from '../../src/env.ts'
import { webApp } from '../../src/web/app.tsx'
import { ORIGIN, ZONE, browser } from './browser.ts'
import { isoWall, kwh, rows, seriesFrom, wall } from '../meter/build.ts'

const MIB = 1024 * 1024

const csv = rows(
  seriesFrom('2025-01-01T04:00:00Z', 480),
  (each) => `${new Date(each.start).toISOString()},${kwh(each.wh)}`,
  'start,kWh',
)
const ambiguous = rows(
  seriesFrom('2025-01-01T04:00:00Z', 480),
  (each) => `${isoWall(wall(each.start, ZONE))},${kwh(each.wh)}`,
  'time,kWh',
)

/** At the meter's page: a file is sent with the value of the page, or with another one. */
async function atTheMeter() {
  const { visit, keyOn, send } = await browser()
  const upload = async (content: string | Uint8Array, given?: string) => {
    const form = new FormData()
    form.set('csrf', given ?? (await keyOn('/meter')))
    form.set('file', new File([content], 'readings.csv', { type: 'text/csv' }))
    return visit('/meter', form)
  }
  return {
    visit,
    upload,
    send: (path: string, fields: Record<string, string>) => send(path, fields, '/meter'),
  }
}

describe('the page of the meter', () => {
  it('asks how sure a plan shall be once there are readings, and keeps the answer', async () => {
    const { visit, upload, send } = await atTheMeter()
    expect((await visit('/meter')).text).not.toContain('How sure')
    await upload(csv)
    const page = (await visit('/meter')).text
    expect(page).toMatch(/id="sure-0\.9"[^>]*checked/)
    expect(page).toMatch(/id="looks-2"[^>]*checked/)
    expect((await send('/meter/certainty', { confidence: '0.95', maxReadings: '3' })).to).toBe(
      '/meter?certainty',
    )
    const after = (await visit('/meter?certainty')).text
    expect(after).toMatch(/id="sure-0\.95"[^>]*checked/)
    expect(after).toMatch(/id="looks-3"[^>]*checked/)
    // Out of range, or nothing at all: as it was.
    await send('/meter/certainty', { confidence: '2', maxReadings: '3' })
    await send('/meter/certainty', {})
    expect((await visit('/meter')).text).toMatch(/id="sure-0\.95"[^>]*checked/)
  })

  it('takes a file, shows what it was, and forgets it again', async () => {
    const { visit, upload, send } = await atTheMeter()
    expect(await upload(csv)).toMatchObject({ status: 303, to: '/meter?taken' })
    const page = await visit('/meter?taken')
    expect(page.text).toContain('The file was read and kept.')
    expect(page.text).toContain('10 whole days, 1 January 2025 to 10 January 2025.')
    const file = await visit('/meter/readings.csv')
    expect(file.text.split('\n')).toHaveLength(1 + 480 + 1)
    expect(file.text).toMatch(/^start,kWh\n2025-01-01T04:00Z,0\.1\n/)
    expect(await send('/meter/forget', {})).toMatchObject({ status: 303, to: '/meter' })
    expect((await visit('/meter')).text).toContain('10 whole days')
    const forgotten = await send('/meter/forget', { sure: 'yes' })
    expect(forgotten).toMatchObject({ status: 303, to: '/meter?forgotten' })
    expect((await visit('/meter')).text).toContain('No readings yet.')
    expect((await visit('/meter/readings.csv')).status).toBe(404)
  })

  it('asks what it has to, and takes the answer by one button', async () => {
    const { visit, upload, send } = await atTheMeter()
    expect(await upload(ambiguous)).toMatchObject({ status: 303, to: '/meter#asked' })
    expect((await visit('/meter')).text).toContain('Which clock are the times in the file from?')
    expect(await send('/meter/answer', { about: 'clock', choice: 'none' })).toMatchObject({
      to: '/meter?dropped',
    })
    await upload(ambiguous)
    const answered = await send('/meter/answer', { about: 'clock', choice: '0' })
    expect(answered).toMatchObject({ status: 303, to: '/meter?taken' })
    const late = await send('/meter/answer', { about: 'clock', choice: '0' })
    expect(late.status).toBe(422)
    expect(late.text).toContain('That question is not open any more.')
  })

  it('a file that is too large is told so, and one that just fits is read', async () => {
    const { visit, upload } = await atTheMeter()
    await upload(csv)
    for (const size of [5 * MIB + 1, 20 * MIB]) {
      const answer = await upload(new Uint8Array(size))
      expect(answer.status).toBe(413)
      expect(answer.text).toContain('Export a shorter time: this file is over 5 MiB')
      expect(answer.text).toContain('The readings from before are as they were.')
    }
    const note = 'x'.repeat(10_500)
    const large = csv.replaceAll('\n', `,${note}\n`)
    expect(large.length).toBeGreaterThan(4.7 * MIB)
    expect(await upload(large)).toMatchObject({ status: 303, to: '/meter?taken' })
    expect((await visit('/meter')).text).toContain('10 whole days')
  })

  it('no file, and no file name, is asked for', async () => {
    const { upload, send } = await atTheMeter()
    const form = await send('/meter', {})
    expect(form.status).toBe(422)
    expect(form.text).toContain('Choose a file first')
    expect((await upload('')).status).toBe(422)
  })

  it('takes nothing from a page of somebody else', async () => {
    const { visit, upload } = await atTheMeter()
    expect((await upload(csv, 'guessed')).status).toBe(403)
    const form = new FormData()
    form.set('file', new File([csv], 'readings.csv'))
    expect((await visit('/meter', form)).status).toBe(403)
    expect((await visit('/meter', form, { origin: 'https://other.example' })).status).toBe(403)
    expect((await visit('/meter', 'no form', { 'content-type': 'text/plain' })).status).toBe(403)
    expect((await visit('/meter')).text).toContain('No readings yet.')
  })

  it('is for those inside', async () => {
    const app = webApp(env as unknown as Env, new URL(ORIGIN))
    const answer = await app.request(`${ORIGIN}/meter`)
    expect([answer.status, answer.headers.get('location')]).toEqual([303, '/?closed'])
  })
})
