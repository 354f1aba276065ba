import { simpleParser } from 'mailparser'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readAuthResults } from '../../src/delivery/authResults.ts'
import { readMail } from '../../src/delivery/index.ts'
import { ENVELOPE, PASSED, RULES, SERVER, TO, mail } from './mailSamples.ts'
import type { Parts } from './mailSamples.ts'

const why = async (parts: Parts, envelope = ENVELOPE) => {
  const found = await readMail(mail(parts), envelope, RULES)
  return found.kind === 'message' ? found.from : found.why
}

const results = (text: string, server = SERVER) => `Authentication-Results: ${server}; ${text}`
const ADA = 'ada@example.org'

describe('who sent it', () => {
  test.each([
    ['DMARC passed', 'dmarc=pass header.from=example.org', ADA],
    ['DMARC passed, the domain not named', 'dmarc=pass', ADA],
    ['no policy, signed by the domain itself', 'dmarc=none; dkim=pass header.d=example.org', ADA],
    [
      'signed by the domain, and by another',
      'dkim=pass header.d=example.com; dkim=pass header.d=Example.ORG',
      ADA,
    ],
    [
      'DMARC failed, whatever was signed',
      'dkim=pass header.d=example.org; dmarc=fail header.from=example.org',
      'not-authenticated',
    ],
    [
      'DMARC both passed and did not',
      'dmarc=pass header.from=example.org; dmarc=none',
      'not-authenticated',
    ],
    ['DMARC passed for another', 'dmarc=pass header.from=example.com', 'sender-mismatch'],
    [
      'DMARC passed for one that ends alike',
      'dmarc=pass header.from=notexample.org',
      'sender-mismatch',
    ],
    ['signed by another alone', 'dkim=pass header.d=example.com', 'sender-mismatch'],
    ['signed by one that ends alike', 'dkim=pass header.d=ample.org', 'sender-mismatch'],
    [
      'signed by one below: it may be anybody’s',
      'dkim=pass header.d=eve.example.org',
      'sender-mismatch',
    ],
    ['signed by a whole top-level domain', 'dkim=pass header.d=org', 'sender-mismatch'],
    [
      'a signature that names two domains',
      'dkim=pass header.d=example.com header.d=example.org',
      'sender-mismatch',
    ],
    ['a broken signature', 'dkim=fail header.d=example.org', 'not-authenticated'],
    [
      'SPF alone: it is of the envelope',
      'spf=pass smtp.mailfrom=ada@example.org',
      'not-authenticated',
    ],
    ['nothing was checked (RFC 8601 §2.2)', 'none', 'not-authenticated'],
    [
      'the word in a comment',
      'spf=fail (x; dmarc=pass header.from=example.org)',
      'not-authenticated',
    ],
    [
      'the word in a quotation',
      'spf=fail smtp.mailfrom="x; dmarc=pass"@example.org',
      'not-authenticated',
    ],
    ['the word as a value', 'spf=fail reason=dmarc=pass', 'not-authenticated'],
    ['a comment that does not end', 'dmarc=pass header.from=example.org (', 'not-authenticated'],
    [
      'a quotation that does not end',
      'dmarc=pass header.from=example.org; x="',
      'not-authenticated',
    ],
  ])('%s', async (_, text, verdict) => {
    expect(await why({ results: results(text) })).toBe(verdict)
  })

  test('a signature of the domain above', async () => {
    const from = 'From: ada@home.example.org'
    expect(await why({ from, results: results('dkim=pass header.d=example.org') })).toBe(
      'ada@home.example.org',
    )
  })

  test('only our own server is believed, by its whole name (RFC 8601 §2.5)', async () => {
    const pass = 'dmarc=pass header.from=example.org'
    for (const server of [
      'mx.example.com',
      `x${SERVER}`,
      `${SERVER}.example.com`,
      '',
      `"${SERVER}"x`,
    ])
      expect(await why({ results: results(pass, server) })).toBe('not-authenticated')
    expect(await why({ results: results(pass, SERVER.toUpperCase()) })).toBe(ADA)
    expect(await why({ results: results(pass, `${SERVER} 1`) })).toBe(ADA)
    expect(await why({ results: 'absent' })).toBe('not-authenticated')
  })

  test('what the sender wrote lower down under our server’s name does not count (RFC 8601 §5)', async () => {
    const forged = results('dmarc=pass header.from=example.org')
    for (const real of ['dmarc=fail header.from=example.org', 'none', 'spf=pass', '(']) {
      const verdict = await why({ results: results(real), headers: [forged] })
      // What cannot be read is not ours to believe, and neither is what stands below it.
      expect(verdict, real).toBe('not-authenticated')
    }
  })

  test('others may stand above it', async () => {
    const other = results('dmarc=fail', 'mx.example.com')
    expect(await why({ results: `${other}\r\n${PASSED}` })).toBe(ADA)
  })

  test.each([
    ['two headers', 'From: ada@example.org\r\nFrom: eve@example.org'],
    ['two authors (RFC 5322 §3.6.2)', 'From: ada@example.org, eve@example.org'],
    ['none', 'absent'],
    ['an empty one', 'From:'],
    ['a name alone', 'From: Ada'],
    ['a group', 'From: all: ada@example.org, bob@example.org;'],
    ['a quoted name', 'From: "ada bell"@example.org'],
    ['a number', 'From: ada@[192.0.2.1]'],
    ['another domain', 'From: ada@example.com'],
    ['an address as its name', 'From: "ada@example.org" <eve@example.com>'],
    ['an address as its encoded name', 'From: =?utf-8?q?ada=40example.org?= <eve@example.com>'],
    ['letters of another script', 'From: ada@ехаmple.org'],
  ])('From with %s is not Ada', async (_, from) => {
    expect(await why({ from })).not.toBe(ADA)
    expect(await why({ from })).toBe('sender-mismatch')
  })

  test.each([
    ['a name', 'From: Ada <ADA@example.org>'],
    ['a comment', 'From: ada@example.org (Ada)'],
    ['an address as its name', 'From: "eve@example.com" <ada@example.org>'],
    ['a fold', 'From: Ada\r\n <ada@example.org>'],
    ['an encoded name', 'From: =?utf-8?B?QWRhIMOp?= <ada@example.org>'],
  ])('From with %s is Ada, to another reader of mail, too', async (_, from) => {
    expect(await why({ from })).toBe(ADA)
    const other = await simpleParser(mail({ from }))
    expect(other.from?.value.map(({ address }) => address?.toLowerCase())).toEqual([ADA])
  })

  test('where it is proven, another reader of mail sees the same one sender', async () => {
    const piece = fc.constantFrom(
      ...'ada@example.org|eve@example.org|<|>|"|,|(|)|;|:| |\\|=?utf-8?q?ada=40example.org?=|Ada|\r\n '.split(
        '|',
      ),
    )
    let proven = 0
    await fc.assert(
      fc.asyncProperty(fc.array(piece, { minLength: 1, maxLength: 6 }), async (pieces) => {
        const parts = { from: `From: ${pieces.join('')}` }
        const found = await readMail(mail(parts), ENVELOPE, RULES)
        if (found.kind !== 'message') return
        proven++
        const other = await simpleParser(mail(parts))
        expect(other.from?.value.map(({ address }) => address?.toLowerCase())).toEqual([found.from])
      }),
      { numRuns: 2000 },
    )
    expect(proven).toBeGreaterThan(50)
  })

  test('the envelope may name another, but nothing that could write into a comment (RFC 8601 §7.1)', async () => {
    const pass = results('dmarc=pass header.from=example.org')
    const from = (address: string) => why({ results: pass }, { from: address, to: TO })
    expect(await from('bounces+ada=example.org@lists.example.com')).toBe(ADA)
    expect(await from('SRS0=x=y=example.org=ada@example.com')).toBe(ADA)
    expect(await from('"a);dmarc=pass header.from=example.org;x=(b"@example.com')).toBe(
      'not-authenticated',
    )
    expect(await from('a;dmarc=pass@example.com')).toBe('not-authenticated')
  })
})

