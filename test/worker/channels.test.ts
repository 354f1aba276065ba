// The page "Who is told" through the whole worker: what a browser sends, and what nobody but a browser sends. Nothing goes
// out: what is sent is caught.

import { env } from 'cloudflare:workers'
import { runInDurableObject } from 'cloudflare:test'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { Env } from '../../src/env.ts'
import { webApp } from '../../src/web/app.tsx'
import { ORIGIN, browser } from './browser.ts'
import { type Call, inside, outside, setTime } from './told.ts'

let calls: Call[]
let status: number
beforeEach(() => {
  status = 200
  calls = outside(() => new Response('{}', { status }))
})
afterEach(inside)

const PUSH = {
  VAPID_PUBLIC_KEY: 'BPk',
  VAPID_PRIVATE_KEY: 'x',
  VAPID_SUBJECT: 'mailto:a@b.example',
}
const BOT = { TELEGRAM_TOKEN: '1:t', TELEGRAM_BOT: 'OurTestBot', TELEGRAM_SECRET: 's' }
const MAIL = { MAIL: {} as SendEmail, MAIL_FROM: 'reminders@holdbell.example' }
const ALL = { ...PUSH, ...BOT, ...MAIL }

const topic = {
  person: '',
  other: 'Rowan',
  label: 'phone',
  server: 'https://push.example.org',
  topic: 'terrace-7h2k',
  token: '',
}
// RFC 8291, appendix A: a subscription's keys.
const subscription = {
  endpoint: 'https://push.example.net/push/JzLQ3raZJfFBR0aqvOMsLrt54w4rJUsV',
  p256dh: 'BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4',
  auth: 'BTBZMqHH6r4Tts7J_aSIgg',
}

/** At the page; forms are sent with the page's value. */
async function atThePage(own: Partial<Env> = ALL) {
  const { visit, send } = await browser(own)
  return {
    visit,
    page: async () => (await visit('/channels')).text,
    send: (path: string, fields: Record<string, string> = {}) =>
      send(`/channels${path}`, fields, '/channels'),
  }
}

/** What the page says at its top. */
const saidIn = (text: string) =>
  /<p class="notice" role="status">([^<]*)</.exec(text)?.[1]?.replaceAll('&quot;', '"')

