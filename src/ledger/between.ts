// What happens between the hold and the release: what is charged, what is lost, and what that makes of the reserve.

import { type Instant, hoursBetween } from '../plan/index.ts'
import { ledgerWords as say } from '../words/index.ts'
import { type Case, kwhAt, reserveKwhAt, when } from './case.ts'
import { minutesOf } from './course.ts'
import { type Draft, row } from './row.ts'
import { sameOr } from './stored.ts'
import { type Figure, type Sum, asGiven, term, whole, worked } from './sum.ts'

/** The reserve at the hold, where it is not that at the release: less for what is charged in between, more for what is lost. */
export function keepRows(
  c: Case,
  reserve: Figure,
  at: Instant,
): { readonly rows: readonly Draft[]; readonly keep: Figure } {
  const kwh = (at === c.from ? null : reserveKwhAt(c, at, 'after')) ?? reserve.exact
  const keep = sameOr(reserve, kwh)
  if (keep === reserve) return { rows: [], keep }
  return {
    keep,
    rows: [
      row('keep', () => say.keep(when(c, at)), betweenSum(c, reserve, -1, at, kwh), keep, 'kWh'),
    ],
  }
}

/** From the energy at one end of the way between the hold and the release to that at the other. */
function betweenSum(c: Case, start: Figure, heading: 1 | -1, at: Instant, kwh: number): Sum {
  const { standbyKw } = c.battery
  const loss = -heading * standbyKw * Math.max(0, hoursBetween(at, c.from))
  const charged = heading * (c.event.topUp?.kwh ?? 0)
  const rest = kwh - start.exact - loss - charged
  return [start, ...term(charged), ...term(loss), ...term(rest)]
}

/** What comes to the release of what is there at the hold. */
export function releasedRows(
  c: Case,
  held: Figure,
  at: Instant,
): { readonly rows: readonly Draft[]; readonly kwh: Figure } {
  const kwhThen = kwhAt(c, c.from)
  const kwh = sameOr(held, kwhThen)
  if (kwh === held) return { rows: [], kwh }
  const what = () => say.atRelease(when(c, c.from))
  return { kwh, rows: [row('atRelease', what, betweenSum(c, held, 1, at, kwhThen), kwh, 'kWh')] }
}

/** Charging begins on a whole millisecond, so the mean is a hair off. */
const SAME_POWER = 1e-3

export function topUpRows({ event, battery, f }: Case): readonly Draft[] {
  const { topUp } = event
  const hours = topUp === null ? 0 : hoursBetween(topUp.from, topUp.until)
  if (topUp === null || hours <= 0) return []
  const lossKwh = battery.standbyKw * hours
  const meanKw = (topUp.kwh + lossKwh) / hours / battery.chargeEfficiency
  const even = Math.abs(meanKw / battery.maxChargeKw - 1) < SAME_POWER
  const kw = even ? asGiven(battery.maxChargeKw) : worked(meanKw)
  const share = asGiven(battery.chargeEfficiency)
  return [
    row(
      'topUp',
      (print) =>
        say.topUp(
          f.range(topUp.from, topUp.until),
          print(kw),
          even,
          print(asGiven(share.exact * 100)),
        ),
      [
        kw,
        ['×', whole(minutesOf(hours))],
        ['÷', whole(60)],
        ...(share.exact === 1 ? [] : [['×', share] as const]),
        ...term(-lossKwh),
      ],
      worked(topUp.kwh),
      'kWh',
    ),
  ]
}
