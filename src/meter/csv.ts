// A table of interval readings, from text to series: each step decides one thing, or stops with a question.

import { energyColumn, flowOf, unitOf, whPer } from './energy.ts'
import { saysGas, unitIn } from './heading.ts'
import { type OneKind, oneKind } from './kind.ts'
import { type Layout, layoutOf } from './layout.ts'
import { decimalsOf } from './number.ts'
import { placedFigures } from './placing.ts'
import { figuresOf } from './rows.ts'
import { type Placed, isRegister, settle } from './settle.ts'
import { type Step, excerpt, refuseFile } from './stop.ts'
import { type Table, tabulate } from './table.ts'
import type { Asked, MeterReading, Understood, Unit } from './types.ts'

type Read = Extract<MeterReading, { kind: 'understood' }>

/** Reads interval data from text in columns, a row for each interval or for each day. */
export function readCsv(text: string, asked: Asked): Step<Read> {
  const table = tabulate(text)
  if (!table.ok) return table
  const layout = layoutOf(table.value)
  if (layout === null)
    return refuseFile({ reason: 'no_times', evidence: excerpt(table.value.names.join(', ')) })
  const kind = oneKind(table.value, layout, asked)
  return kind.ok ? readKind(table.value, layout, kind.value, asked) : kind
}

function readKind(table: Table, layout: Layout, kind: OneKind, asked: Asked): Step<Read> {
  const { time } = layout
  const isDayRow = time.kind === 'day-row'
  const energy = isDayRow ? null : energyColumn(layout, asked)
  if (energy !== null && !energy.ok) return energy
  const column = energy?.value ?? null
  const slots = isDayRow ? time.slots : [column?.index ?? 0]
  const decimals = decimalsOf(
    kind.rows.flatMap(({ cells }) => slots.map((slot) => cells[slot] ?? '')),
  )
  const read = figuresOf(kind.rows, time, column?.index ?? 0, decimals, asked)
  if (!read.ok) return read
  const { figures, skipped, dateOrder } = read.value
  const placed = placedFigures(figures, skipped, layout, asked)
  if (!placed.ok) return placed
  const { minutes, timing, starts } = placed.value
  if (isRegister(starts.map(({ value }) => value)))
    return refuseFile({ reason: 'register_only', evidence: excerpt(column?.name ?? '') })
  const unit = unitOf(
    unitSaid(table, layout, column?.name ?? '', slots),
    column?.name ?? '',
    starts.map(({ value }) => value),
    minutes,
    asked,
  )
  if (!unit.ok) return unit
  const wh = whPer(unit.value, minutes)
  const settled = settle(
    starts.map(({ at, value, line }): Placed => ({ at, wh: round(value * wh), line })),
    minutes,
    placed.value.skipped,
  )
  const understood: Understood = {
    form: isDayRow ? 'row-per-day' : 'row-per-interval',
    delimiter: table.delimiter,
    columns: layout.columns.map(({ index, name }) => ({
      name: excerpt(name),
      role: roleOf(index, layout, kind, slots),
    })),
    unit: unit.value,
    minutes,
    stamps: layout.stamps ?? timing.stamps,
    clock: timing.clock,
    dateOrder,
    flow: flowOf(
      kind.name === '' ? (column?.name ?? '') : kind.name,
      settled.series.intervals.some((interval) => interval.wh < 0),
    ),
    notMeasured: 0,
  }
  return { ok: true, value: { kind: 'understood', understood, ...settled } }
}

/** To a thousandth of a Wh: a decimal figure times a thousand is seldom whole in binary. */
const round = (wh: number): number => Math.round(wh * 1000) / 1000

/** The unit that the file gives: in a name, a cell, a column of its own, or above the table. */
function unitSaid(
  table: Table,
  { columns }: Layout,
  name: string,
  slots: readonly number[],
): Unit | null {
  const cell = columns
    .find(({ index }) => index === slots[0])
    ?.sample.find((text) => /\d ?[a-z]+$/i.test(text))
  const column = columns.find(
    ({ holds, sample }) =>
      holds === 'words' && new Set(sample).size === 1 && /^(kwh|wh|kw|w)$/i.test(sample[0] ?? ''),
  )
  const above = [...table.preamble, ...table.names].filter((text) => !saysGas(text))
  return (
    unitIn(name) ??
    (cell === undefined ? null : unitIn(cell)) ??
    (column === undefined ? null : unitIn(column.sample[0] ?? '')) ??
    above.map((text) => unitIn(text.slice(0, 120))).find((unit) => unit !== null) ??
    null
  )
}

function roleOf(
  index: number,
  { time }: Layout,
  kind: OneKind,
  slots: readonly number[],
): Understood['columns'][number]['role'] {
  if (slots.includes(index)) return 'energy'
  if (kind.column === index) return 'kind'
  if ('column' in time) return time.column === index ? 'time' : 'unused'
  if (time.date === index) return 'date'
  if ('clock' in time && time.clock === index) return 'clock'
  return 'period' in time && time.period === index ? 'period' : 'unused'
}