describe('what a machine wrote', () => {
  test.each([
    ['auto-reply', 'Auto-Submitted: auto-replied'],
    ['auto-reply', 'Auto-Submitted: AUTO-GENERATED; owner-email="a@example.org"'],
    ['auto-reply', 'Auto-Submitted: auto-notified (RFC 5436)'],
    ['auto-reply', 'Precedence: bulk'],
    ['auto-reply', 'Precedence: Junk'],
    ['auto-reply', 'X-Autoreply: yes'],
    ['list', 'Precedence: list'],
    ['list', 'List-Id: Tern Street <tern.example.org>'],
    ['bounce', 'Return-Path: <>'],
    ['loop', 'X-Loop: reminders@holdbell.example.net'],
    ['loop', `X-Loop: ${TO.toUpperCase()}`],
    [ADA, 'Auto-Submitted: no'],
    [ADA, 'Auto-Submitted: No (a person)'],
    [ADA, 'Precedence: first-class'],
    [ADA, 'X-Loop: somebody@example.org'],
    [ADA, 'Return-Path: <ada@example.org>'],
  ])('%s: %s (RFC 3834 §5, RFC 2919, RFC 5321 §4.5.5)', async (verdict, header) => {
    expect(await why({ headers: [header] })).toBe(verdict)
  })

  test.each(['', '<>', ' ', '< >'])('an empty return path %j is a bounce', async (from) => {
    expect(await why({}, { from, to: TO })).toBe('bounce')
  })

  test('a report is a bounce (RFC 6522)', async () => {
    const type = 'Multipart/Report; report-type=delivery-status; boundary="b1"'
    const body = '--b1\nContent-Type: message/delivery-status\n\nAction: failed\n\n--b1--\n'
    expect(await why({ type, body })).toBe('bounce')
  })

  test.each(['Automatic reply: Hold by 16:28', 'Out of office', 'Out of the Office: back Monday'])(
    'the subject %j is an answering machine’s',
    async (subject) => {
      expect(await why({ subject })).toBe('auto-reply')
    },
  )

  test('our own mail is a loop, proven or not', async () => {
    expect(await why({ from: 'From: Holdbell <Reminders@holdbell.example.net>' })).toBe('loop')
    expect(await why({ from: `From: ${TO}` })).toBe('loop')
    expect(await why({ from: `From: ada@example.org, ${TO}`, results: 'absent' })).toBe('loop')
  })
})

