// What stands in a message and is no event: the lines above an e-mail, and when somebody answers the phone.

import type { Item } from './scan.ts'
import type { Token } from './tokens.ts'

// `Wed, 13 Jan 2027 09:12:00 -0400` (RFC 5322 §3.3): when a message was sent, never an event.
const SENT_AT =
  /(?:\b(?:mon|tue|wed|thu|fri|sat|sun), ?)?\b\d{1,2} (?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec) \d{4} \d{1,2}:\d\d(?::\d\d)? [+-]\d{4}\b(?: \([a-z]{1,5}\))?/g
// `Sent: …`, `Received: …`, `Date: … 09:12`, `On … wrote:`, quoted or not.
const HEADER_LINE =
  /^[> ]{0,9}(?:(?:sent|received|delivered|delivery-date|message-id|return-path|reply-to|x-[a-z-]{1,40}) ?:.*|date ?:[^:\n]{0,60}[ ,t]\d{1,2}:\d\d(?::\d\d)? ?(?:[ap]m)?(?: \(?[a-z]{1,5}\)?)?|on [^\n]{0,200} wrote:)$/gm

/** The plain text without the moments at which it was sent. */
export const withoutSentAt = (plain: string): string => plain.replace(SENT_AT, ' ')

/** The plain text without the lines that head an e-mail. */
export const withoutHeaders = (plain: string): string => plain.replace(HEADER_LINE, '')

const ANSWERED =
  /\b(?:(?:call|phone|ring|telephone|contact|reach|text|email|speak to|talk to) (?:us|our|the|me|on|between|from|at|in)|(?:phone )?lines? (?:are |is )?open|helpline|hotline|call cent(?:re|er)|customer (?:service|care|support)s?|(?:office|opening|business|service|support|working) hours|hours of (?:operation|business)|(?:office|shop|desk|centre|center) (?:is )?open|we(?: are|'re) (?:open|here|available)|open (?:from )?\d)/
const OF_AN_EVENT = /\b(?:events?|sessions?|peak)\b/

const opens = ({ kind, text }: Token) => kind === 'break' || text === '(' || text === ')'

/** The items without those that tell when somebody can be reached: by their sentence, or by the words just before. */
export function withoutAnswered(
  items: readonly Item[],
  tokens: readonly Token[],
  sentences: readonly string[],
): readonly Item[] {
  const answered = sentences.map((text) => ANSWERED.test(text) && !OF_AN_EVENT.test(text))
  const kept = items.filter((item) => {
    const before = tokens.slice(Math.max(0, item.from - 5), item.next)
    const near = before.slice(before.findLastIndex(opens) + 1).map(({ text }) => text)
    return answered[item.sentence] !== true && !ANSWERED.test(near.join(' '))
  })
  // Where nothing else is named, it may be the event after all.
  return kept.length > 0 ? kept : items
}
