// Which column tells the time and which could tell the energy, in both forms of table: a row for each interval,
// or a row for each day with a column for each interval.

import type { Column } from './columns.ts'
import { columnsOf } from './columns.ts'
import { clockIn, folded, saysEnd, saysPeriod, saysStart } from './heading.ts'
import { readStamp } from './stamp.ts'
import type { Table } from './table.ts'
import type { Stamps, WallClock } from './types.ts'

export type TimeSource =
  | { readonly kind: 'stamp'; readonly column: number }
  | { readonly kind: 'epoch'; readonly column: number }
  | { readonly kind: 'date-clock'; readonly date: number; readonly clock: number }
  /** Intervals of the day by number, from `first` (0 or 1) on. */
  | {
      readonly kind: 'date-period'
      readonly date: number
      readonly period: number
      readonly first: number
      readonly minutes: number
    }
  | {
      readonly kind: 'day-row'
      readonly date: number
      /** The column of each interval of the day, in order. */
      readonly slots: readonly number[]
      readonly minutes: number
    }

export type Layout = {
  readonly columns: readonly Column[]
  readonly time: TimeSource
  /** What the names of the columns say; `null` where they say nothing. */
  readonly stamps: Stamps | null
  readonly clock: WallClock | null
}

const sideOf = (name: string): Stamps | null =>
  saysStart(name) ? 'start' : saysEnd(name) ? 'end' : null

/** Finds the columns of a table's times; `null` where there are none. */
export function layoutOf(table: Table): Layout | null {
  const columns = columnsOf(table)
  const found = dayRow(columns, table) ?? longTime(columns)
  if (found === null) return null
  const names = table.names.join(' ')
  return { columns, ...found, clock: found.clock ?? (clockIn(names) === 'utc' ? 'utc' : null) }
}

type Found = Omit<Layout, 'columns'>

function longTime(columns: readonly Column[]): Found | null {
  const times = columns.filter(({ holds }) => holds === 'time')
  const time = chosen(times)
  if (time !== undefined)
    return {
      time: { kind: 'stamp', column: time.index },
      stamps: sideOf(time.name) ?? (holdsRanges(time) ? 'start' : null),
      clock: clockIn(time.name),
    }
  const date = columns.find(({ holds }) => holds === 'date')
  const clock = chosen(columns.filter(({ holds }) => holds === 'clock'))
  if (date !== undefined && clock !== undefined)
    return {
      time: { kind: 'date-clock', date: date.index, clock: clock.index },
      stamps: sideOf(clock.name) ?? (holdsRanges(clock) ? 'start' : null),
      clock: clockIn(clock.name) ?? clockIn(date.name),
    }
  const epoch = chosen(columns.filter(({ holds }) => holds === 'epoch'))
  if (epoch !== undefined)
    return { time: { kind: 'epoch', column: epoch.index }, stamps: sideOf(epoch.name), clock: null }
  if (date === undefined) return null
  // Dates alone are the days of a daily file, or the first rows of a night.
  const daily: Found = {
    time: { kind: 'stamp', column: date.index },
    stamps: sideOf(date.name),
    clock: clockIn(date.name),
  }
  return periodTime(columns, date) ?? daily
}

/** Of several columns of times the one in UTC, else the one that says it is the start, else the first. */
const chosen = (columns: readonly Column[]): Column | undefined =>
  columns.find(({ name }) => clockIn(name) === 'utc' && !saysEnd(name)) ??
  columns.find(({ name }) => saysStart(name)) ??
  columns.find(({ name }) => !saysEnd(name)) ??
  columns[0]

const holdsRanges = ({ sample }: Column): boolean =>
  sample.filter((cell) => /\d ?(?:-|–|to|\/) ?\d{1,2}:\d{2}/.test(cell) && !/T/.test(cell)).length >
    sample.length / 2 && sample.every((cell) => !/[+-]\d{2}:?\d{2}$/.test(cell))

function periodTime(columns: readonly Column[], date: Column): Found | null {
  for (const column of columns) {
    if (column.holds !== 'figures' || !saysPeriod(column.name)) continue
    const numbers = column.sample.filter((cell) => cell !== '').map(Number)
    if (!numbers.every((n) => Number.isInteger(n) && n >= 0 && n <= 100)) continue
    const first = numbers.includes(0) ? 0 : 1
    const count = Math.max(...numbers) - first + 1
    const minutes = minutesFor(count)
    if (minutes === null) continue
    return {
      time: { kind: 'date-period', date: date.index, period: column.index, first, minutes },
      stamps: 'start',
      clock: clockIn(date.name),
    }
  }
  return null
}

/** The interval of a day with so many of them; up to an hour more for the day of 25 hours. */
const minutesFor = (count: number): number | null =>
  count >= 92 && count <= 100
    ? 15
    : count >= 46 && count <= 50
      ? 30
      : count >= 23 && count <= 25
        ? 60
        : null