describe('a way to tell somebody', () => {
  it('is added, tried, and the page says how it did', async () => {
    const { send, visit } = await atThePage()
    const added = await send('/publish', topic)
    expect(added).toMatchObject({ status: 303, to: '/channels?said=added&about=c1' })
    const page = await visit(added.to ?? '')
    expect(saidIn(page.text)).toBe('Added: Rowan, phone. Send a test, to see that it arrives.')
    expect(page.text).toContain('Never tried.')
    setTime('15:32')
    const tested = await send('/c1/test')
    expect(tested.to).toBe('/channels?said=delivered&about=c1')
    expect(calls.at(-1)).toMatchObject({
      url: 'https://push.example.org/',
      body: { topic: 'terrace-7h2k', message: expect.stringContaining('This is a test for Rowan') },
    })
    const delivered = (await visit(tested.to ?? '')).text
    expect(saidIn(delivered)).toMatch(/^Delivered: Rowan, phone\./)
    expect(delivered).toContain('Delivered at 15:32 today.')
  })

  it('is of the person whose name was typed, whatever the list beside it shows', async () => {
    const { send, page } = await atThePage()
    await send('/publish', { ...topic, person: 'Rowan', other: 'Mika' })
    expect(await page()).toContain('Mika</h2>')
    await send('/publish', { ...topic, topic: 'terrace-2', person: 'Rowan', other: '' })
    expect(await page()).toContain('Rowan</h2>')
  })

  it('that does not answer, or is gone, is said to be so, with what to do', async () => {
    const { send, visit, page } = await atThePage()
    await send('/publish', topic)
    status = 500
    const failed = await send('/c1/test')
    expect(saidIn((await visit(failed.to ?? '')).text)).toMatch(/^Unreachable: .* Try again/)
    expect(await page()).toMatch(/Did not work at \d\d:\d\d today\./)
    status = 410
    const gone = await send('/c1/test')
    expect(saidIn((await visit(gone.to ?? '')).text)).toMatch(/^Gone: .* switched off/)
    const off = await page()
    expect(off).toContain('Switched off: it said that it is gone.')
    expect(off).not.toContain('action="/channels/c1/test"')
    expect(off).not.toContain('action="/channels/c1/on"')
  })

  it('is turned off and on, tried first, and removed when that is confirmed', async () => {
    const { send, page } = await atThePage()
    await send('/publish', topic)
    await send('/publish', { ...topic, topic: 'second', label: 'tablet' })
    const order = async () => [...(await page()).matchAll(/<li id="(c\d)">/g)].map(([, id]) => id)
    expect(await order()).toEqual(['c1', 'c2'])
    await send('/c2/first')
    expect(await order()).toEqual(['c2', 'c1'])
    await send('/c2/off')
    expect(await page()).toContain('Turned off.')
    await send('/c2/on')
    expect(await page()).not.toContain('Turned off.')
    await send('/c2/remove')
    expect(await order()).toEqual(['c2', 'c1'])
    expect((await send('/c2/remove', { sure: 'yes' })).to).toBe('/channels?said=removed')
    expect(await order()).toEqual(['c1'])
    expect((await send('/c2/test')).status).toBe(404)
  })

  it.each([
    ['nobody', { other: ' ' }, 'publish-other'],
    ['a name on two lines', { other: 'Ro\nwan' }, 'publish-other'],
    ['a name that turns the words around', { other: '\u202Enawor' }, 'publish-other'],
    ['no label', { label: '' }, 'publish-label'],
    ['no server', { server: '' }, 'publish-server'],
    // OWASP ASVS 5.0, 1.3.6: scheme, port and address of what is called from here.
    ['plain http', { server: 'http://push.example.org' }, 'publish-server'],
    ['this machine', { server: 'https://127.1' }, 'publish-server'],
    ['a name inside', { server: 'https://nas.local' }, 'publish-server'],
    ['a port', { server: 'https://push.example.org:8443' }, 'publish-server'],
    ['ourselves', { server: ORIGIN }, 'publish-server'],
    ['a topic with a slash', { topic: 'a/b' }, 'publish-topic'],
    ['a token with a space', { token: 'a b' }, 'publish-token'],
  ])('with %s comes back as it was typed', async (_, changed, field) => {
    const { send, page } = await atThePage()
    const back = await send('/publish', { ...topic, ...changed })
    expect(back.status).toBe(422)
    expect(back.text).toContain(`<a href="#${field}">`)
    expect(back.text).toContain(`id="${field}-wrong"`)
    expect(back.text).toMatch(/<details id="add-publish" open/)
    if (!('topic' in changed)) expect(back.text).toContain('value="terrace-7h2k"')
    expect(await page()).not.toContain('<li id="c1">')
    expect(calls).toEqual([])
  })

  it('comes with a fresh topic that nobody guesses', async () => {
    const { page } = await atThePage()
    const topicOn = async () =>
      /id="publish-topic"[^>]* value="([a-z2-9]{26})"/.exec(await page())?.[1]
    const [one, other] = [await topicOn(), await topicOn()]
    expect(one).toHaveLength(26)
    expect(one).not.toBe(other)
  })

  it('there are at most twenty of', async () => {
    const { send } = await atThePage()
    for (let n = 1; n <= 20; n += 1) await send('/publish', { ...topic, topic: `t${n}` })
    const back = await send('/publish', { ...topic, topic: 't21' })
    expect(back.status).toBe(422)
    expect(back.text).toContain('There are 20 ways')
  })
})

