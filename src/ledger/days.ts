// Where past days stand in for today: which of them decides, how often it would have worked, and that day's own sums.

import { type Instant, type Step, hoursBetween } from '../plan/index.ts'
import { ledgerWords as say } from '../words/index.ts'
import { type Case, type Days, drawn, floorKwh, isHeld } from './case.ts'
import { minutesOf } from './course.ts'
import { lastingRows } from './hold.ts'
import { leftRows, shortRows } from './left.ts'
import { powerOf, throughInverter } from './need.ts'
import { type Kept, reserveRows } from './reserve.ts'
import { type Draft, clockRow, row } from './row.ts'
import { ofReading } from './stored.ts'
import { type Figure, HAIR_KWH, added, asGiven, whole, worked } from './sum.ts'

/** All rows of an event planned from past days. */
export function daysRows(c: Case, days: Days): readonly Draft[] {
  const kept = reserveRows(c, dayOfNeed(c, days))
  const { event } = c
  return [
    ...rankRows(days),
    ...kept.rows,
    displayRow(c, kept.reserve),
    ...(event.short === null ? leftRows(c, kept, kept.reserve) : []),
    ...timeRows(c, days, kept),
    ...(event.short === null ? [] : shortOfDay(c, days, kept)),
  ]
}

function rankRows({ loads, confidence, rank, spare }: Days): readonly Draft[] {
  const { days, coveredOn, stage } = confidence
  const late = asGiven(Number((1 - stage).toFixed(6)))
  const pct = asGiven(Number((100 * (1 - stage)).toFixed(4)))
  return [
    row(
      'rank',
      (print) =>
        rank > 0
          ? say.rank(loads.length, print(pct))
          : say.tooFewDays(loads.length, print(pct), spare),
      [whole(loads.length + 1), ['×', late]],
      whole(rank),
      '',
      'down',
    ),
    row(
      'covered',
      () => say.covered(coveredOn, days),
      [whole(coveredOn), ['÷', whole(days)], ['×', whole(100)]],
      whole((100 * coveredOn) / Math.max(1, days)),
      '%',
    ),
  ]
}

/** The day whose event takes what the plan says. */
const dayOfNeed = (c: Case, { loads }: Days): readonly Step[] | null =>
  loads.find(
    (load) =>
      Math.abs(drawn(c, load, c.from, c.event.end).takesKwh - c.event.needKwh) < HAIR_KWH / 100,
  ) ?? null

function displayRow({ battery, event }: Case, reserve: Figure): Draft {
  const pct = (100 * reserve.exact) / battery.capacityKwh
  const same = Math.min(100, Math.ceil(pct - 1e-9)) === event.holdAtPct
  return row(
    'display',
    () => (same ? say.display : say.displayOfDays),
    same ? [reserve, ['÷', asGiven(battery.capacityKwh)], ['×', whole(100)]] : null,
    whole(event.holdAtPct),
    '%',
    'up',
  )
}

function timeRows(c: Case, days: Days, kept: Kept): readonly Draft[] {
  const { event, from, input, f } = c
  const nth = Math.max(1, days.rank)
  const since = input.heldSince
  if (isHeld(c) && since !== null) return [clockRow('hold', () => say.heldSince, null, since)]
  if (event.holdBy === null) return [clockRow('hold', () => say.noHoldOfDays(nth), null, from)]
  if (event.holdBy <= c.gapStart)
    return [clockRow('hold', () => say.holdNowOfDays(nth), null, event.holdBy)]
  const given = [clockRow('hold', () => say.holdOfDays(nth, f.shortDay(from)), null, event.holdBy)]
  if (c.index > 0) return given
  const stored = ofReading(c)
  const found = decidingDay(c, days, kept, stored.at, stored.kwh.exact, event.holdBy)
  if (found === null) return given
  const { load, keepKwh } = found
  const draw = drawn(c, load, stored.at, event.holdBy)
  const day = keepRows(c, load, kept, keepKwh, nth)
  const lasting = lastingRows(c, stored.at, stored.kwh, day.keep, draw, event.holdBy)
  return [...day.rows, ...stored.rows, ...lasting]
}

/** The day that meets its own reserve at the hold. */
function decidingDay(
  c: Case,
  { loads }: Days,
  { floor, margin }: Kept,
  at: Instant,
  kwh: number,
  holdBy: Instant,
): { readonly load: readonly Step[]; readonly keepKwh: number } | null {
  for (const load of loads) {
    const needKwh = drawn(c, load, c.from, c.event.end).takesKwh
    const lossKwh = c.battery.standbyKw * hoursBetween(holdBy, c.from)
    const keepKwh = needKwh + (floor?.exact ?? 0) + (margin?.exact ?? 0)
    const thenKwh = kwh - drawn(c, load, at, holdBy).takesKwh
    const meets = lossKwh === 0 && Math.abs(thenKwh - keepKwh) < HAIR_KWH / 2
    if (meets && c.input.rule === null && keepKwh < kwh) return { load, keepKwh }
  }
  return null
}

/** What that day would have had to keep; nothing new where it is the day of the reserve. */
function keepRows(
  c: Case,
  load: readonly Step[],
  { reserve, floor, margin }: Kept,
  keepKwh: number,
  nth: number,
): { readonly rows: readonly Draft[]; readonly keep: Figure } {
  if (Math.abs(reserve.exact - keepKwh) < HAIR_KWH) return { rows: [], keep: reserve }
  const draw = drawn(c, load, c.from, c.event.end)
  const kw = powerOf(draw)
  const [house, ...loss] = throughInverter(c, kw)
  const need = worked(draw.takesKwh)
  const keep = worked(keepKwh)
  return {
    keep,
    rows: [
      row(
        'dayNeed',
        (print) => say.dayNeed(nth, print(kw)),
        [house, ...loss, ['×', whole(minutesOf(draw.hours))], ['÷', whole(60)]],
        need,
        'kWh',
      ),
      row('dayKeep', () => say.dayKeep, added(need, floor, margin), keep, 'kWh'),
    ],
  }
}

/** The day that falls short by what the plan says, held from now on. */
function shortOfDay(c: Case, { loads }: Days, kept: Kept): readonly Draft[] {
  const { event, from, input } = c
  const stored = ofReading(c)
  const floor = floorKwh(c.battery)
  const load =
    c.index === 0 && stored.at === input.now && c.battery.standbyKw === 0 && event.topUp === null
      ? loads.find((each) => {
          const needKwh = drawn(c, each, from, event.end).takesKwh
          return (
            Math.abs(needKwh + floor - stored.kwh.exact - (event.short?.kwh ?? 0)) < HAIR_KWH / 2
          )
        })
      : undefined
  if (load === undefined) return shortRows(c, kept, kept.reserve, null)
  const need = worked(drawn(c, load, from, event.end).takesKwh)
  const same = Math.abs(need.exact - kept.need.exact) < HAIR_KWH
  return [
    ...stored.rows,
    ...shortRows(c, { need: same ? kept.need : need, floor: kept.floor }, stored.kwh, load),
  ]
}