describe('the header', () => {
  // RFC 8601 appendix B, with its line ends unfolded.
  test.each([
    ['example.org 1; none', 'example.org', []],
    [
      'example.com; spf=pass smtp.mailfrom=example.net',
      'example.com',
      ['spf=pass smtp.mailfrom=example.net'],
    ],
    [
      'example.com; auth=pass (cram-md5) smtp.auth=sender@example.net; spf=pass smtp.mailfrom=example.net',
      'example.com',
      ['auth=pass smtp.auth=sender@example.net', 'spf=pass smtp.mailfrom=example.net'],
    ],
    [
      'example.com; dkim=pass reason="good signature" header.i=@mail-router.example.net; dkim=fail reason="bad signature" header.i=@newyork.example.com',
      'example.com',
      [
        'dkim=pass reason=good signature header.i=@mail-router.example.net',
        'dkim=fail reason=bad signature header.i=@newyork.example.com',
      ],
    ],
    [
      "foo.example.net (foobar) 1 (baz); dkim (Because I like it) / 1 (One yay) = (wait for it) fail policy (A dot can go here) . (like that) expired (this surprised me) = (as I wasn't expecting it) 1362471462",
      'foo.example.net',
      null,
    ],
  ])('%s', (value, server, found) => {
    const read = readAuthResults(value)
    expect(read?.server).toBe(server)
    const lines = read?.results.map(({ method, result, properties }) =>
      [`${method}=${result}`, ...[...properties].map((pair) => pair.join('='))].join(' '),
    )
    // The last is the standard's own test of patience: read or left out, never taken for a pass.
    if (found === null) expect(lines?.some((line) => line.includes('pass'))).toBe(false)
    else expect(lines).toEqual(found)
  })

  test('nothing that is put into a comment or a quotation makes a result', () => {
    const inner = fc.string({
      unit: fc.constantFrom(...'abc ;=.()"\\', 'dmarc=pass'),
      maxLength: 30,
    })
    const escape = (text: string) => text.replace(/[()"\\]/g, '\\$&')
    fc.assert(
      fc.property(inner, inner, (comment, quotation) => {
        const value = `${SERVER}; spf=fail (${escape(comment)}) reason="${escape(quotation)}"; dkim=none`
        const methods = readAuthResults(value)?.results.map(
          ({ method, result }) => `${method}=${result}`,
        )
        expect(methods).toEqual(['spf=fail', 'dkim=none'])
      }),
    )
  })
})
