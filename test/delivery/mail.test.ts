import { simpleParser } from 'mailparser'
import fc from 'fast-check'
import { afterEach, describe, expect, test, vi } from 'vitest'
import { sendMail } from '../../src/delivery/index.ts'
import type { MailTools, MailToSend, Outcome, PersonalMessage } from '../../src/delivery/index.ts'
import { MAIL_TIMEOUT_MS } from '../../src/delivery/mail.ts'
import { mailText } from '../../src/delivery/mailText.ts'
import { asInstant } from '../../src/plan/index.ts'

const at = (iso: string) => asInstant(Date.parse(iso))

const message: PersonalMessage = {
  id: 'dlv_7',
  at: at('2027-01-14T20:13:00Z'),
  key: 'hold-e1-1',
  kind: 'hold',
  eventId: 'e1',
  text: 'Hold by 16:28, or as soon as it shows 25 %. It is for the event 17:30 to 18:30.',
  dueAt: at('2027-01-14T20:13:00Z'),
  uselessAfter: at('2027-01-14T21:25:00Z'),
  repeat: 0,
  page: 'https://holdbell.example.org/h/1',
  title: 'Tern Street',
  taps: [
    { label: 'It is held', does: 'done' },
    { label: 'In 10 minutes', does: 'later' },
  ],
  answerUrl: 'https://holdbell.example.org/answer/1?a=b&c="d"',
  urgent: true,
}
const target = { kind: 'mail', address: 'Ada@Example.org' } as const
const now = at('2027-01-14T20:13:05Z')

const noFetch: typeof fetch = () => {
  throw new Error('a mail does not go by fetch')
}

function binding(answer: () => Promise<unknown>) {
  const sent: MailToSend[] = []
  const tools: MailTools & { fetch: typeof fetch; now: typeof now } = {
    fetch: noFetch,
    now,
    mail: {
      send: (mail) => {
        sent.push(mail)
        return answer()
      },
    },
    from: 'reminders@holdbell.example.org',
    replyTo: 'abcdefghijklmnopqrstuvwxyz@in.example.org',
    calendarFile: null,
  }
  return { sent, tools }
}

async function sentBy(change: Partial<MailTools> = {}, changed: Partial<PersonalMessage> = {}) {
  const { sent, tools } = binding(async () => ({ messageId: '<1@example.org>' }))
  await sendMail(target, { ...message, ...changed }, { ...tools, ...change })
  return sent[0]!
}

const outcomeWhen = (error: unknown): Promise<Outcome> => {
  const { tools } = binding(async () => {
    throw error
  })
  return sendMail(target, message, tools)
}

const failing = (code: string) =>
  Object.assign(new Error(`no mail to ${target.address}`), { code, name: 'Error' })