describe('this browser', () => {
  it('is a way once it has subscribed', async () => {
    const { send, page } = await atThePage()
    const form = /<form[^>]*id="push-form".*?<\/form>/s.exec(await page())?.[0] ?? ''
    expect(form).toContain('data-key="BPk"')
    for (const name of ['csrf', 'endpoint', 'p256dh', 'auth'])
      expect(form).toContain(`<input type="hidden" name="${name}"`)
    const added = await send('/push', { ...subscription, other: 'Mika', label: 'laptop' })
    expect(added.to).toBe('/channels?said=added&about=c1')
    const after = await page()
    expect(after).toContain('laptop (a browser)')
    // RFC 8030 §8.3: an endpoint is a secret; where it leads may be shown, it itself only to the script of this page.
    expect(after).toContain('It goes to push.example.net.')
    expect(after.replace(/data-endpoints="[^"]*"/, '')).not.toContain(subscription.endpoint)
  })

  it.each([
    ['no subscription, as without a script', { endpoint: '', p256dh: '', auth: '' }],
    ['an address inside', { endpoint: 'https://10.0.0.7/push' }],
    ['a key that is none', { p256dh: 'AAAA' }],
    ['a short secret', { auth: 'AAAA' }],
  ])('is not with %s', async (_, changed) => {
    const { send } = await atThePage()
    const back = await send('/push', {
      ...subscription,
      other: 'Mika',
      label: 'laptop',
      ...changed,
    })
    expect(back.status).toBe(422)
    expect(back.text).toContain('gave no address')
    expect(back.text).toContain('value="Mika"')
  })
})

describe('a chat', () => {
  it('is linked by a link that is shown once, for a quarter of an hour', async () => {
    const { send } = await atThePage()
    const made = await send('/telegram', { other: 'Mika' })
    expect(made.status).toBe(200)
    const links = [...made.text.matchAll(/href="(https:\/\/t\.me\/[^"]+)"/g)].map(
      ([, link]) => link,
    )
    expect(links).toHaveLength(2)
    expect(links[0]).toMatch(/^https:\/\/t\.me\/OurTestBot\?start=[\w-]{38}$/)
    expect(links[1]).toMatch(/\?startgroup=[\w-]{38}$/)
    expect(made.text).toContain('It works once, until 13:15.')
    expect((await send('/telegram', { other: '' })).status).toBe(422)
  })
})

describe('a mail address', () => {
  const ada = { address: 'Ada@Example.org', other: 'Ada', label: 'e-mail' }

  it('waits until its owner confirms it, whoever typed it', async () => {
    const { send, visit, page } = await atThePage()
    // The object has no way to send mail here: that is said.
    const added = await send('/mail', ada)
    expect(added.to).toBe('/channels?said=notAsked&about=c1')
    expect(saidIn((await visit(added.to ?? '')).text)).toContain(
      'could not be sent to ada@example.org',
    )
    expect(await page()).toContain('Waits to be confirmed')
    // Neither turned on here, nor by turning it off and on again.
    for (const to of ['on', 'off', 'on']) await send(`/c1/${to}`)
    expect(await page()).toContain('Waits to be confirmed')
    expect(await page()).not.toContain('/channels/c1/test')
  })

  it('is asked for at most three times a day, whoever wants it (OWASP ASVS 5.0, 2.4.1)', async () => {
    const mailbox = (env as unknown as Env).ADDRESS.getByName('mail:someone@example.org')
    const noon = Date.now()
    for (const allowed of [true, true, true, false])
      expect(await mailbox.mayBeAsked(noon)).toBe(allowed)
    expect(await mailbox.mayBeAsked(noon + 24 * 3600_000 + 1)).toBe(true)
  })

  it('that is none comes back', async () => {
    const { send } = await atThePage()
    for (const address of [
      '',
      'ada',
      'ada@localhost',
      'a@b.example, c@d.example',
      'a@b.example\r\nBcc: c@d.example',
    ]) {
      const back = await send('/mail', { ...ada, address })
      expect(back.status).toBe(422)
      expect(back.text).toContain('id="mail-address-wrong"')
    }
  })
})

describe('what is not set up here', () => {
  it('is said in a sentence, and not a form that cannot work', async () => {
    const { page, send } = await atThePage({})
    const text = await page()
    for (const each of ['Notifications to browsers', 'A chat with a bot', 'E-mail'])
      expect(text).toMatch(new RegExp(`${each}[^.]*not set up on this server\\.`))
    for (const path of ['push', 'telegram', 'mail']) {
      expect(text).not.toContain(`action="/channels/${path}"`)
      expect((await send(`/${path}`, { ...subscription, other: 'Mika', label: 'x' })).status).toBe(
        404,
      )
    }
    expect(text).toContain('action="/channels/publish"')
  })
})

