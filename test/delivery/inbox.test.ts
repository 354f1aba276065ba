import { simpleParser } from 'mailparser'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readMail, sendMail } from '../../src/delivery/index.ts'
import type { InboundMail, MailToSend, PersonalMessage } from '../../src/delivery/index.ts'
import { LARGEST_MAIL } from '../../src/delivery/inbox.ts'
import { ownWords } from '../../src/delivery/ownWords.ts'
import { asInstant } from '../../src/plan/index.ts'
import { ENVELOPE, RULES, TO, mail, multipart } from './mailSamples.ts'
import type { Parts } from './mailSamples.ts'

const read = (parts: Parts = {}) => readMail(mail(parts), ENVELOPE, RULES)

const textOf = async (parts: Parts) => {
  const found = await read(parts)
  return found.kind === 'message' ? found.text : found.why
}

const ignored = (why: string) => ({ kind: 'ignored', why }) as InboundMail

describe('a proven mail', () => {
  test('is its sender, subject and words', async () => {
    expect(await read()).toEqual({
      kind: 'message',
      from: 'ada@example.org',
      subject: 'Re: Hold by 16:28',
      text: '58',
      attachments: [],
    })
  })

  test('however it arrives: text, octets, a stream in pieces', async () => {
    const octets = new TextEncoder().encode(mail())
    const pieces = new ReadableStream<Uint8Array>({
      start(controller) {
        for (let at = 0; at < octets.length; at += 7) controller.enqueue(octets.slice(at, at + 7))
        controller.close()
      },
    })
    expect(await readMail(octets.buffer as ArrayBuffer, ENVELOPE, RULES)).toEqual(await read())
    expect(await readMail(pieces, ENVELOPE, RULES)).toEqual(await read())
  })

  test('with nothing but a subject is the subject; an empty reply is empty', async () => {
    expect(await textOf({ subject: 'done', body: '' })).toBe('done')
    expect(await textOf({ subject: 'Event tomorrow: 17:30-18:30', body: '\n' })).toBe(
      'Event tomorrow: 17:30-18:30',
    )
    expect(await textOf({ body: '' })).toBe('empty')
    expect(await textOf({ body: '> Hold by 16:28\n>\n> Holdbell' })).toBe('empty')
  })

  test('is cut at 4,000 characters, between characters, without controls', async () => {
    const text = await textOf({ body: `${'a'.repeat(3999)}😀😀` })
    expect(text).toBe('a'.repeat(3999))
    expect(await textOf({ body: 'do\u0007ne\u0000' })).toBe('done')
  })
})

describe('what is too large or cannot be read', () => {
  const big = (length: number) => {
    const head = mail({ body: '' })
    return head + 'a'.repeat(length - head.length)
  }

  test('1 MiB is read, an octet more is not', async () => {
    expect(await readMail(big(LARGEST_MAIL), ENVELOPE, RULES)).toMatchObject({ kind: 'message' })
    expect(await readMail(big(LARGEST_MAIL + 1), ENVELOPE, RULES)).toEqual(ignored('too-large'))
    const octets = new TextEncoder().encode(big(LARGEST_MAIL + 1))
    expect(await readMail(octets.buffer as ArrayBuffer, ENVELOPE, RULES)).toEqual(
      ignored('too-large'),
    )
    // Fewer characters than octets.
    expect(await readMail(mail({ body: '½'.repeat(600_000) }), ENVELOPE, RULES)).toEqual(
      ignored('too-large'),
    )
  })

  test('a stream without an end is left in time', async () => {
    let pulled = 0
    let cancelled = false
    const endless = new ReadableStream<Uint8Array>({
      pull: (controller) => {
        pulled += 65_536
        controller.enqueue(new Uint8Array(65_536))
      },
      cancel: () => {
        cancelled = true
      },
    })
    expect(await readMail(endless, ENVELOPE, RULES)).toEqual(ignored('too-large'))
    expect(cancelled).toBe(true)
    expect(pulled).toBeLessThan(2 * LARGEST_MAIL)
  })

  test('parts in parts without end', async () => {
    const nested = Array.from(
      { length: 40 },
      (_, n) => `--b${n}\nContent-Type: multipart/mixed; boundary="b${n + 1}"\n`,
    ).join('\n')
    expect(await textOf({ type: 'multipart/mixed; boundary="b0"', body: nested })).toBe(
      'unreadable',
    )
  })

  test('never throws', async () => {
    const token = fc.constantFrom(
      ...'\r\n|--b1|:|;|"|(|<|>|=?utf-8?q?|?=|From|Content-Type|message/rfc822|base64|\0|ÿ|> '.split(
        '|',
      ),
      'multipart/mixed; boundary=b1',
      'On x wrote:',
    )
    await fc.assert(
      fc.asyncProperty(fc.array(token, { maxLength: 60 }), async (tokens) => {
        const inHead = await read({ headers: [tokens.join(' ').replace(/^[\s>]+/, 'X-')] })
        const inBody = await read({ type: 'multipart/mixed; boundary=b1', body: tokens.join('\n') })
        expect(['message', 'ignored']).toContain(inHead.kind)
        expect(['message', 'ignored']).toContain(inBody.kind)
        expect((await readMail(tokens.join(''), ENVELOPE, RULES)).kind).toBe('ignored')
      }),
    )
  })
})

