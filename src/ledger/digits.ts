// How many digits each figure is shown with: as few as make every sum come out with the figures as they are printed. A
// figure has the same digits in each row, so that what is read in one is what is keyed in for the next.

import type { FigureRow } from './row.ts'
import { type Figure, type Sum, evaluated, figuresOf, rounded } from './sum.ts'

/** A millionth of a kWh or kW: more is never needed, and never said. */
const MOST_DECIMALS = 6

const MINUTE_HOURS = 1 / 60

export type Digits = ReadonlyMap<Figure, number>

/** The decimals of every figure of a ledger. */
export function digitsFor(rows: readonly FigureRow[]): Digits {
  const digits = new Map<Figure, number>()
  for (const { sum, value } of rows)
    for (const figure of [value, ...(sum === null ? [] : figuresOf(sum))])
      digits.set(figure, figure.decimals)
  // A figure with more digits holds its own row to more, so the rows are gone through until none wants any.
  for (let wanting = true; wanting;) {
    wanting = false
    for (const each of rows) {
      const coarse =
        each.sum !== null && !comesOut(each, each.sum, digits) && coarsest(each.sum, digits)
      if (!coarse) continue
      digits.set(coarse, (digits.get(coarse) ?? 0) + 1)
      wanting = true
    }
  }
  return digits
}

/** A figure as printed. */
export const shown = (figure: Figure, digits: Digits): number =>
  rounded(figure.exact, digits.get(figure) ?? figure.decimals)

/** Hours as printed: whole minutes, rounded down so that no time is told too late. */
export const shownHours = ({ exact }: Figure): number => Math.floor(exact * 60 + 1e-6) / 60

/** Whether redoing the sum with the printed figures gives the printed value. */
function comesOut({ value, unit, rounding }: FigureRow, sum: Sum, digits: Digits): boolean {
  const redone = evaluated(sum, (figure) => shown(figure, digits))
  const step = unit === 'h' ? MINUTE_HOURS : 10 ** -(digits.get(value) ?? value.decimals)
  const off = (redone - (unit === 'h' ? shownHours(value) : shown(value, digits))) / step
  switch (rounding) {
    case 'nearest':
      // Rounded it is the same; where digits were added already, one more in the last place will do.
      return Math.abs(off) <= ((digits.get(value) ?? 0) > value.decimals ? 1.001 : 0.6)
    case 'up':
      return off > -1.001 && off < 0.004
    case 'down':
      return off > -0.5 && off < 1
  }
}

/** The figure whose rounding moves the result most, and that can have more digits. */
function coarsest(sum: Sum, digits: Digits): Figure | undefined {
  const exact = evaluated(sum, (figure) => figure.exact)
  const moved = figuresOf(sum)
    .filter((figure) => (digits.get(figure) ?? 0) < MOST_DECIMALS)
    .map((figure) => {
      const coarse = evaluated(sum, (each) => (each === figure ? shown(each, digits) : each.exact))
      return { figure, by: Math.abs(coarse - exact) }
    })
    .filter(({ by }) => by > 0)
  return moved.toSorted((a, b) => b.by - a.by)[0]?.figure
}
