// The set-up form and the settings: what was typed, as the API's request would say it, and back. One schema
// checks both; each of its findings is shown at the field that it is about.

import type { Settings } from '../reminder/index.ts'
import { pageWords, troubleWords } from '../words/index.ts'
import { figure } from './figure.ts'
import type { FieldError, SetupFieldName } from './pages/index.ts'
import { zones } from './zones.ts'

export type Typed = Readonly<Partial<Record<SetupFieldName, string>>>

export type Wrong = FieldError & { readonly field: SetupFieldName }

/** When the evening use is left empty, kW (common practice, no source). */
const USUAL_LOAD_KW = 0.8

/** Where the request's fields stand on the form; the order is the form's. */
const FIELD_OF: readonly (readonly [pointer: string, field: SetupFieldName])[] = [
  ['/battery/capacityKwh', 'capacityKwh'],
  ['/battery/outageReservePct', 'outageReservePct'],
  ['/load', 'loadKw'],
  ['/timeZone', 'timeZone'],
  ['/howToHold', 'howToHold'],
  ['/howToRelease', 'howToRelease'],
  ['/name', 'name'],
  ['/battery/maxDischargeKw', 'maxDischargeKw'],
  ['/battery/maxChargeKw', 'maxChargeKw'],
  ['/battery/dischargeEfficiency', 'dischargeEfficiency'],
  ['/battery/chargeEfficiency', 'chargeEfficiency'],
  ['/battery/standbyKw', 'standbyKw'],
  ['/margin', 'marginPct'],
  ['/releaseLeadMinutes', 'releaseLeadMinutes'],
  ['/rule/extraHours', 'ruleExtraHours'],
  ['/rule', 'rulePctPerHour'],
  ['/nightCharge/until', 'nightChargeUntil'],
  ['/nightCharge', 'nightChargeFrom'],
  ['/webhook', 'webhookUrl'],
]

const line = (typed: string | undefined): string => (typed ?? '').trim().replace(/\s+/g, ' ')

/** The zone that was typed; a city alone will do where only one zone is named after it. */
function zoneMeant(typed: string): string {
  const city = `/${typed.toLowerCase().replaceAll(' ', '_')}`
  const found = zones().filter((zone) => zone.toLowerCase().endsWith(city))
  return found.length === 1 ? (found[0] ?? typed) : typed
}

/** The request that the form stands for. */
export function requestOf(typed: Typed): Record<string, unknown> {
  const pctPerHour = figure(typed.rulePctPerHour)
  const extraHours = figure(typed.ruleExtraHours)
  const from = line(typed.nightChargeFrom)
  const until = line(typed.nightChargeUntil)
  const webhook = line(typed.webhookUrl)
  return {
    name: line(typed.name) || troubleWords.unnamedHousehold,
    timeZone: zoneMeant(line(typed.timeZone)),
    battery: withoutEmpty({
      capacityKwh: figure(typed.capacityKwh) ?? NaN,
      outageReservePct: figure(typed.outageReservePct),
      maxDischargeKw: figure(typed.maxDischargeKw),
      maxChargeKw: figure(typed.maxChargeKw),
      dischargeEfficiency: figure(typed.dischargeEfficiency),
      chargeEfficiency: figure(typed.chargeEfficiency),
      standbyKw: figure(typed.standbyKw),
    }),
    load: { kw: figure(typed.loadKw) ?? USUAL_LOAD_KW },
    ...withoutEmpty({ releaseLeadMinutes: figure(typed.releaseLeadMinutes) }),
    margin: { pct: figure(typed.marginPct) ?? 5 },
    rule:
      pctPerHour === undefined && extraHours === undefined
        ? null
        : { pctPerHour: pctPerHour ?? NaN, extraHours: extraHours ?? 0 },
    nightCharge: from === '' && until === '' ? null : { from, until },
    howToHold: (typed.howToHold ?? '').trim(),
    howToRelease: (typed.howToRelease ?? '').trim(),
    dayFirst: typed.dayFirst === 'yes',
    medical: typed.medical === 'yes',
    webhook: webhook === '' ? null : { url: webhook },
    calendarAlarms: typed.calendarAlarms === 'yes',
  }
}

// No more decimals than a person would read, or the form would take back.
const shown = (value: number): string => String(Number(value.toFixed(6)))

const limit = (kw: number): string => (Number.isFinite(kw) ? shown(kw) : '')

/** What the form would have looked like when these settings were given. */
export function typedOf(settings: Settings): Typed {
  const { battery, margin, rule, nightCharge } = settings
  return {
    name: settings.name,
    timeZone: settings.timeZone,
    capacityKwh: shown(battery.capacityKwh),
    outageReservePct: shown(battery.outageReservePct),
    loadKw: shown(settings.loadKw),
    howToHold: settings.howToHold,
    howToRelease: settings.howToRelease,
    medical: settings.medical ? 'yes' : 'no',
    medicalAcknowledged: settings.medical ? 'yes' : '',
    maxDischargeKw: limit(battery.maxDischargeKw),
    maxChargeKw: limit(battery.maxChargeKw),
    dischargeEfficiency: shown(battery.dischargeEfficiency),
    chargeEfficiency: shown(battery.chargeEfficiency),
    standbyKw: shown(battery.standbyKw),
    marginPct: 'pct' in margin ? shown(margin.pct) : '',
    rulePctPerHour: rule === null ? '' : shown(rule.pctPerHour),
    ruleExtraHours: rule === null ? '' : shown(rule.extraHours),
    releaseLeadMinutes: shown(settings.releaseLeadMinutes),
    nightChargeFrom: nightCharge?.from ?? '',
    nightChargeUntil: nightCharge?.until ?? '',
    webhookUrl: settings.webhook?.url ?? '',
    calendarAlarms: settings.calendarAlarms ? 'yes' : '',
    dayFirst: settings.dayFirst ? 'yes' : '',
  }
}

/** The form's own fields for pointers into the request, in the form's order, each once. */
export function wrongFields(pointers: readonly string[]): readonly Wrong[] {
  const fields = FIELD_OF.filter(([start]) =>
    pointers.some((pointer) => pointer.replace(/^#/, '').startsWith(start)),
  ).map(([, field]) => field)
  return [...new Set(fields)].map(wrong)
}

export const wrong = (field: SetupFieldName): Wrong => ({
  field,
  message: pageWords.fieldWrong[field],
})

/** The reading on the set-up form, per cent; `null` when it was left empty, NaN when it is no figure of a battery. */
export function readingOf(typed: Typed): number | null {
  const pct = figure(typed.socPct)
  if (pct === undefined) return null
  return pct >= 0 && pct <= 100 ? pct : NaN
}

const withoutEmpty = (fields: Record<string, number | undefined>): Record<string, number> =>
  Object.fromEntries(
    Object.entries(fields).filter((entry): entry is [string, number] => entry[1] !== undefined),
  )
