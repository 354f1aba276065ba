// Who sent a mail, as far as it can be proved, and whether a machine did: a mail that answers itself
// must never be answered. Pure: the headers of a mail in, a verdict out.

import { addressParser } from 'postal-mime'
import type { Header } from 'postal-mime'
import { readAuthResults } from './authResults.ts'
import { plainAddress, plainDomain } from './mailAddress.ts'

export type Envelope = { readonly from: string; readonly to: string }

export type MailRules = {
  /** The name under which our receiving server writes what it checked (authserv-id, RFC 8601 §2.5). */
  readonly authServer: string
  /** What we send from, besides the address the mail was sent to. */
  readonly ownAddresses?: readonly string[]
}

export type ByMachine = 'auto-reply' | 'bounce' | 'loop' | 'list'

export type Sender =
  | { readonly kind: 'proven'; readonly address: string }
  | { readonly kind: 'ignored'; readonly why: 'not-authenticated' | 'sender-mismatch' }

/** What says that no person wrote this mail to us; `null` if nothing does. */
export function byMachine(
  headers: readonly Header[],
  envelope: Envelope,
  rules: MailRules,
): ByMachine | null {
  const values = (key: string) =>
    headers.filter((header) => header.key === key).map(({ value }) => value.trim())
  const words = (key: string) => values(key).map(firstWord)

  // An empty return path (RFC 5321 §4.5.5), a report of what became of a mail (RFC 6522).
  if (/^(<\s*>)?$/.test(envelope.from.trim()) || values('return-path').includes('<>'))
    return 'bounce'
  if (words('content-type').includes('multipart/report')) return 'bounce'

  const own = [envelope.to, ...(rules.ownAddresses ?? [])].map((address) => address.toLowerCase())
  const isOwn = (address: string) => own.includes(address.toLowerCase())
  if (values('x-loop').some(isOwn) || addressesIn(values('from')).some(isOwn)) return 'loop'

  // RFC 3834 §5: anything but "no".
  if (words('auto-submitted').some((word) => word !== 'no')) return 'auto-reply'
  // Older answering machines (RFC 3834 §3.1.8 has Precedence; the rest is common practice, no source).
  if (words('precedence').some((word) => word === 'bulk' || word === 'junk')) return 'auto-reply'
  if (values('x-autoreply').length + values('x-autorespond').length > 0) return 'auto-reply'
  if (values('subject').some((subject) => AWAY.test(subject))) return 'auto-reply'

  // RFC 2919, RFC 2369.
  if (values('list-id').length > 0 || words('precedence').includes('list')) return 'list'
  return null
}

const AWAY = /^(?:automatic reply|auto(?:matic)?[- ]?(?:reply|response)|out of (?:the )?office)\b/i

// Two lines of RFC 5322 §2.1.1; looking for the end of a quotation takes the square of it.
const LONGEST_FROM = 1996

const firstWord = (value: string) => value.split(/[;\s(]/, 1)[0]?.toLowerCase() ?? ''

/**
 * The address in `From`, if our own receiving server says that its domain stands behind it: DMARC
 * passed, or a DKIM signature of the domain itself or one above it (RFC 8601 §2.7.1, RFC 7489 §3.1.1).
 */
export function senderOf(headers: readonly Header[], envelope: Envelope, rules: MailRules): Sender {
  // More than one author (RFC 5322 §3.6.2), or more than one header: which of them was checked is not said.
  const [from, ...more] = headers.filter((header) => header.key === 'from')
  const address = from === undefined || more.length > 0 ? null : authorIn(from.value)
  if (address === null) return ignored('sender-mismatch')
  // It stands in what our server writes, where brackets or quotes in it could end a comment (RFC 8601 §7.1).
  if (plainAddress(envelope.from) === null) return ignored('not-authenticated')

  // The server adds on top and must take away what pretends to be its own (RFC 8601 §5); in case it does not: the first.
  const server = rules.authServer.toLowerCase()
  const checked = headers
    .filter((header) => header.key === 'authentication-results')
    .map(({ value }) => readAuthResults(value))
    // What cannot be read may be our server's: then nothing below it counts.
    .find((results) => results === null || results.server === server)
  if (checked === undefined || checked === null) return ignored('not-authenticated')

  const of = (method: string) => checked.results.filter((result) => result.method === method)
  const domain = address.slice(address.lastIndexOf('@') + 1)
  const dmarc = of('dmarc')
  if (dmarc.some(({ result }) => result === 'fail')) return ignored('not-authenticated')
  if (dmarc.length > 0 && dmarc.every(({ result }) => result === 'pass')) {
    const named = dmarc.map(({ properties }) => properties.get('header.from') ?? domain)
    return named.every((name) => plainDomain(name) === domain)
      ? { kind: 'proven', address }
      : ignored('sender-mismatch')
  }
  const signed = of('dkim')
    .filter(({ result }) => result === 'pass')
    .map(({ properties }) => plainDomain(properties.get('header.d') ?? ''))
  if (signed.some((name) => name !== null && (domain === name || domain.endsWith(`.${name}`))))
    return { kind: 'proven', address }
  return ignored(signed.length > 0 ? 'sender-mismatch' : 'not-authenticated')
}

const ignored = (why: 'not-authenticated' | 'sender-mismatch'): Sender => ({ kind: 'ignored', why })

/** The one mailbox (RFC 5322 §3.4) that a `From` names, if two readers agree on it: ours, a strict one, and the library. */
function authorIn(from: string): string | null {
  if (from.length > LONGEST_FROM) return null
  const bare = from.replace(/"(?:[^"\\]|\\.)*"|\((?:[^()\\]|\\.)*\)/g, ' ').trim()
  const [, angled, alone] = /^(?:[^<>@,;:"()\\]*<([^<>\s]+)>|(\S+))$/.exec(bare) ?? []
  const address = plainAddress(angled ?? alone ?? '')
  const [first, ...more] = addressesIn([from])
  return first !== undefined && more.length === 0 && plainAddress(first) === address
    ? address
    : null
}

const addressesIn = (values: readonly string[]): string[] =>
  values.flatMap((value) =>
    addressParser(value, { flatten: true }).map((mailbox) => mailbox.address ?? ''),
  )
