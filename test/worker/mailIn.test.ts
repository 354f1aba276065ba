// Mails that answer, through the worker's own handler of mails. The mails are written by hand (RFC 5322); nothing goes out.

import { runInDurableObject } from 'cloudflare:test'
import { env } from 'cloudflare:workers'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { Env } from '../../src/env.ts'
import { linkCode, mailCode } from '../../src/household/links.ts'
import worker from '../../src/index.ts'
import { type Parts, SERVER, mail } from '../delivery/mailSamples.ts'
import { at, house, inside, outside } from './told.ts'

beforeEach(() => {
  outside()
})
afterEach(inside)

const DOMAIN = 'in.holdbell.example'
const OWN: Env = { ...(env as unknown as Env), MAIL_AUTH_SERVER: SERVER }

let homes = 0

/** A household that Ada confirmed her address to, and the address at which her answers arrive. */
async function withAda() {
  const home = await house(`mails-coming-in-${homes++}`.slice(-16))
  await home.addChannel({ kind: 'mail', address: 'ada@example.org' }, 'Ada', 'waiting')
  await home.stub().askMailOwner(home.key, 'c1')
  const signing = await runInDurableObject(home.stub(), (_, { storage }) => {
    const query = "SELECT body FROM part WHERE kind = 'secret' AND id = 'sign'"
    return storage.sql.exec<{ body: string }>(query).toArray()[0]?.body ?? ''
  })
  expect(
    await home
      .stub()
      .confirmChannel('c1', await linkCode(signing, 'confirm', 'c1', 'ada@example.org')),
  ).toBe(true)
  const to = `${await mailCode(signing, 'mail', 'c1', 'ada@example.org')}@${DOMAIN}`
  return { ...home, to }
}

type Reply = { from: string; subject: string; text: string; headers: Record<string, string> }

/** Hands one mail to the worker; what it answered. */
async function arrives(
  to: string,
  parts: Parts = {},
  { from = 'ada@example.org', bound = OWN, replies = true, writtenAt = Date.now() } = {},
): Promise<readonly Reply[]> {
  const raw = mail(parts).replace(/^Date: .*$/m, `Date: ${new Date(writtenAt).toUTCString()}`)
  const answers: Reply[] = []
  const headers = new Headers(
    raw
      .slice(0, raw.indexOf('\r\n\r\n'))
      .replaceAll(/\r\n\s/g, ' ')
      .split('\r\n')
      .map((line) => [line.slice(0, line.indexOf(':')), line.slice(line.indexOf(':') + 1).trim()]),
  )
  const message = {
    from,
    to,
    headers,
    raw: new Response(raw).body,
    rawSize: raw.length,
    setReject: () => expect.unreachable('a mail is dropped in silence'),
    forward: () => expect.unreachable('nothing is forwarded'),
    reply: async (answer: Reply) => {
      if (!replies) throw new Error('the platform cannot send it')
      answers.push(answer)
    },
  } as unknown as ForwardableEmailMessage
  await worker.email(message, bound)
  return answers
}

const readings = async (home: Awaited<ReturnType<typeof withAda>>) =>
  (await home.household())?.readings.map(({ socPct }) => socPct)

