// The page that a link in a message opens. The links are those that really left the house, on their way to a publish server.

import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { runInDurableObject } from 'cloudflare:test'
import { linkCode } from '../../src/household/links.ts'
import { type Call, TOPIC, house, inside, outside, setTime } from './told.ts'

let calls: Call[]
beforeEach(() => {
  calls = outside()
})
afterEach(inside)

let count = 0
const freshId = () => `answer-links-${String((count += 1)).padStart(3, '0')}`

const urlEncoded = (fields: Record<string, string>) => ({
  method: 'POST',
  body: new URLSearchParams(fields),
})
const json = (body: unknown) => ({
  method: 'POST',
  headers: { 'content-type': 'application/json' },
  body: JSON.stringify(body),
})

/** The hold was asked for at 16:18, and this is the link that came with it. */
async function asked() {
  const home = await house(freshId())
  await home.addChannel({ ...TOPIC, topic: 't' })
  await home.wakeAt('15:29')
  await home.wakeAt('16:19')
  const hold = calls.findLast(({ body }) => String(body['click']).includes('/hold-'))
  const link = String(hold?.body['click'])
  const key = /hold-[\w-]+/.exec(link)?.[0] ?? ''
  return { ...home, link, key, look: String(calls[0]?.body['click']) }
}

