// What the sun gives: the page, and its change of the settings. A form that cannot be taken comes back as it was typed.

import { type Context, Hono } from 'hono'
import type { Seen } from '../../household/index.ts'
import { sunTexts } from '../../reminder/index.ts'
import { readChange } from '../api/index.ts'
import { apiTools } from '../apiTools.ts'
import { type FieldError, SunPage } from '../pages/index.ts'
import { type Inside, type Place, formOf, inside } from '../place.ts'
import { type Typed, errorsAt } from '../rowsForm.ts'
import { formKey } from '../session.ts'
import { sunChange, sunTyped } from '../sunForm.ts'
import { expired } from './trouble.tsx'

const page = (
  c: Context<Inside>,
  { household, now }: Seen,
  typed: Typed,
  errors: readonly FieldError[] = [],
) => {
  const { solar, language } = household.settings
  const refused = errors.length > 0
  return c.html(
    <SunPage
      typed={typed}
      errors={errors}
      expected={refused ? [] : sunTexts(household, now)}
      about={!refused && (solar === null || 'kwhPerDay' in solar)}
      saved={c.req.query('saved') !== undefined}
      csrf={formKey(c)}
      lang={language}
    />,
    refused ? 422 : 200,
  )
}

export const sunRoutes = (place: Place): Hono<Inside> =>
  new Hono<Inside>()
    .use('/sun', inside(place))
    .get('/sun', async (c) => {
      const seen = await c.var.door.read()
      return page(c, seen, sunTyped(seen.household.settings))
    })
    .post('/sun', async (c) => {
      const typed = await formOf(c)
      if (typed === null) return expired(c)
      const seen = await c.var.door.read()
      const { settings } = seen.household
      const { change, places } = sunChange(typed, settings)
      const changed = readChange(settings, change, apiTools(place))
      if (!changed.ok) {
        const pointers = (changed.refusal.errors ?? []).map(({ pointer }) => pointer)
        return page(c, seen, typed, errorsAt(pointers, places))
      }
      await c.var.door.perform({ type: 'settings', settings: changed.value, from: settings })
      return c.redirect('/sun?saved', 303)
    })