describe('a mail that answers', () => {
  it('is noted, and answered to its sender once', async () => {
    const home = await withAda()
    const answers = await arrives(home.to)
    expect(await readings(home)).toEqual([55, 58])
    expect(answers).toEqual([
      {
        // RFC 5322 §3.6.3: the next answer goes where this one went.
        from: home.to,
        subject: 'Re: Hold by 16:28',
        text: expect.stringMatching(/hold by \d\d:\d\d/i),
        // RFC 3834 §5.1: what answers by itself says so.
        headers: { 'Auto-Submitted': 'auto-replied', 'X-Loop': home.to },
      },
    ])
    // The same mail once more: by its Message-ID (RFC 5322 §3.6.4).
    expect(await arrives(home.to)).toEqual([])
    expect(await readings(home)).toEqual([55, 58])
  })

  it('says "done" in the name of whose address it is', async () => {
    const home = await withAda()
    await home.wakeAt('15:29')
    await home.wakeAt('16:19')
    await arrives(home.to, { body: 'Done!\n\n> Hold by 16:28' })
    expect(await home.reminder('hold-e1-1')).toMatchObject({
      state: 'acknowledged',
      acknowledgedBy: 'Ada',
    })
  })

  it('announces what was forwarded', async () => {
    const home = await withAda()
    await arrives(home.to, { subject: 'Fwd: Event', body: 'Event on 20 January 17:30-18:30' })
    expect((await home.household())?.events).toHaveLength(2)
  })

  it('written before it was asked answers nothing that was asked since (RFC 5322 §3.6.1)', async () => {
    const home = await withAda()
    await home.wakeAt('15:29')
    await home.wakeAt('16:19')
    const [answer] = await arrives(home.to, { body: 'done' }, { writtenAt: at('16:10') })
    expect(answer?.text).toContain('say it again')
    expect(await home.reminder('hold-e1-1')).toMatchObject({ state: 'sent' })
  })

  it('is noted even if its answer cannot be sent, whatever its Message-ID', async () => {
    const home = await withAda()
    const long = { headers: [`Message-ID: <${'x'.repeat(300)}@example.org>`] }
    await arrives(home.to, { ...long, body: '57' }, { replies: false })
    expect(await readings(home)).toEqual([55, 57])
  })

  it('whose address lost its case on the way arrives all the same', async () => {
    const home = await withAda()
    await arrives(home.to.toUpperCase())
    expect(await readings(home)).toEqual([55, 58])
  })
})

describe('a mail is dropped in silence', () => {
  it.each<[string, Parts, { from?: string }]>([
    ['that nobody stands behind', { results: 'absent' }, {}],
    ['that failed its checks', { results: `Authentication-Results: ${SERVER}; dmarc=fail` }, {}],
    [
      'that was checked by somebody else',
      {
        results: 'Authentication-Results: mx.attacker.example; dmarc=pass header.from=example.org',
      },
      {},
    ],
    // RFC 3834 §2: never answer what answers by itself.
    ['that answers by itself', { headers: ['Auto-Submitted: auto-replied'] }, {}],
    ['that bounced', {}, { from: '' }],
    ['of a list', { headers: ['List-Id: <list.example.org>'] }, {}],
    ['without a word', { body: '> Hold by 16:28' }, {}],
    [
      'of somebody who confirmed nothing',
      {
        from: 'From: Eve <eve@example.org>',
      },
      { from: 'eve@example.org' },
    ],
  ])('%s', async (_, parts, how) => {
    const home = await withAda()
    const before = await home.household()
    expect(await arrives(home.to, parts, how)).toEqual([])
    expect(await home.household()).toEqual(before)
  })

  it('that came to no address of ours, or to another household’s', async () => {
    const home = await withAda()
    const before = await home.household()
    const other = await house('mails-elsewhere1')
    for (const to of [`hello@${DOMAIN}`, `${'a'.repeat(26)}@${DOMAIN}`, DOMAIN])
      expect(await arrives(to)).toEqual([])
    expect(await home.household()).toEqual(before)
    expect((await other.household())?.readings).toHaveLength(1)
  })

  it('where it is not known which server to believe', async () => {
    const home = await withAda()
    const { MAIL_AUTH_SERVER: _, ...without } = OWN
    expect(await arrives(home.to, {}, { bound: without })).toEqual([])
    expect(await readings(home)).toEqual([55])
  })

  it('once she stopped the mails, or the household removed her', async () => {
    const home = await withAda()
    await home.perform({ type: 'turn-channel', channelId: 'c1', to: 'off' })
    expect(await arrives(home.to)).toEqual([])
    await home.stub().removeChannel(home.key, 'c1')
    expect(await arrives(home.to)).toEqual([])
    expect(await readings(home)).toEqual([55])
  })
})
