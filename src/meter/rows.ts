// Rows of a table to figures with their times as the file writes them; which clock wrote them is another
// question (timing.ts).

import { dateOrderOf } from './dateOrder.ts'
import type { TimeSource } from './layout.ts'
import { MOST_INTERVALS } from './limits.ts'
import { type Decimals, readNumber } from './number.ts'
import { type Stamp, readEpoch, readStamp } from './stamp.ts'
import { type Step, excerpt, refuseFile } from './stop.ts'
import type { Row } from './table.ts'
import type { Asked, DateOrder, SkippedRow } from './types.ts'

/** A time as written: an instant, or a wall clock in minutes since 1970-01-01, or the n-th interval of a day. */
export type Written =
  | { readonly at: number }
  | { readonly wall: number }
  | { readonly day: number; readonly nth: number }

export type Figure = { readonly line: number; readonly written: Written; readonly value: number }

export type Figures = {
  /** Oldest first, where the file runs the other way too. */
  readonly figures: readonly Figure[]
  readonly skipped: readonly SkippedRow[]
  readonly dateOrder: DateOrder | null
}

export function figuresOf(
  rows: readonly Row[],
  time: TimeSource,
  column: number,
  decimals: Decimals,
  asked: Asked,
): Step<Figures> {
  const most = rows.length * (time.kind === 'day-row' ? time.slots.length : 1)
  if (most > MOST_INTERVALS)
    return refuseFile({ reason: 'too_many_intervals', most: MOST_INTERVALS })
  const dateColumn = 'column' in time ? time.column : time.date
  const stamps =
    time.kind === 'epoch' ? [] : rows.map(({ cells }) => readStamp(cells[dateColumn] ?? ''))
  const order = dateOrderOf(stamps, asked)
  if (!order.ok) return order
  const figures: Figure[] = []
  const skipped: SkippedRow[] = []
  const take = (row: Row, written: Written | null, cell: string): void => {
    const skip = (reason: SkippedRow['reason']) =>
      skipped.push({ line: row.line, reason, text: excerpt(row.cells.slice(0, 8).join(', ')) })
    if (written === null) return void skip('no-time')
    const value = readNumber(cell, decimals)
    if (value === null) return void skip('no-value')
    if (value === undefined) return void skip('not-a-number')
    figures.push({ line: row.line, written, value })
  }
  for (const [i, row] of rows.entries()) {
    const day = dayOf(stamps[i] ?? null, order.value)
    if (time.kind !== 'day-row')
      take(row, writtenIn(row, time, stamps[i] ?? null, day), row.cells[column] ?? '')
    else if (day === null) take(row, null, '')
    else {
      for (const [nth, slot] of time.slots.entries()) {
        const cell = row.cells[slot] ?? ''
        // The columns beyond 24 hours are empty on every day but one.
        if (cell.trim() !== '' || nth < 1440 / time.minutes) take(row, { day, nth }, cell)
      }
    }
  }
  return {
    ok: true,
    value: {
      figures: midnightAtTheEnd(oldestFirst(figures), time),
      skipped,
      dateOrder: order.value,
    },
  }
}

const dayOf = (stamp: Stamp | null, order: DateOrder | null): number | null =>
  stamp === null ? null : order === 'month-first' ? stamp.monthFirst : stamp.dayFirst

function writtenIn(
  row: Row,
  time: Exclude<TimeSource, { kind: 'day-row' }>,
  stamp: Stamp | null,
  day: number | null,
): Written | null {
  if (time.kind === 'epoch') {
    const at = readEpoch(row.cells[time.column] ?? '')
    return at === null ? null : { at }
  }
  if (day === null) return null
  if (time.kind === 'date-period') {
    const nth = Number(row.cells[time.period] || NaN) - time.first
    return Number.isInteger(nth) && nth >= 0 && nth <= 100 ? { day, nth } : null
  }
  const clock = time.kind === 'stamp' ? stamp : readStamp(row.cells[time.clock] ?? '')
  if (clock === null || (time.kind === 'date-clock' && clock.minute === null)) return null
  const wall = day * 1440 + (clock.minute ?? 0)
  return clock.offset === null ? { wall } : { at: (wall - clock.offset) * 60_000 }
}

const place = (written: Written): number =>
  'at' in written
    ? written.at / 60_000
    : 'wall' in written
      ? written.wall
      : written.day * 1440 + written.nth

function oldestFirst(figures: readonly Figure[]): readonly Figure[] {
  const steps = figures.map(({ written }, i) => {
    const before = figures[i - 1]
    return before === undefined ? 0 : Math.sign(place(written) - place(before.written))
  })
  return steps.reduce<number>((sum, step) => sum + step, 0) < 0 ? figures.toReversed() : figures
}

/** Some write the end of a day as 00:00 of that same day, after its last row: it is then 24:00. */
function midnightAtTheEnd(figures: readonly Figure[], time: TimeSource): readonly Figure[] {
  if (time.kind !== 'date-clock' && time.kind !== 'stamp') return figures
  const isMidnight = ({ written }: Figure) => 'wall' in written && written.wall % 1440 === 0
  const afterLast = (figure: Figure, i: number) => {
    const before = figures[i - 1]
    if (before === undefined) return false
    const back = place(before.written) - place(figure.written)
    return back >= 1380 && back < 1440
  }
  const late = figures.filter((figure, i) => isMidnight(figure) && afterLast(figure, i)).length
  const all = figures.filter(isMidnight).length
  if (late === 0 || late < all - 1) return figures
  return figures.map((figure, i) =>
    isMidnight(figure) && afterLast(figure, i) && 'wall' in figure.written
      ? { ...figure, written: { wall: figure.written.wall + 1440 } }
      : figure,
  )
}