describe('the link of a reminder', () => {
  it('opens a page without any cookie, that shows the one reminder, and how to answer', async () => {
    const { visit, link } = await asked()
    const answer = await visit(link)
    const text = await answer.text()
    expect(answer.status).toBe(200)
    expect(text).toContain('Hold the battery')
    expect(text).toMatch(/Hold by 16:\d\d, or as soon as it shows/)
    expect(text).toContain('Done: it is paused')
    expect(text).toContain('In 10 minutes')
    // Nothing else of the household: neither its readings nor its other people or ways.
    expect(text).not.toMatch(/\b55.%|Rowan|push\.example|csrf/)
    expect(answer.headers.getSetCookie()).toEqual([])
  })

  // OWASP ASVS 5.0: 14.3.2 (no-store), 3.4.5 (referrer), and its address is a secret, so no search engine is to keep it.
  it('is kept nowhere and told to nobody', async () => {
    const { visit, link } = await asked()
    for (const init of [{}, urlEncoded({ do: 'done' })]) {
      const { headers } = await visit(link, init)
      expect(headers.get('cache-control')).toBe('no-store')
      expect(headers.get('referrer-policy')).toBe('no-referrer')
      expect(headers.get('x-robots-tag')).toBe('noindex')
    }
  })

  // ASVS 5.0, 3.5.3; RFC 9110 §9.2.1: mail scanners and previews open links.
  it('acts on no GET, no HEAD and no OPTIONS', async () => {
    const { visit, link, reminder, key } = await asked()
    for (const method of ['GET', 'HEAD', 'OPTIONS'])
      for (const query of ['', '?do=done', '?do=later']) await visit(link + query, { method })
    expect(await reminder(key)).toMatchObject({ state: 'sent', repeat: 0 })
  })

  it('"done" is done, says who and when, and can be taken back while it helps', async () => {
    const { visit, link, reminder, key } = await asked()
    setTime('16:20')
    const done = await visit(link, urlEncoded({ do: 'done' }))
    expect([done.status, done.headers.get('location')]).toEqual([303, new URL(link).pathname])
    expect(await reminder(key)).toMatchObject({ state: 'acknowledged', acknowledgedBy: 'Rowan' })
    const page = await (await visit(link)).text()
    expect(page).toContain('Done: Rowan said so at 16:20.')
    expect(page).not.toContain('value="done"')
    expect(page).toContain('value="not-yet"')
    // Twice is once.
    expect((await visit(link, urlEncoded({ do: 'done' }))).status).toBe(303)
    await visit(link, urlEncoded({ do: 'not-yet' }))
    expect(await reminder(key)).toMatchObject({ state: 'sent', acknowledgedBy: null })
    expect(await (await visit(link)).text()).toContain('value="done"')
  })

  it('"in 10 minutes" asks again then', async () => {
    const { visit, link, reminder, key } = await asked()
    setTime('16:15')
    await visit(link, urlEncoded({ do: 'later' }))
    const { nextAt, state } = (await reminder(key)) ?? {}
    expect([state, new Date(Number(nextAt)).toISOString()]).toEqual([
      'sent',
      '2036-01-14T20:25:00.000Z',
    ])
    expect(await (await visit(link)).text()).toContain('asked again at 16:25')
  })

  it('takes a reading, "24,5" too, and brings back what is none', async () => {
    const { visit, look, household } = await asked()
    expect(await (await visit(look)).text()).toContain('name="socPct"')
    for (const socPct of ['lots', '', '101', '-1']) {
      const back = await visit(look, urlEncoded({ do: 'reading', socPct }))
      expect(back.status).toBe(422)
      const text = await back.text()
      expect(text).toContain('a number from 0 to 100')
      expect(text).toContain(`value="${socPct}"`)
    }
    expect((await household())?.readings.at(-1)?.socPct).toBe(55)
    expect((await visit(look, urlEncoded({ do: 'reading', socPct: '40,5' }))).status).toBe(303)
    expect((await household())?.readings.at(-1)?.socPct).toBe(40.5)
  })

  it('answers a program in JSON, as the buttons of a published message post it', async () => {
    const { visit, link, reminder, key } = await asked()
    const button = calls.at(-1)?.body['actions'] as { url: string; body: string }[]
    const pressed = button[0]
    expect(pressed?.url).toBe(link)
    const done = await visit(link, json(JSON.parse(pressed?.body ?? '')))
    expect([done.status, done.headers.get('content-type')]).toEqual([200, 'application/json'])
    // The page of a publish server may read that it was taken.
    expect(done.headers.get('access-control-allow-origin')).toBe('*')
    expect(await done.json()).toMatchObject({ text: expect.stringMatching(/paused until 17:25/) })
    expect(await reminder(key)).toMatchObject({ state: 'acknowledged' })
    const twice = await visit(link, json({ do: 'done' }))
    expect([twice.status, await twice.json()]).toEqual([
      200,
      { text: expect.stringMatching(/^Done: Rowan said so at 16:19\.$/) },
    ])
    expect((await visit(link, json({ do: 'later' }))).status).toBe(409)
  })

  it('takes nothing that it does not know', async () => {
    const { visit, link, reminder, key } = await asked()
    for (const body of ['{', 'null', '[]', '{"do":"cancel"}', '{"do":"toString"}']) {
      const headers = { 'content-type': 'application/json' }
      expect((await visit(link, { method: 'POST', headers, body })).status).toBe(422)
    }
    expect((await visit(link, { method: 'POST' })).status).toBe(422)
    expect((await visit(link, urlEncoded({ do: 'done', more: 'x'.repeat(5000) }))).status).toBe(413)
    expect(await reminder(key)).toMatchObject({ state: 'sent' })
  })

  it('says so when it is over', async () => {
    const { visit, link, wakeAt } = await asked()
    await wakeAt('17:31')
    const page = await (await visit(link)).text()
    expect(page).toContain('This is over: nothing to do for it any more.')
    expect(page).not.toMatch(/value="(done|later|not-yet)"/)
    expect((await visit(link, json({ do: 'done' }))).status).toBe(409)
  })

  // ASVS 5.0, 16.5.x: nothing is told by how it fails.
  it('with another code, key, channel or household is a page like any that is not there', async () => {
    const { visit, link, reminder, key } = await asked()
    const other = await asked()
    const nowhere = await (await visit('/nothing-here')).text()
    const path = new URL(link).pathname
    const [, , id = '', channel = '', , code = ''] = path.split('/')
    const wrong = [
      path.replace(code, `${code.slice(0, -1)}${code.endsWith('A') ? 'B' : 'A'}`),
      path.replace(code, 'x'),
      path.replace(key, 'release-e1-1'),
      path.replace(key, 'none'),
      path.replace(`/${channel}/`, '/c9/'),
      path.replace(id, other.id),
      path.replace(id, 'nobody-is-here-0'),
      path.replace(id, 'short'),
      path.replace(code, new URL(other.link).pathname.split('/').at(-1) ?? ''),
    ]
    for (const each of wrong)
      for (const init of [{}, urlEncoded({ do: 'done' })]) {
        const answer = await visit(each, init)
        expect([answer.status, await answer.text()]).toEqual([404, nowhere])
      }
    expect((await visit(wrong[0] ?? '', json({ do: 'done' }))).status).toBe(404)
    expect(await reminder(key)).toMatchObject({ state: 'sent' })
  })
})

