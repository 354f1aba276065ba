// Reminders by mail, through the platform's binding. What the mail says is in mailText.ts; what comes
// back is read in inbox.ts.

import type { ChannelTarget } from '../reminder/index.ts'
import type { Channel, Outcome, PersonalMessage, Tools } from './channel.ts'
import { plainAddress } from './mailAddress.ts'
import { mailText } from './mailText.ts'

/** What the binding takes; the rest of its form is not needed here. */
export type MailToSend = {
  from: { name: string; email: string }
  to: string
  replyTo: string
  subject: string
  text: string
  html: string
  headers: Record<string, string>
  attachments: {
    disposition: 'attachment'
    filename: string
    type: string
    content: ArrayBuffer
  }[]
}

export type MailTools = {
  /** The platform's binding, or a stand-in. */
  readonly mail: { send(mail: MailToSend): Promise<unknown> }
  readonly from: string
  /** Where an answer goes: the person's own receiving address (mailAddress.ts). */
  readonly replyTo: string
  /** The plan as iCalendar text, to come with the mail. */
  readonly calendarFile: string | null
  /** https; a POST to it ends the mails (RFC 8058). */
  readonly unsubscribeUrl?: string
}

export type MailTarget = Extract<ChannelTarget, { kind: 'mail' }>

export const MAIL_TIMEOUT_MS = 8000

// A daily allowance that is used up does not come back in minutes.
const ALLOWANCE_WAIT_MS = 3_600_000

/** One attempt. An answer that does not come within 8 s is doubtful: the mail may be on its way. */
export const sendMail: Channel<MailTarget, PersonalMessage, Tools & MailTools> = async (
  { address },
  message,
  tools,
) => {
  const to = plainAddress(address)
  if (to === null) return { kind: 'refused', note: 'not a mail address' }
  const { calendarFile } = tools
  const mail: MailToSend = {
    from: { name: 'Holdbell', email: tools.from },
    to,
    replyTo: tools.replyTo,
    ...mailText(message, calendarFile !== null),
    headers: headersOf(tools),
    attachments: calendarFile === null ? [] : [attachmentOf(calendarFile)],
  }
  try {
    const answer = await inTime(tools.mail.send(mail))
    return answer === LATE
      ? { kind: 'try-again', afterMs: null, note: 'no answer in time', doubtful: true }
      : accepted(answer)
  } catch (error) {
    return outcomeOf(error)
  }
}

// Date, Message-ID and MIME-Version are the platform's: it refuses them from us (its documentation, "Email headers").
function headersOf({ from, unsubscribeUrl }: MailTools): Record<string, string> {
  const headers: Record<string, string> = {
    // RFC 3834 §5: nobody's automatic reply is to answer this.
    'Auto-Submitted': 'auto-generated',
    // By this a mail that is sent back to us by itself is known again (common practice, no source).
    'X-Loop': from,
  }
  if (unsubscribeUrl?.startsWith('https:') === true && URL.canParse(unsubscribeUrl)) {
    // RFC 2369 §3.2, RFC 8058 §3.1. A parsed address has no spaces, line ends or angle brackets.
    headers['List-Unsubscribe'] =
      `<${new URL(unsubscribeUrl).href.replace(/[<>]/g, encodeURIComponent)}>`
    headers['List-Unsubscribe-Post'] = 'List-Unsubscribe=One-Click'
  }
  return headers
}

// Octets, not a string: the platform's documentation takes a string for base64.
const attachmentOf = (calendarFile: string): MailToSend['attachments'][number] => ({
  disposition: 'attachment',
  filename: 'holdbell.ics',
  // RFC 6047 §2.4: the parameter says what METHOD says, so without the one there is not the other.
  type: /^METHOD:PUBLISH\r?$/m.test(calendarFile)
    ? 'text/calendar; charset=utf-8; method=PUBLISH'
    : 'text/calendar; charset=utf-8',
  content: new Uint8Array(new TextEncoder().encode(calendarFile)).buffer,
})

const LATE = Symbol('late')

const inTime = (answer: Promise<unknown>): Promise<unknown> =>
  new Promise((resolve, reject) => {
    const timer = setTimeout(() => resolve(LATE), MAIL_TIMEOUT_MS)
    answer.then(resolve, reject).finally(() => clearTimeout(timer))
  })

function accepted(answer: unknown): Outcome {
  const handle = propertyOf(answer, 'messageId')
  return handle === null ? { kind: 'accepted' } : { kind: 'accepted', handle }
}

/**
 * What the binding threw, by its `code` (the platform's documentation, "Workers API: Error codes"). Its
 * message can hold the address, so the note has the code or the error's name only.
 */
function outcomeOf(error: unknown): Outcome {
  const code = propertyOf(error, 'code')
  const note =
    [code, propertyOf(error, 'name')].find((name) => /^\w{1,60}$/.test(name ?? '')) ?? 'error'
  switch (code) {
    // It bounced for good, or its owner called us spam.
    case 'E_RECIPIENT_SUPPRESSED':
      return { kind: 'gone', note }
    case 'E_RATE_LIMIT_EXCEEDED':
    case 'E_DELIVERY_FAILED':
      return { kind: 'try-again', afterMs: null, note }
    case 'E_DAILY_LIMIT_EXCEEDED':
      return { kind: 'try-again', afterMs: ALLOWANCE_WAIT_MS, note }
    case 'E_VALIDATION_ERROR':
    case 'E_FIELD_MISSING':
    case 'E_TOO_MANY_RECIPIENTS':
    case 'E_SENDER_NOT_VERIFIED':
    case 'E_SENDER_DOMAIN_NOT_AVAILABLE':
    case 'E_RECIPIENT_NOT_ALLOWED':
    case 'E_CONTENT_TOO_LARGE':
      return { kind: 'refused', note }
  }
  if (code?.startsWith('E_HEADER') === true) return { kind: 'refused', note }
  return { kind: 'try-again', afterMs: null, note, doubtful: true }
}

function propertyOf(value: unknown, name: string): string | null {
  if (typeof value !== 'object' || value === null) return null
  const property: unknown = Reflect.get(value, name)
  return typeof property === 'string' && property !== '' ? property : null
}
