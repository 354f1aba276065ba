// A household's settings from a request, whole or changed in part, and back. Trouble that lies between
// two fields is found here, so that a household always has settings that can be planned with.

import type * as z from 'zod'
import type { AddressRefusal } from '../../delivery/index.ts'
import type { Result } from '../../plan/index.ts'
import { ok, refuse } from '../../plan/index.ts'
import type { Person, Settings, Weekly } from '../../reminder/index.ts'
import { problemWords as words } from '../../words/en/problems.ts'
import { DEFAULT_MARGIN, toBattery } from './planInput.ts'
import { invalid, refused } from './problem.ts'
import type { Problem } from './problem.ts'
import { printInstant } from './rfc3339.ts'
import { NewHousehold, SettingsChange } from './schemas/household.ts'
import type { SettingsAnswer } from './schemas/household.ts'
import type { ApiTools } from './tools.ts'
import { troubles } from './trouble.ts'

type WebhookTools = Pick<ApiTools, 'checkWebhook' | 'newWebhookSecret'>

/** The settings of a new household. */
export function newSettings(asked: NewHousehold, tools: WebhookTools): Result<Settings, Problem> {
  const { load, battery, margin, howToHold, howToRelease, webhook, topUp, ...rest } = asked
  return settled(
    {
      ...rest,
      battery: toBattery(battery),
      loadKw: load.kw,
      topUpWindows: topUp?.windows ?? [],
      margin: margin ?? DEFAULT_MARGIN,
      howToHold: howToHold ?? '',
      howToRelease: howToRelease ?? '',
      webhook: null,
      demo: false,
    },
    webhook,
    tools,
  )
}

/** The settings after a change; fields that are not given stay. A new webhook address gets a new secret. */
export function changedSettings(
  settings: Settings,
  change: SettingsChange,
  tools: WebhookTools,
): Result<Settings, Problem> {
  const { load, battery, webhook, topUp, ...rest } = given(change)
  return settled(
    {
      ...settings,
      ...rest,
      loadKw: load?.kw ?? settings.loadKw,
      topUpWindows: topUp === undefined ? settings.topUpWindows : (topUp?.windows ?? []),
      battery: toBattery({ ...printBattery(settings.battery), ...given(battery ?? {}) }),
    },
    webhook === undefined ? settings.webhook : webhook,
    tools,
  )
}

function settled(
  settings: Settings,
  webhook: { readonly url: string } | null,
  tools: WebhookTools,
): Result<Settings, Problem> {
  const { taper, maxChargeKw } = settings.battery
  if (settings.topUpWindows.length > 0 && maxChargeKw === Infinity)
    return refuse(refused(['battery', 'maxChargeKw'], words.topUpWithoutLimit))
  if (taper !== null && maxChargeKw === Infinity)
    return refuse(refused(['battery', 'maxChargeKw'], words.taperWithoutLimit))
  if (taper !== null && taper.toKw > maxChargeKw)
    return refuse(
      refused(['battery', 'taper', 'toKw'], words.taperOverLimit(taper.toKw, maxChargeKw)),
    )
  if (webhook === null) return ok({ ...settings, webhook: null })
  if (webhook.url === settings.webhook?.url) return ok(settings)
  const checked = tools.checkWebhook(webhook.url)
  if (!checked.ok) return refuse(refused(['webhook', 'url'], addressWords(checked.refusal)))
  if (checked.value === settings.webhook?.url) return ok(settings)
  return ok({
    ...settings,
    webhook: { url: checked.value, secret: tools.newWebhookSecret() },
  })
}

function addressWords(refusal: AddressRefusal): string {
  switch (refusal.reason) {
    case 'too_long':
      return words.textAtMost(refusal.longest)
    case 'unreadable':
      return words.webhook.unreadable
    case 'not_https':
      return words.webhook.notHttps
    case 'user_or_password':
      return words.webhook.userOrPassword
    case 'port':
      return words.webhook.port
    case 'number_address':
      return words.webhook.numberAddress
    case 'inner_name':
      return words.webhook.innerName
    case 'own_host':
      return words.webhook.ownHost
  }
}

/** The settings as a request would give them; the webhook's secret is not shown again. */
export function printSettings(settings: Settings): z.input<typeof SettingsAnswer> {
  const { loadKw, battery, webhook, topUpWindows, people, demo: _, ...rest } = settings
  return {
    ...rest,
    battery: printBattery(battery),
    load: { kw: loadKw },
    topUp: topUpWindows.length === 0 ? null : { windows: topUpWindows.map(printWeekly) },
    people: people.map(printPerson),
    unitRates: rest.unitRates && {
      ...rest.unitRates,
      bands: rest.unitRates.bands.map((band) => ({ ...band, days: [...band.days] })),
    },
    webhook: webhook && { url: webhook.url },
  }
}

const printBattery = (battery: Settings['battery']) => ({
  ...battery,
  maxDischargeKw: finite(battery.maxDischargeKw),
  maxChargeKw: finite(battery.maxChargeKw),
})

const printWeekly = (weekly: Weekly) => ({ ...weekly, days: [...weekly.days] })

const printPerson = (person: Person) => ({
  ...person,
  away: person.away.map(printWeekly),
  absences: person.absences.map(({ start, end }) => ({
    start: printInstant(start),
    end: printInstant(end),
  })),
})

const finite = (kw: number) => (Number.isFinite(kw) ? kw : null)

type Given<Fields> = { [Name in keyof Fields]?: Exclude<Fields[Name], undefined> }

const given = <Fields extends object>(fields: Fields): Given<Fields> =>
  Object.fromEntries(
    Object.entries(fields).filter(([, value]) => value !== undefined),
  ) as Given<Fields>

/** Settings after a change as a request gives it: what `PATCH /api/household` would take, or the problem that it is. */
export function readChange(
  settings: Settings,
  request: unknown,
  tools: WebhookTools,
): Result<Settings, Problem> {
  const checked = SettingsChange.safeParse(request, { reportInput: true })
  return checked.success
    ? changedSettings(settings, checked.data, tools)
    : refuse(invalid(troubles(checked.error.issues)))
}

/** Reads a whole household as a request gives it: what `POST /api/households` would take, or the problem that it is. */
export function readHousehold(request: unknown, tools: WebhookTools): Result<Settings, Problem> {
  const checked = NewHousehold.safeParse(request, { reportInput: true })
  return checked.success
    ? newSettings(checked.data, tools)
    : refuse(invalid(troubles(checked.error.issues)))
}