/** A mail address of the household, and the address of its page for `purpose`. */
async function withMail(purpose: 'confirm' | 'stop') {
  const home = await house(freshId())
  await home.addChannel({ kind: 'mail', address: 'ada@example.org' }, 'Ada', 'waiting')
  // The mail that carries it is not sent here: the code is made as the object makes it.
  await home.stub().askMailOwner(home.key, 'c1')
  const signing = await runInDurableObject(home.stub(), (_, { storage }) => {
    const query = "SELECT body FROM part WHERE kind = 'secret' AND id = 'sign'"
    return storage.sql.exec<{ body: string }>(query).toArray()[0]?.body ?? ''
  })
  const state = async () => (await home.household())?.channels[0]?.state
  const path = `/${purpose}/${home.id}/c1/${await linkCode(signing, purpose, 'c1', 'ada@example.org')}`
  const other = purpose === 'confirm' ? 'stop' : 'confirm'
  const wrong = `/${purpose}/${home.id}/c1/${await linkCode(signing, other, 'c1', 'ada@example.org')}`
  return { ...home, path, wrong, state }
}

describe('the link that confirms a mail address', () => {
  it('fits no other address, even where that takes its place', async () => {
    const { path, stub, key, addChannel, state, visit } = await withMail('confirm')
    await stub().removeChannel(key, 'c1')
    await addChannel({ kind: 'mail', address: 'ben@example.org' }, 'Ben', 'waiting')
    expect((await visit(path, urlEncoded({ confirm: 'yes' }))).status).toBe(404)
    expect(await state()).toBe('waiting')
  })

  it('undoes no answer that comes in the same moment', async () => {
    const { path, stub, key, wakeAt, reminder, state } = await withMail('confirm')
    await wakeAt('15:29')
    await wakeAt('16:19')
    const [channelId = '', code = ''] = path.split('/').slice(-2)
    const held = { type: 'acknowledge', key: 'hold-e1-1', by: 'page' } as const
    // The confirmation waits for its address's object; the answer comes meanwhile.
    await Promise.all([
      stub().confirmChannel(channelId, code),
      ...Array.from({ length: 3 }, () => stub().perform(key, held)),
    ])
    expect(await state()).toBe('on')
    expect(await reminder('hold-e1-1')).toMatchObject({ state: 'acknowledged' })
  })

  it('shows one button; the button alone confirms', async () => {
    const { visit, path, wrong, state } = await withMail('confirm')
    const page = await visit(path)
    expect(await page.text()).toContain('Confirm: send them here')
    expect(page.headers.get('cache-control')).toBe('no-store')
    expect(await state()).toBe('waiting')
    expect((await visit(wrong, { method: 'POST' })).status).toBe(404)
    expect(await state()).toBe('waiting')
    const done = await visit(path, urlEncoded({ confirm: 'yes' }))
    expect(await done.text()).toContain('Confirmed')
    expect(await state()).toBe('on')
  })
})

describe('the link that stops a channel', () => {
  it('shows one button, and says what it did', async () => {
    const { visit, path, state } = await withMail('stop')
    const page = await (await visit(path)).text()
    expect(page).toContain('name="List-Unsubscribe" value="One-Click"')
    expect(await state()).toBe('waiting')
  })

  // RFC 8058 §8.1: the example's request, octet for octet; §3.2: "multipart/form-data" as well; §3.1: no redirect, no cookie.
  it('takes the one click of a mail program', async () => {
    const { visit, path, wrong, state } = await withMail('stop')
    const body = 'List-Unsubscribe=One-Click'
    expect(body).toHaveLength(26)
    const headers = { 'content-type': 'application/x-www-form-urlencoded', 'content-length': '26' }
    expect((await visit(wrong, { method: 'POST', headers, body })).status).toBe(404)
    expect(await state()).toBe('waiting')
    const answer = await visit(path, { method: 'POST', headers, body })
    expect([answer.status, answer.headers.get('location')]).toEqual([200, null])
    expect(await state()).toBe('off')
  })

  it('takes it as multipart, and nothing without it', async () => {
    const { visit, path, state } = await withMail('stop')
    expect((await visit(path, { method: 'POST' })).status).toBe(422)
    expect((await visit(path, urlEncoded({ 'List-Unsubscribe': 'no' }))).status).toBe(422)
    expect(await state()).toBe('waiting')
    const form = new FormData()
    form.set('List-Unsubscribe', 'One-Click')
    expect((await visit(path, { method: 'POST', body: form })).status).toBe(200)
    expect(await state()).toBe('off')
  })
})
