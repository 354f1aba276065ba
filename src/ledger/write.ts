// From drafts to the rows that are read.

import type { Format } from '../words/index.ts'
import { ledgerWords } from '../words/index.ts'
import { HOUR_MS, type Instant, MINUTE_MS } from '../plan/index.ts'
import { type Digits, digitsFor, shown, shownHours } from './digits.ts'
import type { ClockRow, Draft, FigureRow, Print, RowId, Unit } from './row.ts'
import { printed } from './sum.ts'

/** A row of the ledger: `what` it is, the arithmetic as it is keyed in (empty for what is given), and what comes out. */
export type LedgerRow = {
  readonly id: RowId
  readonly what: string
  readonly sum: string
  readonly value: string
  /** Empty for times, lengths of time and counts. */
  readonly unit: Exclude<Unit, 'h'>
  /** The value not rounded: kWh, kW, %, hours, a count, or epoch milliseconds. */
  readonly exact: number
}

export function written(drafts: readonly Draft[], f: Format): readonly LedgerRow[] {
  const digits = digitsFor(drafts.filter((draft) => 'value' in draft))
  return drafts.map((draft) => ('value' in draft ? figureRow(draft, digits, f) : timeRow(draft, f)))
}

function figureRow(draft: FigureRow, digits: Digits, f: Format): LedgerRow {
  const { id, what, sum, value, unit } = draft
  const print: Print = (figure) =>
    ledgerWords.figure(shown(figure, digits), figure.trimmed ? 0 : (digits.get(figure) ?? 0))
  return {
    id,
    what: what(print),
    sum: sum === null ? '' : printed(sum, print),
    value: unit === 'h' ? f.duration(shownHours(value)) : print(value),
    unit: unit === 'h' ? '' : unit,
    exact: value.exact,
  }
}

function timeRow({ id, what, from, to }: ClockRow, f: Format): LedgerRow {
  return {
    id,
    what: what(),
    sum: from === null ? '' : clockSum(from, to, f),
    value: f.time(to),
    unit: '',
    exact: to,
  }
}

/** `13:00 + 3 h 28 min`; where the clocks change in between, what they change by is a term of its own. */
function clockSum(from: Instant, to: Instant, f: Format): string {
  const minutes = Math.floor(Math.abs(to - from) / MINUTE_MS + 1e-6)
  const walls = minutesOf(f.time(to)) - minutesOf(f.time(from)) - Math.sign(to - from) * minutes
  const turned = ((((walls + 720) % 1440) + 1440) % 1440) - 720
  const length = (value: number) => f.duration((Math.abs(value) * MINUTE_MS) / HOUR_MS)
  const sum = `${f.time(from)} ${sign(to - from)} ${length(minutes)}`
  const change = Math.round(turned / 30) * 30
  return change === 0 ? sum : `${sum} ${sign(change)} ${length(change)}`
}

const sign = (value: number) => (value < 0 ? '−' : '+')

const minutesOf = (clock: string): number => {
  const [hours = 0, minutes = 0] = clock.split(':').map(Number)
  return hours * 60 + minutes
}