const CALENDAR = ['BEGIN:VCALENDAR', 'SUMMARY:Event ½', 'END:VCALENDAR']

describe('calendar files', () => {
  const body = ['Content-Type: text/plain; charset=utf-8', '', 'see the file']
  const shapes: [string, string[]][] = [
    [
      'a text/calendar part',
      ['Content-Type: text/calendar; charset=utf-8; method=REQUEST', '', ...CALENDAR],
    ],
    [
      'an attachment in base64',
      [
        'Content-Type: text/calendar; name="e.ics"',
        'Content-Disposition: attachment; filename="e.ics"',
        'Content-Transfer-Encoding: base64',
        '',
        Buffer.from(CALENDAR.join('\r\n')).toString('base64'),
      ],
    ],
    [
      'a file that is only named so',
      [
        'Content-Type: application/octet-stream',
        'Content-Disposition: attachment; filename="E.ICS"',
        '',
        ...CALENDAR,
      ],
    ],
  ]
  test.each(shapes)('%s is given apart', async (_, part) => {
    const found = await read(multipart('mixed', body, part))
    expect(found).toMatchObject({ kind: 'message', text: 'see the file' })
    const [file] = found.kind === 'message' ? found.attachments : []
    expect(file!.trim().split(/\r?\n/)).toEqual(CALENDAR)
  })

  test('alone it is enough; other files are not looked at', async () => {
    const alone = multipart('mixed', [
      'Content-Type: text/calendar; charset=utf-8',
      '',
      ...CALENDAR,
    ])
    expect(await read(alone)).toMatchObject({ kind: 'message', text: '' })
    const picture = [
      'Content-Type: image/png',
      'Content-Disposition: attachment; filename=a.png',
      '',
      'x',
    ]
    expect(await read(multipart('mixed', body, picture))).toMatchObject({ attachments: [] })
    expect(await read(multipart('mixed', picture))).toEqual(ignored('empty'))
  })
})

const forwardOf = (...lines: string[]) => lines.join('\n')

