// Setting up a household, and changing it. A form that cannot be taken comes back as it was typed.

import { type Context, Hono } from 'hono'
import { readHousehold } from '../api/index.ts'
import { type Settings, habitsOf } from '../../reminder/index.ts'
import { format, pageWords } from '../../words/index.ts'
import { apiTools } from '../apiTools.ts'
import { SetupPage, WelcomePage, setupDefaults } from '../pages/index.ts'
import { type Inside, type Place, formOf, inside } from '../place.ts'
import { formKey, keepToken, renewFormKey, tokenIn } from '../session.ts'
import {
  type Typed,
  type Wrong,
  readingOf,
  requestOf,
  typedOf,
  wrong,
  wrongFields,
} from '../setupForm.ts'
import { zones } from '../zones.ts'
import { expired } from './trouble.tsx'

type Page = {
  readonly typed: Typed
  readonly errors?: readonly Wrong[]
  readonly action: '/setup' | '/settings'
  readonly advise?: boolean
}

const setupPage = (c: Context, { typed, errors = [], action, advise = false }: Page) =>
  c.html(
    <SetupPage
      values={typed}
      errors={errors}
      medicalAnswer={advise ? 'yes' : null}
      zones={zones()}
      csrf={formKey(c)}
      action={action}
      heading={action === '/setup' ? pageWords.setup.title : pageWords.setup.settingsTitle}
    />,
    errors.length > 0 || advise ? 422 : 200,
  )

/** The settings that were typed, or what is wrong with them. */
function settingsFrom(place: Place, typed: Typed): Settings | readonly Wrong[] {
  const asked = readHousehold(requestOf(typed), apiTools(place))
  const unsaid = typed.medical === 'yes' || typed.medical === 'no' ? [] : [wrong('medical')]
  if (asked.ok && unsaid.length === 0) return asked.value
  return [
    ...(asked.ok ? [] : wrongFields((asked.refusal.errors ?? []).map(({ pointer }) => pointer))),
    ...unsaid,
  ]
}

const isWrong = (found: Settings | readonly Wrong[]): found is readonly Wrong[] =>
  Array.isArray(found)

/** "Yes" to medical equipment is met with advice before anything is made; going on is a tick in a box. */
const toBeAdvised = (typed: Typed): boolean =>
  typed.medical === 'yes' && typed.medicalAcknowledged !== 'yes'

export function setupRoutes(place: Place): Hono<Inside> {
  return new Hono<Inside>()
    .get('/setup', (c) => setupPage(c, { typed: setupDefaults, action: '/setup' }))
    .post('/setup', async (c) => {
      const typed: Typed | null = await formOf(c)
      // The page that followed was loaded again, or gone back from: what was made is not made twice.
      if (typed === null) return tokenIn(c) === null ? expired(c) : c.redirect('/plan', 303)
      const found = settingsFrom(place, typed)
      const reading = readingOf(typed)
      const unread = Number.isNaN(reading) ? [wrong('socPct')] : []
      const errors = [...(isWrong(found) ? found : []), ...unread]
      const advise = toBeAdvised(typed)
      if (isWrong(found) || errors.length > 0 || advise)
        return setupPage(c, { typed, errors, action: '/setup', advise })

      const made = await place.households.make(found, place.origin)
      keepToken(c, made.token)
      renewFormKey(c)
      const door = await place.households.open(made.token)
      const seen = await door?.read()
      if (door && seen && reading !== null)
        await door.perform({ type: 'reading', at: seen.now, socPct: reading })
      return c.html(
        <WelcomePage
          link={`${place.origin}/open#${made.token}`}
          calendarUrl={`${place.origin}/calendar/${made.feedToken}.ics`}
          webhookSecret={found.webhook?.secret ?? null}
          coverHours={coverHours(found)}
          {...(seen === undefined
            ? {}
            : { clock: format(found.language, found.timeZone).time(seen.now) })}
        />,
      )
    })
    .get('/settings', inside(place), async (c) => {
      const { household } = await c.var.door.read()
      return setupPage(c, { typed: typedOf(household.settings), action: '/settings' })
    })
    .post('/settings', inside(place), async (c) => {
      const typed: Typed | null = await formOf(c)
      if (typed === null) return expired(c)
      const found = settingsFrom(place, typed)
      const advise = toBeAdvised(typed)
      if (isWrong(found) || advise)
        return setupPage(c, {
          typed,
          errors: isWrong(found) ? found : [],
          action: '/settings',
          advise,
        })
      const { settings } = (await c.var.door.read()).household
      const sameWebhook = found.webhook?.url === settings.webhook?.url
      const webhook = sameWebhook ? settings.webhook : found.webhook
      const changed = { ...withUnshown(found, settings, typed), webhook, demo: settings.demo }
      await c.var.door.perform({ type: 'settings', settings: changed, from: settings })
      if (sameWebhook || webhook === null) return c.redirect('/plan?saved', 303)
      return c.html(
        <WelcomePage
          link={null}
          calendarUrl={null}
          webhookSecret={webhook.secret}
          coverHours={coverHours(found)}
        />,
      )
    })
}

/** Keeps what the form does not show: a margin that is not in per cent, a taper, and what has pages of its own. */
function withUnshown(found: Settings, stored: Settings, typed: Typed): Settings {
  const keepMargin = !('pct' in stored.margin) && (typed.marginPct ?? '') === ''
  const keepTaper = Number.isFinite(found.battery.maxChargeKw)
  return {
    ...found,
    ...habitsOf(stored),
    margin: keepMargin ? stored.margin : found.margin,
    battery: { ...found.battery, taper: keepTaper ? stored.battery.taper : null },
  }
}

/** From full down to the outage reserve at the evening load, hours. */
function coverHours({ battery, loadKw }: Settings): number {
  const usable = battery.capacityKwh * (1 - battery.outageReservePct / 100)
  return usable / (loadKw / battery.dischargeEfficiency + battery.standbyKw)
}
