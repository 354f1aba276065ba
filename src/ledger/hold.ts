// How the time of the hold comes about: what may go, how fast it goes, and until when that lasts.

import { type Instant, hoursBetween } from '../plan/index.ts'
import { ledgerWords as say } from '../words/index.ts'
import { type Case, isHeld, kwhAt, reserveKwhAt, when } from './case.ts'
import { type Draw, minutesOf } from './course.ts'
import { efficiencyPct, plus, powerOf, throughInverter } from './need.ts'
import type { Kept } from './reserve.ts'
import { type Draft, clockRow, row } from './row.ts'
import { sameOr, storedFor } from './stored.ts'
import { type Figure, HAIR_KWH, type Sum, asGiven, term, whole, worked } from './sum.ts'

export type Held = {
  readonly rows: readonly Draft[]
  /** The hold meets the reserve just in time: its rows end with it. */
  readonly onTime: boolean
  /** Expected at the release. */
  readonly atRelease: Figure
}

/** The rows from the reserve to the hold, for a plan from one load. */
export function holdRows(c: Case, kept: Kept): Held {
  const { event, gapStart, from } = c
  const serving = gapStart >= from
  const at = serving || isHeld(c) ? gapStart : (event.holdBy ?? from)
  const { rows: keeping, keep } = keepRows(c, kept.reserve, event.holdBy ?? from)
  const stored = storedFor(c, at)
  const kwh = kwhAt(c, at)
  const spareKwh = stored.kwh.exact - keep.exact
  const onTime =
    !serving &&
    !isHeld(c) &&
    event.holdBy !== null &&
    at > stored.at &&
    stored.drain !== null &&
    spareKwh > 0 &&
    Math.abs(kwh - keep.exact) < HAIR_KWH
  const head = [...topUpRows(c), ...keeping, displayRow(c, keep), ...stored.rows]
  if (onTime && stored.drain !== null) {
    const lasting = lastingRows(c, stored.at, stored.kwh, keep, stored.drain, at)
    const atRelease = sameOr(kept.reserve, kwhAt(c, from))
    return { rows: [...head, ...lasting], onTime, atRelease }
  }
  const going = goingRows(c, stored.kwh, stored.drain, stored.at, at, kwh)
  const rows = [...head, ...going.rows, overRow(c, going.kwh, keep)]
  const held = isHeld(c) ? c.input.heldSince : event.holdBy
  const time = held === null || serving ? [] : [clockRow('hold', () => holdText(c), null, held)]
  const left = releasedRows(c, going.kwh, at)
  return { rows: [...rows, ...time, ...left.rows], onTime, atRelease: left.kwh }
}

/** What may go, how fast, how long that lasts, and until when: `2.93 ÷ 0.842` is 3 h 28 min. */
export function lastingRows(
  c: Case,
  start: Instant,
  stored: Figure,
  keep: Figure,
  draw: Draw,
  end: Instant,
): readonly Draft[] {
  const spare = worked(stored.exact - keep.exact)
  const drain = worked(drainKw(c, draw))
  const { f } = c
  return [
    row('spare', () => say.spare, [stored, ['−', keep]], spare, 'kWh'),
    drainRow(c, 'drain', draw, drain),
    row(
      'lasts',
      () => say.lasts,
      [spare, ['÷', drain]],
      whole(hoursBetween(start, end)),
      'h',
      'down',
    ),
    clockRow('hold', () => say.hold(f.shortDay(end)), start, end),
  ]
}

/** What goes from the store per hour, standing loss included, kW. */
export const drainKw = ({ battery }: Case, draw: Draw): number =>
  draw.kw / battery.dischargeEfficiency + battery.standbyKw

export function drainRow(c: Case, id: 'drain' | 'eventDrain', draw: Draw, drain: Figure): Draft {
  const kw = powerOf(draw)
  const loss = c.battery.standbyKw > 0 ? asGiven(c.battery.standbyKw) : null
  return row(
    id,
    (print) => say.drain(print(kw), draw.even, print(efficiencyPct(c)), loss && print(loss)),
    [...throughInverter(c, kw), ...plus(loss)],
    drain,
    'kW',
  )
}

/** The reserve at the hold, where it is not that at the release: less for what is charged in between, more for what is lost. */
function keepRows(
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

function displayRow(c: Case, keep: Figure): Draft {
  const { capacityKwh } = c.battery
  return row(
    'display',
    () => say.display,
    [keep, ['÷', asGiven(capacityKwh)], ['×', whole(100)]],
    whole(c.event.holdAtPct),
    '%',
    'up',
  )
}

/** What is expected at the hold, or at the release without one, when the battery runs until then. */
function goingRows(
  c: Case,
  stored: Figure,
  drain: Draw | null,
  start: Instant,
  at: Instant,
  kwhThen: number,
): { readonly rows: readonly Draft[]; readonly kwh: Figure } {
  const kwh = sameOr(stored, kwhThen)
  if (kwh === stored || at <= start) return { rows: [], kwh }
  const time = when(c, at)
  if (drain === null || drain.hours === 0) {
    const change = kwhThen - stored.exact
    const what = () => (change < 0 ? say.goneBy(time) : say.chargedBy(time))
    return { kwh, rows: [row('atHold', what, [stored, ...term(change)], kwh, 'kWh')] }
  }
  const rate = worked(drainKw(c, drain))
  const goes = worked(drain.takesKwh)
  const length = c.f.duration(drain.hours)
  return {
    kwh,
    rows: [
      drainRow(c, 'drain', drain, rate),
      row(
        'goes',
        () => say.goes(time, length),
        [rate, ['×', whole(minutesOf(drain.hours))], ['÷', whole(60)]],
        goes,
        'kWh',
      ),
      row('atHold', () => say.expectedAt(time), [stored, ['−', goes]], kwh, 'kWh'),
    ],
  }
}

/** What comes to the release of what is there at the hold. */
function releasedRows(
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

function topUpRows({ event, battery, f }: Case): readonly Draft[] {
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

/** What is there over the reserve, or what is lacking of it. */
function overRow(c: Case, kwh: Figure, keep: Figure): Draft {
  const over = kwh.exact - keep.exact
  const value = worked(Math.abs(over))
  return over < -HAIR_KWH
    ? row('over', () => say.lacking, [keep, ['−', kwh]], value, 'kWh')
    : row('over', () => overText(c), [kwh, ['−', keep]], value, 'kWh')
}

function overText(c: Case): string {
  if (isHeld(c)) return say.overHeld
  if (c.gapStart >= c.from) return say.overServing
  return c.event.holdBy === null ? say.overNoHold : say.overEarly
}

function holdText(c: Case): string {
  const { event, f, gapStart } = c
  if (isHeld(c)) return say.heldSince
  const at = event.holdBy ?? gapStart
  if (c.index === 0 && 'notCheapest' in c.plan && c.plan.notCheapest === null)
    return say.holdCheapest(f.shortDay(at))
  return at <= gapStart ? say.holdNow : say.holdInReach(f.shortDay(at))
}