// Common practice, no source: as mail programs write them.
const samples: [string, Parts, string][] = [
  ['text', { body: 'done' }, 'done'],
  [
    'an answer above the original',
    {
      body: 'done\n\nOn Thu, Jan 14, 2027 at 4:13 PM Holdbell <reminders@holdbell.example.net> wrote:\n\n> Hold by 16:28.\n> \n> Or answer here\n',
    },
    'done',
  ],
  [
    'its introduction folded',
    {
      body: '58\n\nOn Thu, Jan 14, 2027 at 4:13 PM Holdbell <\nreminders@holdbell.example.net> wrote:\n> Hold by 16:28.\n',
    },
    '58',
  ],
  [
    'an answer below the original',
    { body: 'On 14 Jan 2027, Holdbell wrote:\n> Hold by 16:28.\n> Or answer here\n\ndone' },
    'done',
  ],
  [
    'in another language',
    {
      body: '58\n\nLe jeu. 14 janv. 2027 à 16:13, Holdbell <a@example.net> a écrit :\n> Hold by 16:28.',
    },
    '58',
  ],
  [
    'an original that is not marked line by line',
    {
      body: '58\n\n________________________________\nFrom: Holdbell <reminders@holdbell.example.net>\nSent: January 14, 2027 4:13 PM\nTo: Ada <ada@example.org>\nSubject: Hold by 16:28\n\nHold by 16:28, or as soon as it shows 25 %.',
    },
    '58',
  ],
  [
    'another such',
    {
      body: 'not yet\n\n-----Original Message-----\nFrom: Holdbell\nSubject: Hold by 16:28\n\nHold by 16:28.',
    },
    'not yet',
  ],
  ['a signature (RFC 3676 §4.3)', { body: '58\n-- \nAda Example\nTel. 555-0100' }, '58'],
  ['a telephone’s signature', { body: 'done\n\nSent from my phone\n\n\n' }, 'done'],
  [
    'a forward',
    {
      subject: 'Fwd: Event tomorrow',
      body: forwardOf(
        'For us?',
        '',
        '---------- Forwarded message ---------',
        'From: Tern Power <news@example.com>',
        'Date: Wed, Jan 13, 2027 at 9:00 AM',
        'Subject: Event tomorrow',
        'To: <ada@example.org>,',
        '        <bob@example.org>',
        '',
        '',
        'Please use little tomorrow 17:30-18:30.',
        '',
        '-- ',
        'Tern Power, 1 Example Road',
      ),
    },
    'For us?\n\nPlease use little tomorrow 17:30-18:30.',
  ],
  [
    'a forward that is quoted',
    {
      subject: 'Fwd: Event',
      body: forwardOf(
        'Begin forwarded message:',
        '',
        '> From: Tern Power <news@example.com>',
        '> Subject: Event',
        '> Date: January 13, 2027 at 9:00:00 AST',
        '> To: ada@example.org',
        '> ',
        '> Event on 14 January, 17:30 to 18:30.',
        '',
        'Sent from my phone',
      ),
    },
    'Event on 14 January, 17:30 to 18:30.',
  ],
  [
    'a forward with a header block alone',
    {
      subject: 'FW: Event',
      body: forwardOf(
        '',
        'From: Tern Power <news@example.com>',
        'Sent: January 13, 2027 9:00 AM',
        'To: ada@example.org',
        'Subject: Event',
        '',
        'Event on 14 January, 17:30 to 18:30.',
      ),
    },
    'Event on 14 January, 17:30 to 18:30.',
  ],
  [
    'a forward that is only marked line by line',
    { subject: 'Fwd: Event', body: '> Event on 14 January,\n> 17:30 to 18:30.' },
    'Event on 14 January,\n17:30 to 18:30.',
  ],
  [
    'a forward of a forward',
    {
      subject: 'Fwd: Fwd: Event',
      body: forwardOf(
        '---------- Forwarded message ---------',
        'From: Bob <bob@example.org>',
        'Subject: Fwd: Event',
        '',
        'fyi',
        '---------- Forwarded message ---------',
        'From: Tern Power <news@example.com>',
        'Subject: Event',
        '',
        'Event 17:30-18:30.',
      ),
    },
    'fyi\n\nEvent 17:30-18:30.',
  ],
  [
    'an announcement with names that a header has, too',
    {
      subject: 'Event',
      body: 'Date: 14 January\nFrom: 17:30\nTo: 18:30\nDate of notice: 13 January\nSubject to change.',
    },
    'Date: 14 January\nFrom: 17:30\nTo: 18:30\nDate of notice: 13 January\nSubject to change.',
  ],
]

