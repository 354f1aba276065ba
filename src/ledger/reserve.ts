// What is to be in the battery at the release: the need, what is kept for a power cut, the margin or the rule of thumb,
// and what later events ask for.

import { type EventPlan, type Step, hoursBetween } from '../plan/index.ts'
import { ledgerWords as say } from '../words/index.ts'
import { type Case, drawn, floorKwh, reserveKwhAt, when } from './case.ts'
import { needRows, powerOf, throughInverter } from './need.ts'
import { type Draft, row } from './row.ts'
import { type Figure, HAIR_KWH, type Sum, added, asGiven, term, whole, worked } from './sum.ts'

/** The rows up to the reserve, and the figures that later rows go on with. */
export type Kept = {
  readonly rows: readonly Draft[]
  readonly need: Figure
  /** None where nothing is kept for a power cut. */
  readonly floor: Figure | null
  readonly margin: Figure | null
  readonly reserve: Figure
}

/** `load` is the one whose need is the plan's. */
export function reserveRows(c: Case, load: readonly Step[] | null): Kept {
  const { rows: needed, need } = needRows(c, load)
  const floorRow = keptForOutage(c)
  const floor = floorRow?.value ?? null
  if (c.input.rule !== null) {
    const ruled = ruleRows(c)
    const more = laterRow(c, ruled.kwh, c.event.reserveKwh - ruled.kwh.exact)
    const { rows, reserve } = together(c, [ruled.kwh, more?.value ?? null])
    const parts = [...ruled.rows, more, ...rows, floorRow].filter((part) => part !== null)
    return { rows: [...needed, ...parts], need, floor, margin: null, reserve }
  }
  const marginRow = keptAsMargin(c, load)
  const margin = marginRow?.value ?? null
  const without = need.exact + (floor?.exact ?? 0) + (margin?.exact ?? 0)
  const more = laterRow(c, worked(without), c.event.reserveKwh - without)
  const { rows, reserve } = together(c, [need, floor, margin, more?.value ?? null])
  const parts = [floorRow, marginRow, more].filter((part) => part !== null)
  return { rows: [...needed, ...parts, ...rows], need, floor, margin, reserve }
}

/** A share of the capacity: `9.6 × 10 ÷ 100`. */
export function shareRow(
  c: Case,
  id: 'floor' | 'margin' | 'ruleKwh' | 'stored',
  pct: Figure,
  what: (pct: string, capacity: string) => string,
) {
  const capacity = asGiven(c.battery.capacityKwh)
  return row(
    id,
    (print) => what(print(pct), print(capacity)),
    [capacity, ['×', pct], ['÷', whole(100)]],
    worked((pct.exact / 100) * capacity.exact),
    'kWh',
  )
}

const keptForOutage = (c: Case) =>
  c.battery.outageReservePct === 0
    ? null
    : shareRow(c, 'floor', asGiven(c.battery.outageReservePct), say.floor)

function keptAsMargin(c: Case, load: readonly Step[] | null) {
  const { margin, event } = c
  if ('kwh' in margin)
    return margin.kwh === 0
      ? null
      : row('margin', () => say.marginKwh, null, asGiven(margin.kwh), 'kWh')
  if ('pct' in margin)
    return margin.pct === 0 ? null : shareRow(c, 'margin', asGiven(margin.pct), say.marginPct)
  if (margin.hours === 0 || load === null) return null
  const kw = powerOf(drawn(c, load, event.start, event.end))
  const hours = asGiven(margin.hours)
  const [house, ...loss] = throughInverter(c, kw)
  return row(
    'margin',
    (print) => say.marginHours(print(hours), print(kw)),
    [house, ...loss, ['×', hours]],
    worked((hours.exact * kw.exact) / c.battery.dischargeEfficiency),
    'kWh',
  )
}

function ruleRows(c: Case): { readonly rows: readonly Draft[]; readonly kwh: Figure } {
  const { input, event, battery, f } = c
  const { pctPerHour, extraHours } = input.rule ?? { pctPerHour: 0, extraHours: 0 }
  const length = hoursBetween(event.start, event.end)
  const [perHour, hours] = [asGiven(pctPerHour), asGiven(length + extraHours)]
  const pct = asGiven(pctPerHour * hours.exact)
  const most = asGiven(Math.min(100, Math.max(battery.outageReservePct, pct.exact)))
  const bound = most.exact === pct.exact ? null : pct.exact > 100 ? 'full' : 'outage'
  const kwh = shareRow(c, 'ruleKwh', bound === null ? pct : most, say.ruleKwh[bound ?? 'plain'])
  const sum = [perHour, ['×', hours]] as const
  const lengths = [f.duration(length), f.duration(extraHours)] as const
  const rule = row('rule', (print) => say.rule(print(perHour), ...lengths), sum, pct, '%')
  return { kwh: kwh.value, rows: [rule, kwh] }
}

/** What is asked for beyond this event: `rest` of the reserve, or more where the battery cannot hold it all. */
function laterRow(c: Case, without: Figure, rest: number) {
  const { plan, event, index, battery, days } = c
  const next = plan.events[index + 1]
  const atEnd = next && days === null ? reserveKwhAt(c, event.end, 'before') : null
  const asked = atEnd === null ? 0 : atEnd - floorKwh(battery)
  const full = event.reserveKwh > battery.capacityKwh - HAIR_KWH
  const kwh = full && without.exact + asked > battery.capacityKwh + HAIR_KWH ? asked : rest
  if (kwh < HAIR_KWH) return null
  const what = () => (next === undefined ? say.betweenDays : say.later(when(c, next.start)))
  return row('later', what, next === undefined ? null : laterSum(c, next, kwh), worked(kwh), 'kWh')
}

/** The next event's reserve, with what is lost until then, less what is kept anyway; `null` where the sun or a charge adds to it. */
function laterSum(c: Case, next: EventPlan, kwh: number): Sum | null {
  const lossKwh = c.battery.standbyKw * hoursBetween(c.event.end, next.releaseAt)
  const floor = keptForOutage(c)?.value
  const asked = next.reserveKwh + lossKwh - (floor?.exact ?? 0)
  return Math.abs(asked - kwh) < HAIR_KWH
    ? [worked(next.reserveKwh), ...term(lossKwh), ...(floor ? [['−', floor] as const] : [])]
    : null
}

/** The parts together, or what the battery can hold of them. */
function together(
  c: Case,
  parts: readonly (Figure | null)[],
): { readonly rows: readonly Draft[]; readonly reserve: Figure } {
  const { event, battery } = c
  const [first, ...rest] = parts.filter((part) => part !== null)
  const sum = first === undefined || rest.length === 0 ? null : added(first, ...rest)
  const total = parts.reduce((kwh, part) => kwh + (part?.exact ?? 0), 0)
  const over = total > event.reserveKwh + HAIR_KWH
  const at = when(c, c.from)
  const what = sum === null ? say.toHave(at) : say.reserve(at)
  if (!over) {
    const reserve = worked(event.reserveKwh)
    return { reserve, rows: [row('reserve', () => what, sum, reserve, 'kWh')] }
  }
  const full = event.reserveKwh > battery.capacityKwh - HAIR_KWH
  const reserve = full ? asGiven(event.reserveKwh) : worked(event.reserveKwh)
  return {
    reserve,
    rows: [
      row('asked', () => say.asked, sum, worked(total), 'kWh'),
      row('reserve', () => (full ? say.full : say.ofDays), null, reserve, 'kWh'),
    ],
  }
}