describe('the webhook', () => {
  it('is set with a secret that is shown once, changed, and removed', async () => {
    const { send, page, visit } = await atThePage()
    expect(await page()).toContain('None is set.')
    const set = await send('/webhook', { url: 'https://home.example.org/hook' })
    expect(set.text).toMatch(/<code class="key"[^>]*>whsec_[\w+/=]+<\/code>/)
    expect(await page()).toContain('It goes to https://home.example.org/hook.')
    expect(await page()).not.toContain('whsec_')
    expect((await send('/webhook', { url: 'https://home.example.org/hook' })).to).toBe(
      '/channels?said=webhookSaved',
    )
    const back = await send('/webhook', { url: 'http://home.example.org/hook' })
    expect(back.status).toBe(422)
    expect(back.text).toContain('begins with https://')
    expect(back.text).toContain('value="http://home.example.org/hook"')
    const secretIn = (text: string) => /whsec_[\w+/=]+/.exec(text)?.[0]
    const another = await send('/webhook/secret')
    expect(secretIn(another.text)).toMatch(/^whsec_/)
    expect(secretIn(another.text)).not.toBe(secretIn(set.text))
    expect(another.text).toContain('The one before signs as well for a day')
    for (const [code, says] of [
      [202, 'Delivered: the webhook took the test.'],
      [500, 'Unreachable: the webhook did not take the test.'],
      [410, 'Gone: what answers there wants no messages any more.'],
    ] as const) {
      status = code
      const tested = await send('/webhook/test')
      expect(saidIn((await visit(tested.to ?? '')).text)).toContain(says)
      // Standard Webhooks: signed by both secrets.
      expect(calls.at(-1)?.headers['webhook-signature']?.split(' ')).toHaveLength(2)
    }
    await send('/webhook/remove')
    expect(await page()).toContain('It goes to https://home.example.org/hook.')
    await send('/webhook/remove', { sure: 'yes' })
    expect(await page()).toContain('None is set.')
  })
})

describe('the page', () => {
  // OWASP ASVS 5.0, 3.5.1 and 8.2.1.
  it('is for those inside, and takes no form from elsewhere', async () => {
    const { visit, send, page } = await atThePage()
    await send('/publish', topic)
    for (const path of ['/publish', '/c1/remove', '/c1/test', '/webhook', '/webhook/remove'])
      expect((await visit(`/channels${path}`, { csrf: 'guessed', sure: 'yes' })).status).toBe(403)
    expect(await page()).toContain('<li id="c1">')
    const stranger = webApp(env as unknown as Env, new URL(ORIGIN))
    const answer = await stranger.request(`${ORIGIN}/channels`)
    expect([answer.status, answer.headers.get('location')]).toEqual([303, '/?closed'])
  })

  it('changes nothing when it is looked at', async () => {
    const { visit, send, page } = await atThePage()
    await send('/publish', topic)
    const before = (await page()).replaceAll(/value="[a-z2-9]{26}"/g, '')
    for (const path of ['c1/remove?sure=yes', 'c1/off', 'c1/test', 'publish'])
      expect((await visit(`/channels/${path}`)).status).toBe(404)
    expect((await page()).replaceAll(/value="[a-z2-9]{26}"/g, '')).toBe(before)
    expect(calls).toEqual([])
  })

  it('says nothing that its address makes up', async () => {
    const { visit } = await atThePage()
    for (const said of ['nonsense', 'delivered', 'toString', '<b>'])
      expect(saidIn((await visit(`/channels?said=${said}&about=c9`)).text)).toBeUndefined()
  })
})

describe('an address that writes to us', () => {
  it('is forgotten with its channel', async () => {
    const bound = env as unknown as Env
    const home = bound.HOUSEHOLD.getByName('channels-forget1')
    const key = 'p'.repeat(43)
    const { settings } = await import('../reminder/house.ts')
    await home.create({
      id: 'channels-forget1',
      settings,
      origin: ORIGIN,
      keys: { page: key, feed: 'f'.repeat(43) },
      clock: null,
    })
    const code = (await home.inviteChat(key, 'Mika')) ?? ''
    await home.linkChat(code.slice(16), { chatId: '4711', group: false }, null)
    const address = () => bound.ADDRESS.getByName('telegram:4711')
    expect(await address().leadsTo()).toBe('channels-forget1')
    await home.removeChannel(key, 'c1')
    expect(await address().leadsTo()).toBeNull()
    expect((await home.read(key))?.household.channels).toEqual([])
    await runInDurableObject(address(), async (_, { storage }) => {
      expect((await storage.list()).size).toBe(0)
    })
  })
})