describe('the person’s own words', () => {
  test.each(samples)('%s', async (_, parts, words) => {
    expect(await textOf(parts)).toBe(words)
  })

  test.each(samples)('%s, as another reader of mail reads it', async (_, parts, words) => {
    const other = await simpleParser(mail(parts))
    expect(ownWords(other.text ?? '', other.subject ?? '').trim()).toBe(words)
    expect(other.from?.value[0]?.address?.toLowerCase()).toBe('ada@example.org')
  })

  const encodings: [string, Parts][] = [
    [
      'quoted-printable',
      {
        headers: ['Content-Transfer-Encoding: quoted-printable'],
        body: 'Caf=C3=A9: charge =\n58 =E2=9A=A1',
      },
    ],
    [
      'base64',
      {
        headers: ['Content-Transfer-Encoding: base64'],
        body: Buffer.from('Café: charge 58 ⚡').toString('base64'),
      },
    ],
    [
      'format=flowed (RFC 3676)',
      { type: 'text/plain; charset=utf-8; format=flowed', body: 'Café: charge \n58 ⚡' },
    ],
    [
      'multipart/alternative',
      multipart(
        'alternative',
        ['Content-Type: text/plain; charset=utf-8', '', 'Café: charge 58 ⚡'],
        ['Content-Type: text/html; charset=utf-8', '', '<p>something else</p>'],
      ),
    ],
  ]
  test.each(encodings)('in %s, by both readers', async (_, parts) => {
    expect(await textOf(parts)).toBe('Café: charge 58 ⚡')
    const other = await simpleParser(mail(parts))
    expect(ownWords(other.text ?? '', '').trim()).toBe('Café: charge 58 ⚡')
  })

  test('a mail that is forwarded as a file', async () => {
    const inner = [
      'From: Tern Power <news@example.com>',
      'Subject: Event',
      '',
      'Event 17:30-18:30.',
    ]
    const parts = multipart(
      'mixed',
      ['Content-Type: text/plain', '', 'fyi'],
      ['Content-Type: message/rfc822', 'Content-Disposition: attachment', '', ...inner],
    )
    expect(await textOf({ ...parts, subject: 'Fwd: Event' })).toBe('fyi\n\nEvent 17:30-18:30.')
  })

  test('only what was written stays, wherever it stands among what is quoted', () => {
    const own = fc.stringMatching(/^[a-z0-9 %]{0,20}[a-z0-9]$/)
    const quoted = own.map((line) => `> ${line}`)
    fc.assert(
      fc.property(fc.array(fc.oneof(own, quoted)), (lines) => {
        const kept = lines.filter(
          (line) => !line.startsWith('>') && !/^sent (from|via) /.test(line),
        )
        expect(ownWords(lines.join('\n'), 'Re: x')).toBe(kept.join('\n'))
      }),
    )
  })
})

describe('what we sent ourselves', () => {
  const noon = asInstant(Date.parse('2027-01-14T16:00:00Z'))
  const message: PersonalMessage = {
    id: 'd1',
    at: noon,
    key: 'reading-e1',
    kind: 'reading',
    eventId: 'e1',
    text: 'What does the battery show? The event begins at 17:30.',
    dueAt: noon,
    uselessAfter: noon,
    repeat: 0,
    page: 'https://holdbell.example.net/h',
    title: 'Tern Street',
    taps: [],
    answerUrl: 'https://holdbell.example.net/a',
    urgent: false,
  }
  async function sent(): Promise<MailToSend> {
    const mails: MailToSend[] = []
    await sendMail({ kind: 'mail', address: 'ada@example.org' }, message, {
      fetch,
      now: noon,
      mail: { send: async (one) => mails.push(one) },
      from: 'reminders@holdbell.example.net',
      replyTo: TO,
      calendarFile: null,
    })
    return mails[0]!
  }

  test('and comes back by itself is a loop, or at least no answer', async () => {
    const { headers, subject, text } = await sent()
    const back = mail({
      subject,
      headers: Object.entries(headers).map(([name, value]) => `${name}: ${value}`),
      body: text,
    })
    expect(await readMail(back, ENVELOPE, RULES)).toEqual(ignored('loop'))
    const { authServer } = RULES
    expect(await readMail(back, ENVELOPE, { authServer })).toEqual(ignored('auto-reply'))
  })

  test('and is quoted below an answer falls away, in plain text and in HTML', async () => {
    const { subject, text, html } = await sent()
    const intro = 'On Thu, Jan 14, 2027 at 12:00 PM Holdbell wrote:'
    const quoted = text.split('\n').map((line) => `> ${line}`)
    const body = ['58', '', intro, ...quoted].join('\n')
    expect(await textOf({ subject: `Re: ${subject}`, body })).toBe('58')
    const page = `<div>58</div><div>${intro}</div><blockquote>${html}</blockquote>`
    const type = 'text/html; charset=utf-8'
    expect(await textOf({ subject: `Re: ${subject}`, type, body: page })).toBe('58')
  })
})
