// What links in messages open: one reminder to answer, a mail address to confirm, a channel to stop. The code in the path
// is the proof, so neither a cookie nor a form's value is asked for. A GET shows a page and changes nothing, since mail
// scanners and previews open links too; a POST acts (OWASP ASVS 5.0, 3.5.3; RFC 8058 §1).

import { type Context, Hono } from 'hono'
import { bodyLimit } from 'hono/body-limit'
import { cors } from 'hono/cors'
import { refusalText } from '../../chat/index.ts'
import {
  type Act,
  type Asked,
  type Performed,
  settledText,
  tapsFor,
} from '../../household/index.ts'
import { answerPageWords as words, troubleWords } from '../../words/index.ts'
import { figure } from '../figure.ts'
import { AnswerPage, type FieldError, OneButtonPage, ProblemPage } from '../pages/index.ts'
import type { Place } from '../place.ts'
import { nowhere } from './trouble.tsx'

const MAX_ANSWER_BYTES = 4096

/** RFC 8058 §3.1: what a mail program posts, and our own button too. */
const ONE_CLICK = { name: 'List-Unsubscribe', value: 'One-Click' }
const CONFIRM = { name: 'confirm', value: 'yes' }

const ANSWER = '/answer/:household/:channel/:key/:code'
const CONFIRMED = '/confirm/:household/:channel/:code'
const STOPPED = '/stop/:household/:channel/:code'

export function answerRoutes({ households }: Place): Hono {
  const app = new Hono()
  for (const path of [ANSWER, CONFIRMED, STOPPED]) {
    app.use(path, async (c, next) => {
      await next()
      // The address is as good as a key: kept nowhere, told to nobody (ASVS 14.3.2, 3.4.5).
      c.header('cache-control', 'no-store')
      c.header('referrer-policy', 'no-referrer')
      c.header('x-robots-tag', 'noindex')
    })
    app.use(path, bodyLimit({ maxSize: MAX_ANSWER_BYTES, onError: tooLarge }))
  }
  // Buttons under a published message may be pressed in a page of that server. No cookie is involved.
  app.use(ANSWER, cors({ origin: '*', allowMethods: ['POST'], allowHeaders: ['content-type'] }))

  return app
    .get(ANSWER, async (c) => {
      const asked = await askedAt(c)
      return asked === null ? nowhere(c) : answerPage(c, asked)
    })
    .post(ANSWER, async (c) => {
      const json = /^application\/json\b/i.test(c.req.header('content-type') ?? '')
      const fields = json ? await c.req.json().catch(() => null) : await c.req.parseBody()
      const act = actIn(fields)
      const asked = await askedAt(c)
      if (asked === null)
        return json ? c.json({ text: troubleWords.nowhere.what }, 404) : nowhere(c)
      if (act === null) {
        const message = words.wrongReading
        if (json) return c.json({ text: message }, 422)
        return answerPage(c, asked, [{ field: 'socPct', message }], typedIn(fields))
      }
      const { household, link } = linkOf(c)
      const done = (await households.outside(household)?.answer(link, act)) ?? null
      if (done === null) return json ? c.json({ text: troubleWords.nowhere.what }, 404) : nowhere(c)
      if (json) return c.json({ text: textOf(done, asked) }, done.outcome.ok ? 200 : 409)
      if (done.outcome.ok) return c.redirect(c.req.path, 303)
      const message = refusalText(done.seen.household, done.outcome.refusal)
      return answerPage(c, after(done, asked), [{ field: fieldOf(act), message }], typedIn(fields))
    })
    .get(CONFIRMED, (c) => c.html(<OneButtonPage {...confirmPage(c)} done={false} />))
    .post(CONFIRMED, async (c) => {
      const { household, channel, code } = c.req.param()
      const confirmed = await households.outside(household)?.confirmChannel(channel, code)
      return confirmed === true ? c.html(<OneButtonPage {...confirmPage(c)} done />) : nowhere(c)
    })
    .get(STOPPED, (c) => c.html(<OneButtonPage {...stopPage(c)} done={false} />))
    .post(STOPPED, async (c) => {
      // RFC 8058 §3.2: as a form of either kind. No redirect may follow.
      const body = await c.req.parseBody().catch(() => null)
      if (body?.[ONE_CLICK.name] !== ONE_CLICK.value)
        return c.html(<OneButtonPage {...stopPage(c)} done={false} />, 422)
      const { household, channel, code } = c.req.param()
      const stopped = await households.outside(household)?.stopChannel(channel, code)
      return stopped === true ? c.html(<OneButtonPage {...stopPage(c)} done />) : nowhere(c)
    })

  async function askedAt(c: Context): Promise<Asked | null> {
    const { household, link } = linkOf(c)
    return (await households.outside(household)?.asked(link)) ?? null
  }
}

const tooLarge = (c: Context) => c.html(<ProblemPage {...words.tooLarge} />, 413)

const confirmPage = (c: Context) => ({ words: words.confirm, path: c.req.path, says: CONFIRM })
const stopPage = (c: Context) => ({ words: words.stop, path: c.req.path, says: ONE_CLICK })

const linkOf = (c: Context) => ({
  household: c.req.param('household') ?? '',
  link: {
    channelId: c.req.param('channel') ?? '',
    key: c.req.param('key') ?? '',
    code: c.req.param('code') ?? '',
  },
})

const answerPage = (
  c: Context,
  { seen, reminder }: Asked,
  errors: readonly FieldError[] = [],
  typed = '',
) =>
  c.html(
    <AnswerPage
      {...seen}
      reminder={reminder}
      taps={tapsFor(seen.household, reminder)}
      settled={settledText(seen.household, reminder)}
      path={c.req.path}
      errors={errors}
      typed={typed}
    />,
    errors.length > 0 ? 422 : 200,
  )

/** What is to be done, from a form's fields or from JSON; `null` for anything else. */
function actIn(fields: unknown): Act | null {
  const does = memberOf(fields, 'do')
  if (does === 'done' || does === 'later' || does === 'not-yet') return { do: does }
  if (does !== 'reading') return null
  const given = memberOf(fields, 'socPct')
  const socPct = typeof given === 'number' ? given : figure(typedIn(fields))
  return socPct !== undefined && socPct >= 0 && socPct <= 100 ? { do: 'reading', socPct } : null
}

const memberOf = (fields: unknown, name: string): unknown =>
  typeof fields === 'object' && fields !== null ? Reflect.get(fields, name) : undefined

const typedIn = (fields: unknown): string => {
  const given = memberOf(fields, 'socPct')
  return typeof given === 'string' ? given : ''
}

const fieldOf = (act: Act): string => (act.do === 'reading' ? 'socPct' : 'main')

const after = ({ seen }: Performed, asked: Asked): Asked => ({
  ...asked,
  seen,
  reminder:
    seen.household.reminders.find(({ key }) => key === asked.reminder.key) ?? asked.reminder,
})

/** What is said of it: our answer, or who was first. */
function textOf(done: Performed, asked: Asked): string {
  const { household } = done.seen
  if (!done.outcome.ok) return refusalText(household, done.outcome.refusal)
  return done.replies.length > 0
    ? done.replies.map(({ text }) => text).join('\n\n')
    : settledText(household, after(done, asked).reminder)
}
