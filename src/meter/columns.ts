// What each column of a table holds, told from its cells alone.

import { SAMPLE_ROWS } from './limits.ts'
import { looksNumeric } from './number.ts'
import { readEpoch, readStamp } from './stamp.ts'
import type { Row, Table } from './table.ts'

export type Holds = 'time' | 'date' | 'clock' | 'epoch' | 'figures' | 'words' | 'nothing'

export type Column = {
  readonly index: number
  readonly name: string
  readonly holds: Holds
  /** Its cells in the rows that were looked at. */
  readonly sample: readonly string[]
}

/** Rows spread evenly over the table, so that its end counts as its beginning does. */
export function sampleRows(rows: readonly Row[]): readonly Row[] {
  const step = Math.max(1, Math.floor(rows.length / SAMPLE_ROWS))
  // An odd step, or a step of a day's rows would see the same time of day again and again.
  const odd = step % 2 === 0 ? step + 1 : step
  return rows.filter((_, i) => i % odd === 0 || i < 20)
}

export function columnsOf(table: Table): readonly Column[] {
  const rows = sampleRows(table.rows)
  const width = Math.max(table.names.length, ...rows.map(({ cells }) => cells.length))
  return Array.from({ length: Math.min(width, 400) }, (_, index) => {
    const sample = rows.map(({ cells }) => (cells[index] ?? '').trim())
    return { index, name: table.names[index] ?? '', holds: heldBy(sample), sample }
  })
}

function heldBy(sample: readonly string[]): Holds {
  const cells = sample.filter((cell) => cell !== '')
  if (cells.length === 0) return 'nothing'
  const most = (test: (cell: string) => boolean) =>
    cells.filter((cell) => test(cell)).length >= 0.9 * cells.length
  if (most((cell) => readEpoch(cell) !== null) && new Set(cells).size > 1) return 'epoch'
  const stamps = cells.map(readStamp).filter((stamp) => stamp !== null)
  if (stamps.length >= 0.9 * cells.length) {
    if (!stamps.every((stamp) => stamp.hasDate)) return 'clock'
    // Spreadsheets drop 00:00 behind a date, and programs put it behind every one.
    return stamps.some((stamp) => (stamp.minute ?? 0) > 0) ? 'time' : 'date'
  }
  return most((cell) => looksNumeric(cell) || /^(null|n\/?a|nan|-)$/i.test(cell)) &&
    cells.some(looksNumeric)
    ? 'figures'
    : 'words'
}
