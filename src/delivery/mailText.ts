// A message as a mail: subject, plain text and HTML. No pictures, and nothing that tells who has read it.

import { mailWords } from '../words/index.ts'
import type { PersonalMessage } from './channel.ts'

export type MailText = { readonly subject: string; readonly text: string; readonly html: string }

// RFC 5322 §2.1.1: 78 characters in a line.
const LONGEST_SUBJECT = 78

/** The mail that carries `message`; `withCalendar` says that a calendar file comes with it. */
export function mailText(message: PersonalMessage, withCalendar: boolean): MailText {
  const household = oneLine(message.title)
  const subject = subjectOf(message.text, household)
  const how = howToAnswer(message)
  const { link, said, button } = linkOf(message, how !== null)
  const calendar = withCalendar ? mailWords.calendar : null
  const footer = household === '' ? mailWords.footerWithoutName : mailWords.footer(household)
  return {
    subject,
    text: present([message.text, how, said, calendar, footer]).join('\n\n'),
    html: page({
      subject,
      body: message.text,
      notes: present([how, calendar]),
      link,
      button,
      footer,
    }),
  }
}

/** Where it leads, as text and as a button: to the page that answers it, or confirms the address; else to the plan. */
function linkOf({ kind, taps, answerUrl, page: plan }: PersonalMessage, byMail: boolean) {
  const words = mailWords
  if (byMail) return { link: answerUrl, said: words.orHere(answerUrl), button: words.answer }
  if (taps.length > 0) return { link: answerUrl, said: words.here(answerUrl), button: words.answer }
  if (kind === 'test' && answerUrl !== plan)
    return { link: answerUrl, said: words.confirmHere(answerUrl), button: words.confirm }
  return { link: plan, said: words.seeHere(plan), button: words.see }
}

const present = (texts: readonly (string | null)[]) => texts.filter((text) => text !== null)

function howToAnswer({ kind, taps }: PersonalMessage): string | null {
  if (kind === 'reading' || kind === 'outcome') return mailWords.answerNumber
  const does = taps.map((tap) => tap.does)
  if (!does.includes('done')) return null
  return does.includes('later') ? mailWords.answerDoneOrLater : mailWords.answerDone
}

/** The first sentence, at most 78 characters, with the household's name if both fit. Always one line. */
function subjectOf(text: string, household: string): string {
  const sentence = oneLine(firstSentence(text.trim()))
  const action = cutAtWord(sentence.replace(/(?<!\b[ap]\.m)\.$/, ''))
  if (household === '') return action
  const both = mailWords.subject(action, household)
  return both.length <= LONGEST_SUBJECT ? both : action
}

// "3:42 p.m. or earlier" goes on after its dots.
const firstSentence = (text: string) =>
  /^[^\n]*?(?:(?<!\b[ap]\.m)[.!?](?=\s)|(?=\n|$))/.exec(text)?.[0] ?? text

function cutAtWord(text: string): string {
  if (text.length <= LONGEST_SUBJECT) return text
  const cut = text.slice(0, LONGEST_SUBJECT - 1)
  const space = cut.lastIndexOf(' ')
  const whole = space > 0 ? cut.slice(0, space) : cut.replace(/[\uD800-\uDBFF]$/, '')
  return `${whole.replace(/[,;:]$/, '')}…`
}

// Without line ends no header can be added (OWASP ASVS 5.0, 1.3.11); without the other controls no
// text can be turned around, and half a surrogate pair cannot be encoded.
const oneLine = (text: string) =>
  text.replace(/[\s\p{Cc}\p{Zl}\p{Zp}\p{Cs}\u202A-\u202E\u2066-\u2069]+/gu, ' ').trim()

type Page = {
  readonly subject: string
  readonly body: string
  readonly notes: readonly string[]
  readonly link: string
  readonly button: string
  readonly footer: string
}

function page({ subject, body, notes, link, button, footer }: Page): string {
  return [
    '<!doctype html>',
    `<html lang="en"><head><meta charset="utf-8"><title>${escaped(subject)}</title></head>`,
    '<body style="margin:0;padding:24px;background:#faf6ec;color:#1d1b18;font:18px/1.5 Cambria,Georgia,serif">',
    '<div style="max-width:34em">',
    paragraph(body, 'font-size:20px'),
    `<p style="margin:0 0 16px"><a href="${escaped(link)}" style="display:inline-block;padding:12px 24px;background:#9c2f1f;color:#faf6ec;text-decoration:none">${button}</a></p>`,
    ...notes.map((note) => paragraph(note, '')),
    paragraph(footer, 'color:#6b6459;font-size:15px'),
    '</div></body></html>',
  ].join('\n')
}

const paragraph = (text: string, style: string) =>
  `<p style="margin:0 0 16px;${style}">${escaped(text).replace(/\r?\n/g, '<br>')}</p>`

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
}

const escaped = (text: string) => text.replace(/[&<>"']/g, (mark) => ENTITIES[mark] ?? mark)
