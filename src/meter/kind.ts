// Files that hold several series one under the other, told apart by a column of words: import and export, or two
// meters. One is taken; gas is left out, and refused when it is all there is.

import type { Column } from './columns.ts'
import { saysExport, saysGas, saysImport } from './heading.ts'
import type { Layout } from './layout.ts'
import { type Step, ask, excerpt, refuseFile } from './stop.ts'
import type { Row, Table } from './table.ts'
import type { Asked } from './types.ts'

export type OneKind = {
  readonly rows: readonly Row[]
  readonly column: number | null
  readonly name: string
}

const MOST_KINDS = 8

export function oneKind(table: Table, layout: Layout, asked: Asked): Step<OneKind> {
  const words = layout.columns.filter(({ holds }) => holds === 'words')
  const gas = words.find((column) => isAllGas(column))
  const above = table.preamble.find((cell) =>
    /^(natural )?gas$|(fuel|service|commodity)\W{1,4}(natural )?gas\b/i.test(
      cell.trim().slice(0, 80),
    ),
  )
  const evidence = gas === undefined ? above : gas.sample[0]
  if (evidence !== undefined) return refuseFile({ reason: 'gas', evidence: excerpt(evidence) })
  const whole = { rows: table.rows, column: null, name: '' }
  const column = words.find((candidate) => tellsApart(table.rows, layout, candidate))
  if (column === undefined) return { ok: true, value: whole }
  const names = kindsIn(table.rows, column.index).filter((name) => !saysGas(name))
  const imports = names.filter((name) => saysImport(name) && !saysExport(name))
  const others = names.filter((name) => !saysExport(name))
  const [only] = imports.length === 1 ? imports : others.length === 1 ? others : []
  const name = only ?? names.find((kind) => kind === asked.answers?.kind)
  if (name === undefined)
    return ask({
      about: 'kind',
      names: names.map(excerpt),
      choices: names.map((kind) => ({ kind })),
    })
  const rows = table.rows.filter(({ cells }) => (cells[column.index] ?? '').trim() === name)
  return { ok: true, value: { rows, column: column.index, name } }
}

const isAllGas = ({ sample, name }: Column): boolean => {
  const said = sample.filter((cell) => cell !== '')
  return (
    said.length > 0 &&
    said.every(saysGas) &&
    (new Set(said).size === 1 || /fuel|type|service|commodity|unit/i.test(name))
  )
}

const kindsIn = (rows: readonly Row[], column: number): readonly string[] => [
  ...new Set(rows.map(({ cells }) => (cells[column] ?? '').trim()).filter((cell) => cell !== '')),
]

/** A column of few words, where every time stands once for each word. */
function tellsApart(rows: readonly Row[], { time }: Layout, column: Column): boolean {
  const inSample = new Set(column.sample)
  if (inSample.size < 2 || inSample.size > MOST_KINDS) return false
  const first = 'column' in time ? time.column : time.date
  const second = 'clock' in time ? time.clock : 'period' in time ? time.period : null
  const times = new Set<string>()
  const both = new Set<string>()
  for (const { cells } of rows) {
    const key = `${cells[first] ?? ''} ${second === null ? '' : (cells[second] ?? '')}`
    times.add(key)
    both.add(`${key} ${cells[column.index] ?? ''}`)
  }
  return times.size <= 0.75 * rows.length && both.size >= 0.95 * rows.length
}
