// What is left above the outage reserve when the event ends, or what is missing, until when it lasts, and at which load it
// would last.

import { type Instant, type Step, hoursBetween } from '../plan/index.ts'
import { ledgerWords as say } from '../words/index.ts'
import { type Case, drawn, floorKwh, kwhAt, when } from './case.ts'
import { minutesOf } from './course.ts'
import { drainKw, drainRow } from './hold.ts'
import type { Kept } from './reserve.ts'
import { type Draft, clockRow, row } from './row.ts'
import { type Figure, HAIR_KWH, type Sum, asGiven, term, whole, worked } from './sum.ts'

const less = (figure: Figure | null) => (figure === null ? [] : [['−', figure] as const])

/** `atRelease` less need and outage reserve; where the sun makes it more, what is there at the end. */
export function leftRows(c: Case, { need, floor }: Kept, atRelease: Figure): readonly Draft[] {
  const { event, days } = c
  const left = worked(event.marginLeftKwh)
  const adds =
    days === null &&
    Math.abs(atRelease.exact - need.exact - (floor?.exact ?? 0) - left.exact) < HAIR_KWH
  if (adds)
    return [row('left', () => say.left, [atRelease, ['−', need], ...less(floor)], left, 'kWh')]
  const atEnd = worked(kwhAt(c, event.end))
  const ends = Math.abs(atEnd.exact - floorKwh(c.battery) - left.exact) < HAIR_KWH
  const what = days === null ? say.left : say.leftOfDays
  return [row('left', () => what, ends ? [atEnd, ...less(floor)] : null, left, 'kWh')]
}

/** For an event that is not covered even so; `load` is the one that it was planned from. */
export function shortRows(
  c: Case,
  { need, floor }: Pick<Kept, 'need' | 'floor'>,
  atRelease: Figure,
  load: readonly Step[] | null,
): readonly Draft[] {
  const { event, battery, from, f } = c
  const { short } = event
  if (short === null) return []
  const missing = worked(short.kwh)
  const lacks: Sum =
    floor === null ? [need, ['−', atRelease]] : [need, ['+', floor], ['−', atRelease]]
  const adds = Math.abs(need.exact + (floor?.exact ?? 0) - atRelease.exact - short.kwh) < HAIR_KWH
  const missingRow = row('missing', () => say.missing, adds ? lacks : null, missing, 'kWh')
  const until = (start: Instant | null) =>
    clockRow('until', () => say.until(f.shortDay(short.coveredUntil)), start, short.coveredUntil)
  const loadRow = (sum: Sum | null) =>
    row('load', () => say.loadToLast, sum, worked(short.loadKw), 'kW')
  const above = worked(atRelease.exact - floorKwh(battery))
  if (!adds || load === null || above.exact < HAIR_KWH)
    return [missingRow, until(null), loadRow(null)]
  const hours = hoursBetween(from, event.end)
  const lossKw = battery.standbyKw * battery.dischargeEfficiency
  const lasting = (above.exact / hours) * battery.dischargeEfficiency - lossKw
  const share = asGiven(battery.dischargeEfficiency)
  const draw = drawn(c, load, from, short.coveredUntil)
  const drain = worked(drainKw(c, draw))
  const drains = Math.abs(draw.takesKwh - above.exact) < HAIR_KWH && draw.hours > 0
  return [
    missingRow,
    row('above', () => say.above(when(c, from)), [atRelease, ...less(floor)], above, 'kWh'),
    ...(drains
      ? [
          drainRow(c, 'eventDrain', draw, drain),
          row('eventLasts', () => say.lasts, [above, ['÷', drain]], whole(draw.hours), 'h', 'down'),
        ]
      : []),
    until(drains ? from : null),
    loadRow(
      Math.abs(lasting - short.loadKw) < HAIR_KWH
        ? [
            above,
            ['×', whole(60)],
            ['÷', whole(minutesOf(hours))],
            ...(share.exact === 1 ? [] : [['×', share] as const]),
            ...term(-lossKw),
          ]
        : null,
    ),
  ]
}
