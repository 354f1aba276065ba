// What the event takes from the battery: what the house draws from the release to the end, through the inverter.

import { type Step, hoursBetween, minutesAfter } from '../plan/index.ts'
import { ledgerWords as say } from '../words/index.ts'
import { type Case, drawn } from './case.ts'
import { type Draw, minutesOf } from './course.ts'
import { type Draft, clockRow, row } from './row.ts'
import { type Figure, HAIR_KWH, type Sum, asGiven, term, whole, worked } from './sum.ts'

/** When a person lets the battery run, and why then. */
export function releaseRows({ event, input, f, from, gapStart }: Case): readonly Draft[] {
  if (from <= gapStart) return []
  const plain = from === minutesAfter(event.start, -input.releaseLeadMinutes)
  const early = event.releaseAt < from
  const lead = f.duration(hoursBetween(from, event.start))
  if (plain && input.releaseLeadMinutes > 0)
    return [
      clockRow(
        'release',
        () => (early ? say.runsFrom(lead) : say.release(lead)),
        event.start,
        from,
      ),
    ]
  return [clockRow('release', () => (plain ? say.releaseAtStart : say.releaseInReach), null, from)]
}

/** What the event takes on this load; without one it is given. */
export function needRows(
  c: Case,
  load: readonly Step[] | null,
): { readonly rows: readonly Draft[]; readonly need: Figure } {
  const { event, from, battery } = c
  const need = worked(event.needKwh)
  if (load === null) return { need, rows: [row('need', () => say.needGiven, null, need, 'kWh')] }
  const draw = drawn(c, load, from, event.end)
  const house = worked(draw.kw * draw.hours)
  const loss = battery.standbyKw > 0 ? worked(battery.standbyKw * draw.hours) : null
  const sunKwh = event.needKwh - draw.takesKwh
  const sun = Math.abs(sunKwh) >= HAIR_KWH
  return {
    need,
    rows: [
      ...(draw.peakKw > battery.maxDischargeKw ? [limitRow(c, draw)] : []),
      houseRow(c, draw, house),
      ...(loss === null ? [] : [lossRow(c, draw, loss)]),
      row(
        'need',
        (print) => say.need(print(efficiencyPct(c)), loss !== null, sun),
        [...throughInverter(c, house), ...plus(loss), ...term(sunKwh)],
        need,
        'kWh',
      ),
    ],
  }
}

/** A steady power is shown as it was given, a mean as it comes out. */
export const powerOf = ({ even, kw }: Draw): Figure => (even ? asGiven(kw) : worked(kw))

/** What is given to the house takes more from the store. */
export const throughInverter = ({ battery }: Case, out: Figure): Sum =>
  battery.dischargeEfficiency === 1 ? [out] : [out, ['÷', asGiven(battery.dischargeEfficiency)]]

export const plus = (figure: Figure | null): (readonly ['+', Figure])[] =>
  figure === null ? [] : [['+', figure]]

export const efficiencyPct = ({ battery }: Case): Figure =>
  asGiven(battery.dischargeEfficiency * 100)

function houseRow({ f, event, from, days }: Case, draw: Draw, house: Figure): Draft {
  const kw = powerOf(draw)
  return row(
    'draw',
    (print) => {
      const length = f.duration(draw.hours)
      return days === null
        ? say.draw(f.range(from, event.end), print(kw), length, draw.even)
        : say.drawOfDay(
            f.range(from, event.end),
            print(kw),
            length,
            Math.max(1, days.rank),
            days.madeLike,
          )
    },
    [kw, ['×', whole(minutesOf(draw.hours))], ['÷', whole(60)]],
    house,
    'kWh',
  )
}

const lossRow = ({ battery }: Case, draw: Draw, loss: Figure): Draft =>
  row(
    'loss',
    () => say.loss,
    [asGiven(battery.standbyKw), ['×', whole(minutesOf(draw.hours))], ['÷', whole(60)]],
    loss,
    'kWh',
  )

function limitRow({ battery }: Case, draw: Draw): Draft {
  const limit = asGiven(battery.maxDischargeKw)
  return row(
    'limit',
    (print) => say.limit(print(limit)),
    [asGiven(draw.peakKw), ['−', limit]],
    worked(draw.peakKw - battery.maxDischargeKw),
    'kW',
  )
}
