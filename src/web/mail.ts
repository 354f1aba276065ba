// Mails to the addresses that our own mails name for answers. Who sent one is proved by the receiving server, that it was
// meant for this household by the address that it was sent to; everything else is dropped without a word.

import { DateTime } from 'luxon'
import { realNow } from '../clock.ts'
import { mailAddress, readMail, tokenOfAddress } from '../delivery/index.ts'
import { type Env, mailIn } from '../env.ts'
import { digestOf } from '../household/index.ts'
import { answerPageWords as words, telegramWords } from '../words/index.ts'
import { repliesText } from './heard.ts'
import { householdsIn } from './households.ts'

const LONGEST_ID = 100

/** Takes one mail in; answers it once, or not at all. */
export async function receiveMail(message: ForwardableEmailMessage, env: Env): Promise<void> {
  const token = tokenOfAddress(message.to)
  const authServer = env.MAIL_AUTH_SERVER
  if (token === null || !authServer) return
  const from = mailIn(env)?.from
  const rules = { authServer, ownAddresses: from === undefined ? [] : [from] }
  const mail = await readMail(message.raw, message, rules)
  if (mail.kind === 'ignored') return
  const households = householdsIn(env)
  const id = await households.ledFrom('mail', mail.from)
  const household = id === null ? null : households.outside(id)
  const heard = await household?.hear({
    messageId: await idOf(message, mail.text),
    by: null,
    from: 'mail',
    address: mail.from,
    token,
    ageMs: ageOf(message),
    kind: 'text',
    text: mail.text === '' ? mail.subject : mail.text,
  })
  if (heard?.kind !== 'answered') return
  const text = [
    repliesText(heard.performed),
    ...(heard.performed.replies.at(-1)?.buttons ?? []).map(({ label, send }) =>
      telegramWords.typeInstead(label, send),
    ),
  ]
    .join('\n\n')
    .trim()
  if (text === '') return
  // What was said is noted: that the answer cannot be sent is no reason to have the mail again.
  await message
    .reply({
      from: mailAddress(token, message.to.split('@').at(-1) ?? ''),
      subject: mail.subject === '' ? words.replyWithoutSubject : words.replySubject(mail.subject),
      text,
      // RFC 3834 §5: nobody's automatic reply is to answer this.
      headers: { 'Auto-Submitted': 'auto-replied', 'X-Loop': message.to },
    })
    .catch((error: unknown) => console.error('mail reply', error instanceof Error && error.name))
}

/** How long ago it says that it was written (RFC 5322 §3.6.1), ms; nought where it does not say. */
function ageOf({ headers }: ForwardableEmailMessage): number {
  const written = DateTime.fromRFC2822(headers.get('date') ?? '')
  return written.isValid ? Math.max(0, realNow() - written.toMillis()) : 0
}

/** The same when a mail comes twice; a made-up id concerns only whoever made it up. */
async function idOf({ headers }: ForwardableEmailMessage, text: string): Promise<string> {
  const id = headers.get('message-id')?.trim() ?? `${headers.get('date') ?? ''} ${text}`
  return `m${id.length > LONGEST_ID || id === '' ? await digestOf(id) : id}`
}
