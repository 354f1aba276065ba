// The meter's page: a file in, an answer to its question, everything away. A file that cannot be taken brings the page
// back with the reason; nothing that was kept is touched.

import { type Context, Hono } from 'hono'
import type { MeterOutcome } from '../../household/index.ts'
import type { Question } from '../../meter/index.ts'
import { format, meterPageWords as words } from '../../words/index.ts'
import { readChange } from '../api/index.ts'
import { apiTools } from '../apiTools.ts'
import { type FieldError, MeterPage } from '../pages/index.ts'
import { type Inside, type Place, formOf, inside } from '../place.ts'
import { fitsForm, formKey } from '../session.ts'
import { CSV_TYPE, MOST_FILE_BYTES, bodyWithin } from '../upload.ts'
import { refusalSentence } from '../uploadWords.ts'
import { expired, nowhere } from './trouble.tsx'

export const UPLOAD_PATH = '/meter'

/** What stands around a file in its form: boundaries, names, the form's value. */
const FORM_BYTES = 64 * 1024

const page = async (
  c: Context<Inside>,
  errors: readonly FieldError[] = [],
  status: 413 | 422 = 422,
) => {
  const { seen, last, open } = await c.var.door.meter()
  const done = (['taken', 'forgotten', 'dropped', 'certainty'] as const).find(
    (each) => c.req.query(each) !== undefined,
  )
  return c.html(
    <MeterPage
      household={seen.household}
      now={seen.now}
      csrf={formKey(c)}
      last={last}
      open={open}
      done={errors.length > 0 ? null : (done ?? null)}
      errors={errors}
    />,
    errors.length > 0 ? status : 200,
  )
}

const wrongFile = (c: Context<Inside>, message: string, status: 413 | 422 = 422) =>
  page(c, [{ field: 'file', message }], status)

const shown = async (c: Context<Inside>, outcome: MeterOutcome) => {
  switch (outcome.kind) {
    case 'taken':
      return c.redirect('/meter?taken', 303)
    case 'question':
      return c.redirect('/meter#asked', 303)
    case 'closed':
      return wrongFile(c, words.question.closed)
    case 'refused': {
      const { settings } = (await c.var.door.read()).household
      const f = format(settings.language, settings.timeZone)
      return wrongFile(c, refusalSentence(outcome.refusal, f))
    }
  }
}

export function meterRoutes(place: Place): Hono<Inside> {
  return new Hono<Inside>()
    .use('/meter/*', inside(place))
    .get(UPLOAD_PATH, (c) => page(c))
    .post(UPLOAD_PATH, async (c) => {
      const body = await bodyWithin(c.req.raw, MOST_FILE_BYTES + FORM_BYTES)
      if (body === null) return wrongFile(c, words.refused.tooLarge, 413)
      const form = await fieldsOf(c, body)
      if (form === null || !fitsForm(c, form.get('csrf'))) return expired(c)
      const file = form.get('file')
      // A browser sends a file without a name where none was chosen.
      if (file === null || typeof file === 'string' || (file.name === '' && file.size === 0))
        return wrongFile(c, words.add.none)
      if (file.size > MOST_FILE_BYTES) return wrongFile(c, words.refused.tooLarge, 413)
      const bytes = new Uint8Array(await file.arrayBuffer())
      return shown(c, await c.var.door.takeMeter({ bytes, answers: {} }, { keep: true }))
    })
    .get('/meter/readings.csv', async (c) => {
      const file = await c.var.door.meterFile()
      if (file === '') return nowhere(c)
      c.header('content-type', CSV_TYPE)
      c.header('content-disposition', 'attachment; filename="readings.csv"')
      return c.body(file)
    })
    .post('/meter/answer', async (c) => {
      const form = await formOf(c)
      if (form === null) return expired(c)
      if (form['choice'] === 'none') {
        await c.var.door.dropMeterFile()
        return c.redirect('/meter?dropped', 303)
      }
      const about = (form['about'] ?? '') as Question['about']
      return shown(c, await c.var.door.answerMeter(about, Number(form['choice'])))
    })
    .post('/meter/certainty', async (c) => {
      const form = await formOf(c)
      if (form === null) return expired(c)
      const { settings } = (await c.var.door.read()).household
      const asked = {
        confidence: Number(form['confidence']),
        maxReadings: Number(form['maxReadings']),
      }
      const changed = readChange(settings, asked, apiTools(place))
      // The choices of the page always fit; anything else changes nothing.
      if (!changed.ok) return c.redirect('/meter', 303)
      await c.var.door.perform({ type: 'settings', settings: changed.value, from: settings })
      return c.redirect('/meter?certainty', 303)
    })
    .post('/meter/forget', async (c) => {
      const form = await formOf(c)
      if (form === null) return expired(c)
      if (form['sure'] !== 'yes') return c.redirect('/meter', 303)
      await c.var.door.forgetMeter()
      return c.redirect('/meter?forgotten', 303)
    })
}

/** The fields of a form that was read already; `null` where it is none. */
const fieldsOf = (c: Context, body: Uint8Array): Promise<FormData | null> =>
  new Response(body, { headers: { 'content-type': c.req.header('content-type') ?? '' } })
    .formData()
    .catch(() => null)