describe('what is handed to the platform', () => {
  test('sender, receiver, where an answer goes', async () => {
    expect(await sentBy()).toMatchObject({
      from: { name: 'Holdbell', email: 'reminders@holdbell.example.org' },
      to: 'ada@example.org',
      replyTo: 'abcdefghijklmnopqrstuvwxyz@in.example.org',
      attachments: [],
    })
  })

  test('says that a machine wrote it (RFC 3834 §5), and sets no header that the platform keeps to itself', async () => {
    const { headers } = await sentBy()
    expect(headers).toEqual({
      'Auto-Submitted': 'auto-generated',
      'X-Loop': 'reminders@holdbell.example.org',
    })
  })

  test('one-click unsubscribe in both headers, or in neither (RFC 2369 §3.2, RFC 8058 §3.1)', async () => {
    const { headers } = await sentBy({ unsubscribeUrl: 'https://holdbell.example.org/off/k' })
    // The published example of RFC 8058 §8.1, with our address.
    expect(headers['List-Unsubscribe']).toBe('<https://holdbell.example.org/off/k>')
    expect(headers['List-Unsubscribe-Post']).toBe('List-Unsubscribe=One-Click')
    for (const unsubscribeUrl of ['http://holdbell.example.org/off', 'mailto:a@example.org', 'no'])
      expect(Object.keys((await sentBy({ unsubscribeUrl })).headers)).toHaveLength(2)
  })

  test('no address can close its brackets or add a line', async () => {
    const { headers } = await sentBy({
      unsubscribeUrl: 'https://holdbell.example.org/off?a=>,<mailto:eve@example.org>\r\nBcc: eve',
    })
    expect(headers['List-Unsubscribe']).toMatch(/^<https:[^<>\s]+>$/)
  })

  test('the calendar file as octets, its method where it has one (RFC 6047 §2.4)', async () => {
    const calendarFile = 'BEGIN:VCALENDAR\r\nSUMMARY:½ ⚡\r\nEND:VCALENDAR\r\n'
    const [file] = (await sentBy({ calendarFile })).attachments
    expect(file).toMatchObject({
      disposition: 'attachment',
      filename: 'holdbell.ics',
      type: 'text/calendar; charset=utf-8',
    })
    expect(new TextDecoder().decode(file!.content)).toBe(calendarFile)
    expect(file!.content.byteLength).toBe(new TextEncoder().encode(calendarFile).length)
    const [published] = (
      await sentBy({ calendarFile: 'BEGIN:VCALENDAR\r\nMETHOD:PUBLISH\r\nEND:VCALENDAR\r\n' })
    ).attachments
    expect(published!.type).toBe('text/calendar; charset=utf-8; method=PUBLISH')
  })
})

describe('the subject', () => {
  const subject = (text: string, title = 'Tern Street') =>
    mailText({ ...message, text, title }, false).subject

  test('is the first sentence, with the household', () => {
    expect(subject(message.text)).toBe('Hold by 16:28, or as soon as it shows 25 % – Tern Street')
    expect(subject(message.text, '')).toBe('Hold by 16:28, or as soon as it shows 25 %')
    expect(subject('Hold by 3:42 p.m. or as soon as it shows 46 %.\nThen wait.', '')).toBe(
      'Hold by 3:42 p.m. or as soon as it shows 46 %',
    )
    expect(subject('Hold by 3:42 p.m.', '')).toBe('Hold by 3:42 p.m.')
    expect(subject('Is it held? Say so.', '')).toBe('Is it held?')
  })

  test('is cut at a word, and the household left out before that', () => {
    expect(subject('Hold by 16:28.', 'x'.repeat(80))).toBe('Hold by 16:28')
    const long = subject(`${'word '.repeat(30)}end.`)
    expect(long).toMatch(/^(word )+word…$/)
    expect(long.length).toBeLessThanOrEqual(78)
  })

  test('is one line of at most 78 characters, whatever the text and the name (RFC 5322 §2.1.1, header injection)', () => {
    expect(subject('Hold.', 'Tern\r\nBcc: eve@example.org')).toBe(
      'Hold – Tern Bcc: eve@example.org',
    )
    const nasty = fc.string({
      unit: fc.oneof(
        fc.constantFrom('\r', '\n', '\u2028', '\u0085', '\0', '\u202E', ' ', '.', 'word', '😀'),
        fc.string({ unit: 'binary', minLength: 1, maxLength: 1 }),
      ),
      maxLength: 120,
    })
    fc.assert(
      fc.property(nasty, nasty, (text, title) => {
        const line = subject(text, title)
        expect(line).not.toMatch(/[\p{Cc}\p{Zl}\p{Zp}\p{Cs}\u202E]/u)
        expect(line.length).toBeLessThanOrEqual(78)
      }),
    )
  })
})

