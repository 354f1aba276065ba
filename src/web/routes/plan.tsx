// The household's page, and everything that can be done on it. Each form acts and leads back to the page; a GET changes nothing.

import { type Context, Hono } from 'hono'
import { refusalText } from '../../chat/index.ts'
import { renderPlanFile } from '../../calendar/index.ts'
import type { Command } from '../../reminder/index.ts'
import { localSpan, readingPct } from '../planForms.ts'
import { type FieldError, PlanPage, revisionOf } from '../pages/index.ts'
import type { Seen } from '../../household/index.ts'
import { type Inside, type Place, formOf, inside } from '../place.ts'
import { troubleWords } from '../../words/index.ts'
import { MAX_TEXT } from '../api/index.ts'
import { forgetToken, formKey } from '../session.ts'
import { expired, nowhere } from './trouble.tsx'

type Form = Readonly<Record<string, string>>

/** How often the page asks whether something changed, ms. */
const POLL_MS = 5000
const REHEARSAL_POLL_MS = 1000

export function planRoutes(place: Place): Hono<Inside> {
  const page = (
    c: Context<Inside>,
    seen: Seen,
    errors: readonly FieldError[] = [],
    typed: Form = {},
  ) =>
    c.html(
      <PlanPage
        household={seen.household}
        now={seen.now}
        csrf={formKey(c)}
        links={{ calendarUrl: null }}
        rehearsal={place.rehearse && seen.household.settings.demo}
        saved={c.req.query('saved') !== undefined}
        errors={errors}
        typed={typed}
        pollMs={place.rehearse ? REHEARSAL_POLL_MS : POLL_MS}
      />,
      errors.length > 0 ? 422 : 200,
    )

  /** Performs a form's command; a refusal brings the page back with the reason. */
  const act = async (
    c: Context<Inside>,
    commandOf: (form: Form, seen: Seen) => Command | FieldError,
  ) => {
    const form = await formOf(c)
    if (form === null) return expired(c)
    const { door } = c.var
    const seen = await door.read()
    const command = commandOf(form, seen)
    if ('message' in command) return page(c, seen, [command], form)
    const done = await door.perform(command)
    if (done.outcome.ok) return c.redirect('/plan', 303)
    const message = refusalText(done.seen.household, done.outcome.refusal)
    return page(c, done.seen, [{ field: fieldOf(command), message }], form)
  }

  const app = new Hono<Inside>()
  for (const path of [
    '/plan',
    '/revision',
    '/messages',
    '/readings',
    '/events/*',
    '/events',
    '/reminders/*',
    '/delete',
  ])
    app.use(path, inside(place))
  return app
    .get('/plan', async (c) => page(c, await c.var.door.read()))
    .get('/revision', async (c) => {
      const { household, now } = await c.var.door.read()
      return c.text(revisionOf(household, now))
    })
    .post('/messages', async (c) => {
      const form = await formOf(c)
      if (form === null) return expired(c)
      const text = (form['text'] ?? '').trim()
      if (text.length > MAX_TEXT)
        return page(c, await c.var.door.read(), [{ field: 'say', message: troubleWords.tooLong }])
      if (text !== '') await c.var.door.say(text)
      return c.redirect('/plan#latest', 303)
    })
    .post('/delete', async (c) => {
      const form = await formOf(c)
      if (form === null) return expired(c)
      if (form['sure'] !== 'yes') return c.redirect('/plan', 303)
      await c.var.door.erase()
      forgetToken(c)
      return c.redirect('/', 303)
    })
    .post('/readings', (c) => act(c, (form, { now }) => readingPct(form, now)))
    .post('/events', (c) =>
      act(c, (form, { household }) =>
        localSpan(form, household.settings, { type: 'announce' }, 'new'),
      ),
    )
    .post('/events/:id/move', (c) => {
      const eventId = c.req.param('id')
      return act(c, (form, { household }) =>
        localSpan(form, household.settings, { type: 'move', eventId }, eventId),
      )
    })
    .post('/events/:id/cancel', (c) =>
      act(c, () => ({ type: 'cancel', eventId: c.req.param('id') })),
    )
    .post('/reminders/:key/acknowledge', (c) =>
      act(c, () => ({ type: 'acknowledge', key: c.req.param('key'), by: 'page' })),
    )
    .post('/reminders/:key/reopen', (c) =>
      act(c, () => ({ type: 'reopen', key: c.req.param('key') })),
    )
    .post('/reminders/:key/snooze', (c) =>
      act(c, (form) => ({
        type: 'snooze',
        key: c.req.param('key'),
        minutes: Number(form['minutes']),
      })),
    )
    .get('/events/:id/plan.ics', async (c) => {
      const { household } = await c.var.door.read()
      const file = renderPlanFile(household, c.req.param('id'), { page: `${place.origin}/plan` })
      if (file === null) return nowhere(c)
      c.header('content-type', 'text/calendar; charset=utf-8')
      c.header('content-disposition', 'attachment; filename="holdbell.ics"')
      return c.body(file)
    })
}

/** The form that a refusal belongs to, for the summary's link. */
function fieldOf(command: Command): string {
  switch (command.type) {
    case 'announce':
      return 'new-date'
    case 'move':
      return `${command.eventId}-date`
    case 'reading':
      return 'socPct'
    default:
      return 'main'
  }
}
