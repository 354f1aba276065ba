// What a household is used to: the pages of its people and of its prices. A form that cannot be taken comes back as it
// was typed.

import { type Context, Hono } from 'hono'
import type { Settings } from '../../reminder/index.ts'
import { readChange } from '../api/index.ts'
import { apiTools } from '../apiTools.ts'
import { type FieldError, PeoplePage, PricesPage } from '../pages/index.ts'
import { peopleChange, peopleOn, peopleTyped } from '../peopleForm.ts'
import { type Inside, type Place, formOf, inside } from '../place.ts'
import { pricesChange, pricesTyped } from '../pricesForm.ts'
import { type Place as FormPlace, type Typed, errorsAt, rowsOf } from '../rowsForm.ts'
import { formKey } from '../session.ts'
import { expired } from './trouble.tsx'

type Change = { readonly change: unknown; readonly places: readonly FormPlace[] }

type Shown = { readonly typed: Typed; readonly errors?: readonly FieldError[] }

const shown = (c: Context<Inside>, { typed, errors = [] }: Shown) => ({
  typed,
  errors,
  rowsOf: (list: string) => rowsOf(typed, list),
  saved: c.req.query('saved') !== undefined,
  csrf: formKey(c),
  lang: 'en',
})

const people = (c: Context<Inside>, page: Shown) =>
  c.html(
    <PeoplePage {...shown(c, page)} people={peopleOn(page.typed)} />,
    page.errors === undefined ? 200 : 422,
  )
const prices = (c: Context<Inside>, page: Shown) =>
  c.html(<PricesPage {...shown(c, page)} />, page.errors === undefined ? 200 : 422)

export function habitRoutes(place: Place): Hono<Inside> {
  /** Saves the form, or brings it back with what is wrong. "Add another" leads back to it, where there is a spare row again. */
  const save = async (
    c: Context<Inside>,
    changeOf: (typed: Typed, settings: Settings) => Change,
    page: (c: Context<Inside>, page: Shown) => Response | Promise<Response>,
  ) => {
    const typed = await formOf(c)
    if (typed === null) return expired(c)
    const { settings } = (await c.var.door.read()).household
    const { change, places } = changeOf(typed, settings)
    const changed = readChange(settings, change, apiTools(place))
    if (!changed.ok) {
      const pointers = (changed.refusal.errors ?? []).map(({ pointer }) => pointer)
      return page(c, { typed, errors: errorsAt(pointers, places) })
    }
    await c.var.door.perform({ type: 'settings', settings: changed.value, from: settings })
    return c.redirect(typed['more'] === 'yes' ? `${c.req.path}?saved` : '/plan?saved', 303)
  }

  const app = new Hono<Inside>()
  for (const path of ['/people', '/prices']) app.use(path, inside(place))
  return app
    .get('/people', async (c) => {
      const { household, now } = await c.var.door.read()
      return people(c, { typed: peopleTyped(household.settings, now) })
    })
    .post('/people', (c) => save(c, (typed, { timeZone }) => peopleChange(typed, timeZone), people))
    .get('/prices', async (c) =>
      prices(c, { typed: pricesTyped((await c.var.door.read()).household.settings) }),
    )
    .post('/prices', (c) => save(c, pricesChange, prices))
}
