// A row of the ledger before its figures have their digits.

import type { Instant } from '../plan/index.ts'
import type { Figure, Sum } from './sum.ts'

export type RowId =
  | 'release'
  | 'rank'
  | 'covered'
  | 'limit'
  | 'draw'
  | 'loss'
  | 'need'
  | 'floor'
  | 'margin'
  | 'rule'
  | 'ruleKwh'
  | 'later'
  | 'asked'
  | 'reserve'
  | 'topUp'
  | 'keep'
  | 'display'
  | 'stored'
  | 'carried'
  | 'dayNeed'
  | 'dayKeep'
  | 'spare'
  | 'drain'
  | 'lasts'
  | 'goes'
  | 'atHold'
  | 'over'
  | 'hold'
  | 'holdEnds'
  | 'atRelease'
  | 'left'
  | 'missing'
  | 'above'
  | 'eventDrain'
  | 'eventLasts'
  | 'until'
  | 'load'

/** The text of a figure, with the digits that it has in the whole ledger. */
export type Print = (figure: Figure) => string

/** `h` is shown as hours and minutes. */
export type Unit = 'kWh' | 'kW' | '%' | 'h' | ''

export type Rounding = 'nearest' | 'up' | 'down'

/** `sum` is `null` for what is given and not worked out. */
export type FigureRow = {
  readonly id: RowId
  readonly what: (print: Print) => string
  readonly sum: Sum | null
  readonly value: Figure
  readonly unit: Unit
  readonly rounding: Rounding
}

/** From one time of day to another; without `from` it is given. */
export type ClockRow = {
  readonly id: RowId
  readonly what: () => string
  readonly from: Instant | null
  readonly to: Instant
}

export type Draft = FigureRow | ClockRow

/** A row whose value is worked out, to the nearest. */
export const row = (
  id: RowId,
  what: FigureRow['what'],
  sum: Sum | null,
  value: Figure,
  unit: Unit,
  rounding: Rounding = 'nearest',
): FigureRow => ({ id, what, sum, value, unit, rounding })

export const clockRow = (
  id: RowId,
  what: () => string,
  from: Instant | null,
  to: Instant,
): ClockRow => ({ id, what, from, to })