/** The mail as an independent reader sees it, from the parts that we hand over. */
const read = ({ subject, text, html }: Pick<MailToSend, 'subject' | 'text' | 'html'>) =>
  simpleParser(
    [
      'From: Holdbell <reminders@holdbell.example.org>',
      `Subject: =?utf-8?B?${Buffer.from(subject).toString('base64')}?=`,
      'MIME-Version: 1.0',
      'Content-Type: multipart/alternative; boundary=x',
      '',
      ...[
        ['plain', text],
        ['html', html],
      ].flatMap(([kind, body]) => [
        '--x',
        `Content-Type: text/${kind}; charset=utf-8`,
        'Content-Transfer-Encoding: base64',
        '',
        Buffer.from(body!).toString('base64').replace(/.{76}/g, '$&\r\n'),
      ]),
      '--x--',
      '',
    ].join('\r\n'),
  )

describe('the text', () => {
  test('says how to answer, and where', async () => {
    const { text } = await read(mailText(message, true))
    expect(text).toContain(message.text)
    expect(text).toContain('"done"')
    expect(text).toContain('"in 10"')
    expect(text).toContain('attached calendar file')
    expect(text).toContain(message.answerUrl)
  })

  test('asks for a number where one is wanted, and for nothing where nothing is', () => {
    const reading = mailText({ ...message, kind: 'reading', taps: [] }, false)
    expect(reading.text).toContain('"58"')
    expect(reading.text).toContain(message.answerUrl)
    const enrol = mailText({ ...message, kind: 'enrol', taps: message.taps.slice(1) }, false)
    expect(enrol.text).not.toContain('mail')
    expect(enrol.text).toContain(message.answerUrl)
    expect(mailText({ ...message, taps: message.taps.slice(0, 1) }, false).text).not.toContain(
      'in 10',
    )
    const plan = mailText({ ...message, kind: 'plan', taps: [] }, false)
    expect(plan.text).not.toContain('Answer')
    expect(plan.html).not.toContain('Answer')
    expect(plan.text).toContain(message.page)
    expect(plan.text).not.toContain(message.answerUrl)
  })

  test('that asks whose address it is leads to where that is confirmed; a test leads to the plan', () => {
    const asks = mailText({ ...message, kind: 'test', taps: [] }, false)
    expect(asks.text).toContain(`Confirm it here: ${message.answerUrl}`)
    expect(asks.html).toContain('Confirm this address')
    expect(asks.html).not.toContain(message.page)
    const test = mailText({ ...message, kind: 'test', taps: [], answerUrl: message.page }, false)
    expect(test.text).toContain(message.page)
    expect(test.text).not.toContain('Confirm')
  })

  test('the HTML shows a household called <b>*_x as it is called, and one real link', async () => {
    const { html, text } = mailText(
      { ...message, title: '<b>*_x', text: 'Hold <i>now</i> & "wait".' },
      false,
    )
    expect(text).toContain('<b>*_x')
    expect(html).toContain('&lt;b&gt;*_x')
    expect(html).toContain('Hold &lt;i&gt;now&lt;/i&gt; &amp; &quot;wait&quot;.')
    expect(html).not.toMatch(/<(?:b|i|img|script|link|iframe)\b/)
    expect(html.match(/href="[^"]*"/g)).toEqual([
      'href="https://holdbell.example.org/answer/1?a=b&amp;c=&quot;d&quot;"',
    ])
  })

  test('no text or name adds a tag: the tags of the HTML are always the same', () => {
    const tags = (text: string, title: string) =>
      mailText({ ...message, text, title }, false)
        .html.match(/<[^>]*>/g)!
        .filter((tag) => tag !== '<br>')
    const usual = tags('a', 'b')
    fc.assert(
      fc.property(fc.string(), fc.string(), (text, title) => {
        expect(tags(text, `x${title}`)).toEqual(usual)
      }),
    )
  })
})