function dayRow(columns: readonly Column[], table: Table): Found | null {
  const date = columns.find(({ holds }) => holds === 'date')
  if (date === undefined) return null
  const named = columns
    .map((column) => ({ column, minute: minuteNamed(column.name) }))
    .filter(({ column, minute }) => minute !== null && column.index !== date.index)
  const minutes = minutesFor(named.length)
  const source = (slots: readonly number[], length: number): TimeSource => ({
    kind: 'day-row',
    date: date.index,
    slots,
    minutes: length,
  })
  const clock = clockIn(date.name)
  if (
    minutes !== null &&
    isRegular(
      named.map(({ minute }) => minute ?? 0),
      minutes,
    )
  ) {
    const slots = named.map(({ column }) => column.index)
    return {
      time: source(slots, minutes),
      stamps: named[0]?.minute === 0 ? 'start' : 'end',
      clock,
    }
  }
  const run = slotRun(columns, date.index)
  return run === null
    ? null
    : { time: source(extended(run.slots, table, run.minutes), run.minutes), stamps: 'start', clock }
}

/** Named by the clock, each one interval after the one before. */
const isRegular = (named: readonly number[], minutes: number): boolean => {
  const first = named[0] ?? 0
  return (
    (first === 0 || first === minutes) &&
    named.every((minute, i) => (first + i * minutes) % 1440 === minute % 1440)
  )
}

/** `00:30`, `0:30`, `00:30-01:00`, also behind a word. */
function minuteNamed(name: string): number | null {
  const clock = /(?:^|[^\d:])(\d{1,2}:\d{2})(?::00)?(?:$|[^\d:])/.exec(name.slice(0, 40))?.[1]
  return clock === undefined ? null : (readStamp(clock)?.minute ?? null)
}

type SlotRun = { readonly slots: readonly number[]; readonly minutes: number }

/** The run of columns that is a day of intervals, less a number of the meter before it or a total behind it. */
function slotRun(columns: readonly Column[], date: number): SlotRun | null {
  const run = longestRun(columns, date)
  const filled = run.filter(
    ({ sample }) => sample.filter((cell) => cell !== '').length > sample.length / 2,
  )
  const minutes = minutesFor(filled.length)
  if (minutes === null) return null
  const count = 1440 / minutes
  const [first] = filled
  if (filled.length === count) return { slots: run.map(({ index }) => index), minutes }
  if (filled.length !== count + 1 || first === undefined) return null
  if (new Set(first.sample).size === 1)
    return { slots: filled.slice(1).map(({ index }) => index), minutes }
  const isTotal = first.sample.every((_, row) => {
    const cells = filled.map(({ sample }) => Number(sample[row] ?? NaN))
    const sum = cells.slice(0, -1).reduce((total, cell) => total + cell, 0)
    return Math.abs((cells.at(-1) ?? NaN) - sum) <= 0.01 * Math.abs(sum)
  })
  return isTotal ? { slots: filled.slice(0, -1).map(({ index }) => index), minutes } : null
}

/** Rows of a day of 25 hours reach further than the rest. */
function extended(slots: readonly number[], table: Table, minutes: number): readonly number[] {
  const last = slots.at(-1) ?? 0
  const widest = table.rows.reduce((most, { cells }) => Math.max(most, cells.length), 0)
  const most = Math.min(1500 / minutes - slots.length, widest - 1 - last)
  const free = Array.from({ length: Math.max(0, most) }, (_, i) => last + 1 + i)
  return free.every((index) => (table.names[index] ?? '') === '') ? [...slots, ...free] : slots
}

/** Columns of figures side by side whose names count on, or which have no name: the longest run. */
function longestRun(columns: readonly Column[], date: number): readonly Column[] {
  const isSlot = ({ index, name, holds }: Column) =>
    index !== date &&
    (name === '' ? holds === 'figures' : numberNamed(name) !== null && holds !== 'words')
  let best: readonly Column[] = []
  let run: Column[] = []
  for (const column of columns.filter(isSlot)) {
    const before = run.at(-1)
    if (before !== undefined && follows(before, column)) run.push(column)
    else run = [column]
    if (run.length > best.length) best = run
  }
  return best
}

const follows = (before: Column, column: Column): boolean =>
  before.index === column.index - 1 &&
  (column.name === '' || numberNamed(column.name) === (numberNamed(before.name) ?? NaN) + 1)

/** The number behind a name such as `HH12`, `hour 7` or `12`. */
function numberNamed(name: string): number | null {
  const digits = /^[a-z]{0,12}(?: [a-z]{0,12})? ?(\d{1,3})$/.exec(folded(name))?.[1]
  return digits === undefined ? null : Number(digits)
}
