// What a received mail means, as data: a person's words, or why it is left alone. Never throws for what
// a mail contains. Who the sender is here, and what the words mean, is for others.

import PostalMime from 'postal-mime'
import type { Attachment, Email } from 'postal-mime'
import { htmlText } from './htmlText.ts'
import { byMachine, senderOf } from './mailTrust.ts'
import type { ByMachine, Envelope, MailRules } from './mailTrust.ts'
import { ownWords } from './ownWords.ts'

export type InboundMail =
  | {
      readonly kind: 'message'
      /** Plain and in lower case; proven. */
      readonly from: string
      readonly subject: string
      /** What the person wrote or forwarded, at most 4,000 characters; can be empty where there is a calendar file. */
      readonly text: string
      /** The text of each calendar file (RFC 5545). */
      readonly attachments: readonly string[]
    }
  | {
      readonly kind: 'ignored'
      readonly why:
        ByMachine | 'not-authenticated' | 'sender-mismatch' | 'too-large' | 'empty' | 'unreadable'
    }

export const LARGEST_MAIL = 1_048_576
const LONGEST_TEXT = 4000
const MOST_CALENDARS = 4
// What a person wrote stands well within these; the rest is not worth the processor's time.
const MOST_PLAIN = 65_536
const MOST_HTML = 262_144

/** Reads one mail as it arrived (RFC 5322, MIME) and where the envelope (RFC 5321) says it came from. */
export async function readMail(
  raw: ReadableStream<Uint8Array> | ArrayBuffer | string,
  envelope: Envelope,
  rules: MailRules,
): Promise<InboundMail> {
  const octets = await octetsOf(raw)
  if (octets === null) return { kind: 'ignored', why: 'too-large' }
  const mail = await parsed(octets)
  if (mail === null) return { kind: 'ignored', why: 'unreadable' }

  const machine = byMachine(mail.headers, envelope, rules)
  if (machine !== null) return { kind: 'ignored', why: machine }
  const sender = senderOf(mail.headers, envelope, rules)
  if (sender.kind === 'ignored') return sender

  const subject = (mail.subject ?? '').replace(/\s+/g, ' ').trim()
  const attachments = mail.attachments.filter(isCalendar).slice(0, MOST_CALENDARS).map(contentText)
  const text = shortened(await wordsOf(mail, subject))
  if (text === '' && attachments.length === 0) return { kind: 'ignored', why: 'empty' }
  return { kind: 'message', from: sender.address, subject, text, attachments }
}

async function octetsOf(
  raw: ReadableStream<Uint8Array> | ArrayBuffer | string,
): Promise<Uint8Array | null> {
  if (!(raw instanceof ReadableStream)) {
    if (typeof raw === 'string' && raw.length > LARGEST_MAIL) return null
    const octets = typeof raw === 'string' ? new TextEncoder().encode(raw) : new Uint8Array(raw)
    return octets.length > LARGEST_MAIL ? null : octets
  }
  const reader = raw.getReader()
  const chunks: Uint8Array[] = []
  let length = 0
  for (let read = await reader.read(); !read.done; read = await reader.read()) {
    length += read.value.length
    if (length > LARGEST_MAIL) {
      await reader.cancel()
      return null
    }
    chunks.push(read.value)
  }
  const octets = new Uint8Array(length)
  let at = 0
  for (const chunk of chunks) {
    octets.set(chunk, at)
    at += chunk.length
  }
  return octets
}

// It refuses what is nested too deeply or has too many headers by throwing.
async function parsed(octets: Uint8Array): Promise<Email | null> {
  try {
    // A forwarded mail stays whole: its text is read on its own.
    return await PostalMime.parse(octets, { forceRfc822Attachments: true, maxNestingDepth: 32 })
  } catch {
    return null
  }
}

/** The person's words and those of a mail that is forwarded as a file; of a mail with nothing but a subject, that. */
async function wordsOf(mail: Email, subject: string): Promise<string> {
  const own = bodyWords(mail, subject)
  const file = mail.attachments.find(({ mimeType }) => mimeType === 'message/rfc822')
  const inner = file === undefined ? null : await parsed(contentOctets(file))
  const forwarded = inner === null ? '' : bodyWords(inner, inner.subject ?? '')
  const words = [own, forwarded].filter((part) => part !== '').join('\n\n')
  return words === '' && !/^\w{2,3}\s*:/.test(subject) ? subject : words
}

function bodyWords({ text, html }: Email, subject: string): string {
  const plain = ownWords(text?.slice(0, MOST_PLAIN) ?? '', subject)
  if (plain !== '' || html === undefined) return plain
  return ownWords(htmlText(html.slice(0, MOST_HTML)).slice(0, MOST_PLAIN), subject)
}

const isCalendar = ({ mimeType, filename }: Attachment) =>
  mimeType === 'text/calendar' ||
  mimeType === 'application/ics' ||
  filename?.toLowerCase().endsWith('.ics') === true

function contentOctets({ content }: Attachment): Uint8Array {
  if (typeof content === 'string') return new TextEncoder().encode(content)
  return content instanceof Uint8Array ? content : new Uint8Array(content)
}

const contentText = (attachment: Attachment) => new TextDecoder().decode(contentOctets(attachment))

/** Without control characters; cut between characters. */
function shortened(text: string): string {
  const clean = text.replace(/[^\P{Cc}\n\t]/gu, '').trim()
  return clean.length <= LONGEST_TEXT
    ? clean
    : clean
        .slice(0, LONGEST_TEXT)
        .replace(/[\uD800-\uDBFF]$/, '')
        .trimEnd()
}
