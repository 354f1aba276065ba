// How the time of the hold comes about: what may go, how fast it goes, and until when that lasts.

import { type Instant, type Span, hoursBetween } from '../plan/index.ts'
import { ledgerWords as say } from '../words/index.ts'
import { keepRows, releasedRows, topUpRows } from './between.ts'
import { type Case, isHeld, kwhAt, when } from './case.ts'
import { type Draw, minutesOf } from './course.ts'
import { efficiencyPct, plus, powerOf, throughInverter } from './need.ts'
import type { Kept } from './reserve.ts'
import { type Draft, clockRow, row } from './row.ts'
import { sameOr, storedFor } from './stored.ts'
import { type Figure, HAIR_KWH, asGiven, term, whole, worked } from './sum.ts'

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
    cheapestHolds(c).every(({ end }) => end === from) &&
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
  const time = serving ? [] : holdTimes(c)
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

/** When to hold, where that is not as late as the reserve allows; each hold of the cheapest ones with its end. */
function holdTimes(c: Case): readonly Draft[] {
  const { event, f, gapStart, input } = c
  if (isHeld(c))
    return input.heldSince === null
      ? []
      : [clockRow('hold', () => say.heldSince, null, input.heldSince)]
  const cheapest = cheapestHolds(c)
  if (cheapest.length > 0)
    return cheapest.flatMap(({ start, end }) => [
      clockRow('hold', () => say.holdCheapest(f.shortDay(start)), null, start),
      ...(end < c.from ? [clockRow('holdEnds', () => say.holdEnds, null, end)] : []),
    ])
  const at = event.holdBy
  if (at === null) return []
  const what = () => (at <= gapStart ? say.holdNow : say.holdInReach(f.shortDay(at)))
  return [clockRow('hold', what, null, at)]
}

/** The holds that were chosen because they cost least. */
const cheapestHolds = ({ plan, index }: Case): readonly Span[] =>
  index === 0 && 'holds' in plan && plan.notCheapest === null ? plan.holds : []