describe('what became of it', () => {
  afterEach(() => vi.useRealTimers())

  test('accepted, under the name the platform gave it, or without one', async () => {
    const named = binding(async () => ({ messageId: '<1@example.org>' }))
    expect(await sendMail(target, message, named.tools)).toEqual({
      kind: 'accepted',
      handle: '<1@example.org>',
    })
    for (const answer of [undefined, null, {}, { messageId: 7 }, { messageId: '' }]) {
      const { tools } = binding(async () => answer)
      expect(await sendMail(target, message, tools)).toEqual({ kind: 'accepted' })
    }
  })

  // The codes and their meaning: the platform's documentation, "Workers API: Error codes".
  test.each([
    ['E_RECIPIENT_SUPPRESSED', 'gone'],
    ['E_RECIPIENT_NOT_ALLOWED', 'refused'],
    ['E_VALIDATION_ERROR', 'refused'],
    ['E_SENDER_NOT_VERIFIED', 'refused'],
    ['E_SENDER_DOMAIN_NOT_AVAILABLE', 'refused'],
    ['E_CONTENT_TOO_LARGE', 'refused'],
    ['E_HEADER_VALUE_INVALID', 'refused'],
    ['E_HEADERS_TOO_MANY', 'refused'],
    ['E_RATE_LIMIT_EXCEEDED', 'try-again'],
    ['E_DAILY_LIMIT_EXCEEDED', 'try-again'],
    ['E_DELIVERY_FAILED', 'try-again'],
    ['E_INTERNAL_SERVER_ERROR', 'try-again'],
  ])('%s is %s', async (code, kind) => {
    expect(await outcomeWhen(failing(code))).toMatchObject({ kind, note: code })
  })

  test('a trouble that is not known may have let it through', async () => {
    expect(await outcomeWhen(failing('E_INTERNAL_SERVER_ERROR'))).toMatchObject({ doubtful: true })
    expect(await outcomeWhen(new TypeError('x'))).toEqual({
      kind: 'try-again',
      afterMs: null,
      note: 'TypeError',
      doubtful: true,
    })
    expect(await outcomeWhen(failing('E_RATE_LIMIT_EXCEEDED'))).not.toHaveProperty('doubtful')
  })

  test('the note never holds the address', async () => {
    const hostile = [
      failing(`E_${target.address}`),
      Object.assign(new Error('x'), { name: target.address, code: target.address }),
      target.address,
      { code: target.address },
    ]
    for (const error of hostile)
      expect(JSON.stringify(await outcomeWhen(error)).toLowerCase()).not.toContain('ada@')
  })

  test('a binding that does not answer in 8 s: try again, doubtful; what it says later is nobody’s trouble', async () => {
    vi.useFakeTimers()
    let fail: (error: Error) => void = () => {}
    const { tools } = binding(
      () =>
        new Promise((_, reject) => {
          fail = reject
        }),
    )
    let outcome: Outcome | undefined
    const attempt = sendMail(target, message, tools).then((found) => (outcome = found))
    await vi.advanceTimersByTimeAsync(MAIL_TIMEOUT_MS - 1)
    expect(outcome).toBeUndefined()
    await vi.advanceTimersByTimeAsync(1)
    expect(outcome).toMatchObject({ kind: 'try-again', doubtful: true, note: 'no answer in time' })
    fail(new Error('late'))
    await attempt
    expect(vi.getTimerCount()).toBe(0)
  })

  test('leaves no timer behind when it answers', async () => {
    vi.useFakeTimers()
    const { tools } = binding(async () => ({}))
    await sendMail(target, message, tools)
    await vi.advanceTimersByTimeAsync(0)
    expect(vi.getTimerCount()).toBe(0)
  })

  test.each([
    '',
    'ada',
    'ada@example.org\r\nBcc: eve@example.org',
    'a@example.org,b@example.org',
    'Ada <ada@example.org>',
  ])('nothing is sent to %j', async (address) => {
    const { sent, tools } = binding(async () => ({}))
    expect(await sendMail({ kind: 'mail', address }, message, tools)).toMatchObject({
      kind: 'refused',
    })
    expect(sent).toEqual([])
  })
})
