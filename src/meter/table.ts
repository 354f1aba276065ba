// A text as a table: which sign parts the cells, where the rows of data begin, and the names above them.

import Papa from 'papaparse'
import { MOST_CELLS, MOST_INTERVALS, MOST_PREAMBLE_LINES } from './limits.ts'
import { looksNumeric } from './number.ts'
import { readEpoch, readStamp } from './stamp.ts'
import { type Step, excerpt, refuseFile } from './stop.ts'
import type { Understood } from './types.ts'

export type Delimiter = NonNullable<Understood['delimiter']>

export type Row = { readonly line: number; readonly cells: readonly string[] }

export type Table = {
  readonly delimiter: Delimiter
  /** As written; empty where the file has none. */
  readonly names: readonly string[]
  readonly rows: readonly Row[]
  /** What stands above the names. */
  readonly preamble: readonly string[]
}

const DELIMITERS: readonly Delimiter[] = ['\t', ';', '|', ',']

/** Parts a text into rows of data (RFC 4180, and the same with other delimiters). */
export function tabulate(text: string): Step<Table> {
  const most = mostOf(text)
  if (most.cells > MOST_CELLS) return refuseFile({ reason: 'too_many_cells', most: MOST_CELLS })
  if (most.lines > MOST_INTERVALS + MOST_PREAMBLE_LINES)
    return refuseFile({ reason: 'too_many_intervals', most: MOST_INTERVALS })
  const sample = text.slice(0, endOfLine(text, MOST_PREAMBLE_LINES * 2))
  const delimiter = delimiterOf(sample)
  if (delimiter === null) return noData(text)
  const all = partRows(text, delimiter)
  const begin = firstOfData(all)
  if (begin === null) return noData(text)
  const above = all.slice(0, begin).filter(({ cells }) => !isBlank(cells))
  const last = above.at(-1)
  const named = last !== undefined && last.cells.filter((cell) => cell.trim() !== '').length > 1
  return {
    ok: true,
    value: {
      delimiter,
      names: named ? last.cells.map((cell) => cell.trim()) : [],
      rows: all.slice(begin).filter(({ cells }) => !isBlank(cells)),
      preamble: above.slice(0, named ? -1 : undefined).flatMap(({ cells }) => cells),
    },
  }
}

const partRows = (text: string, delimiter: Delimiter): readonly Row[] =>
  Papa.parse(text, { delimiter, skipEmptyLines: false }).data.map((cells, i) => ({
    line: i + 1,
    cells,
  }))

const isBlank = (cells: readonly string[]): boolean => cells.every((cell) => cell.trim() === '')

/** The delimiter that makes the most rows of a time and a figure; `null` where none makes any. */
function delimiterOf(sample: string): Delimiter | null {
  const counts = DELIMITERS.map(
    (delimiter) => partRows(sample, delimiter).filter(({ cells }) => isData(cells)).length,
  )
  const most = Math.max(...counts)
  return most === 0 ? null : (DELIMITERS[counts.indexOf(most)] ?? null)
}

const isDated = (cell: string): boolean =>
  readEpoch(cell) !== null || readStamp(cell)?.hasDate === true

function isData(cells: readonly string[]): boolean {
  const few = cells.slice(0, 120)
  const dated = few.findIndex(isDated)
  return dated >= 0 && few.some((cell, i) => i !== dated && looksNumeric(cell))
}

/** Rows whose figures are missing count too, when they run into the data. */
function firstOfData(rows: readonly Row[]): number | null {
  const shown = rows.slice(0, MOST_PREAMBLE_LINES * 2)
  const first = shown.findIndex(({ cells }) => isData(cells))
  if (first < 0) return null
  const width = shown[first]?.cells.length
  const above = shown
    .slice(0, first)
    .findLastIndex(({ cells }) => cells.length !== width || !cells.some(isDated))
  return above + 1
}

function noData(text: string): Step<never> {
  const lines = text.slice(0, 20_000).split(/\r?\n|\r/)
  const evidence = excerpt(lines.find((line) => line.trim() !== '') ?? '')
  const dated = lines.slice(0, 200).some((line) => line.split(/[,;\t|]/).some(isDated))
  return refuseFile({ reason: dated ? 'no_energy' : 'no_times', evidence })
}

/** No delimiter makes more cells than this, nor more lines with anything in them. */
function mostOf(text: string): { readonly cells: number; readonly lines: number } {
  const counts = { comma: 0, semicolon: 0, tab: 0, bar: 0, line: 1 }
  for (let i = 0; i < text.length; i += 1) {
    const code = text.charCodeAt(i)
    if (code === 44) counts.comma += 1
    else if (code === 59) counts.semicolon += 1
    else if (code === 9) counts.tab += 1
    else if (code === 124) counts.bar += 1
    else if (code === 10 || (code === 13 && text.charCodeAt(i + 1) !== 10)) counts.line += 1
  }
  const cells = counts.line + Math.max(counts.comma, counts.semicolon, counts.tab, counts.bar)
  return { cells, lines: counts.line }
}

function endOfLine(text: string, lines: number): number {
  let at = 0
  for (let i = 0; i < lines; i += 1) {
    const next = text.indexOf('\n', at)
    if (next < 0) return Math.min(text.length, 200_000)
    at = next + 1
  }
  return Math.min(at, 200_000)
}
