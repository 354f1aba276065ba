// Which column is the energy, which way it flows, and in which unit.

import type { Column } from './columns.ts'
import {
  saysExport,
  saysGas,
  saysHardly,
  saysImport,
  saysNet,
  saysOther,
  saysRegister,
  unitIn,
} from './heading.ts'
import type { Layout } from './layout.ts'
import { type Step, ask, excerpt, refuseFile } from './stop.ts'
import type { Asked, Flow, Unit } from './types.ts'

const timeColumns = ({ time }: Layout): readonly number[] => {
  switch (time.kind) {
    case 'stamp':
    case 'epoch':
      return [time.column]
    case 'date-clock':
      return [time.date, time.clock]
    case 'date-period':
      return [time.date, time.period]
    case 'day-row':
      return [time.date, ...time.slots]
  }
}

/** The column of the energy in a table of a row for each interval. */
export function energyColumn(layout: Layout, asked: Asked): Step<Column> {
  const taken = timeColumns(layout)
  const figures = layout.columns.filter(
    ({ index, holds }) => holds === 'figures' && !taken.includes(index),
  )
  const energies = figures.filter(
    ({ name }) => !saysOther(name) && !saysRegister(name) && !saysGas(name),
  )
  if (energies.length === 0) {
    const gas = figures.find(({ name }) => saysGas(name))
    if (gas !== undefined) return refuseFile({ reason: 'gas', evidence: excerpt(gas.name) })
    const register = figures.find(({ name }) => saysRegister(name))
    if (register !== undefined)
      return refuseFile({ reason: 'register_only', evidence: excerpt(register.name) })
    return refuseFile({ reason: 'no_energy', evidence: namesOf(layout.columns) })
  }
  const fit = narrowed(energies, [
    ({ name }) => !saysHardly(name) || saysImport(name),
    ({ name }) => unitIn(name) !== null,
    ({ name }) => saysImport(name) && !saysExport(name),
    ({ name }) => !saysExport(name),
  ])
  const [only] = fit
  if (fit.length === 1 && only !== undefined) return { ok: true, value: only }
  const told = fit.find(({ index }) => index === asked.answers?.column)
  if (told !== undefined) return { ok: true, value: told }
  return ask({
    about: 'column',
    names: fit.map(({ name, index }) => (name === '' ? String(index + 1) : excerpt(name))),
    choices: fit.map(({ index }) => ({ column: index })),
  })
}

const namesOf = (columns: readonly Column[]): string =>
  excerpt(columns.map(({ name }) => name).join(', '))

/** Applies each test in turn, as long as some pass it. */
const narrowed = (
  columns: readonly Column[],
  tests: readonly ((column: Column) => boolean)[],
): readonly Column[] =>
  tests.reduce((left, test) => {
    const passed = left.filter(test)
    return passed.length > 0 ? passed : left
  }, columns)

/** The way of the energy, from what it is called; figures under zero are the net of both. */
export const flowOf = (name: string, anyNegative: boolean): Flow =>
  saysNet(name) || anyNegative ? 'net' : saysExport(name) && !saysImport(name) ? 'export' : 'import'

/** Wh for one of a unit over an interval. */
export const whPer = (unit: Unit, minutes: number): number => {
  switch (unit) {
    case 'kWh':
      return 1000
    case 'Wh':
      return 1
    case 'kW':
      return (1000 * minutes) / 60
    case 'W':
      return minutes / 60
  }
}

const UNITS: readonly Unit[] = ['kWh', 'Wh', 'kW', 'W']

/** What a home may use in a day, kWh: wide enough for a flat that stands empty and for a farm. */
const PLAUSIBLE_KWH = { least: 0.3, most: 500 }

/** The unit: as the file says, as a person says, or the only one that a home could have; else a question. */
export function unitOf(
  said: Unit | null,
  column: string,
  values: readonly number[],
  minutes: number,
  asked: Asked,
): Step<Unit> {
  const told = said ?? asked.answers?.unit
  if (told !== undefined) return { ok: true, value: told }
  const mean = values.reduce((sum, value) => sum + Math.abs(value), 0) / Math.max(1, values.length)
  const perDay = (unit: Unit) => (mean * whPer(unit, minutes) * 1440) / minutes / 1000
  // Over an hour a kilowatt is a kilowatt-hour.
  const units = minutes === 60 ? UNITS.slice(0, 2) : UNITS
  const plausible = units.filter(
    (unit) => perDay(unit) >= PLAUSIBLE_KWH.least && perDay(unit) <= PLAUSIBLE_KWH.most,
  )
  const [only] = plausible
  if (plausible.length === 1 && only !== undefined) return { ok: true, value: only }
  const offered = plausible.length === 0 ? units : plausible
  return ask({
    about: 'unit',
    column: excerpt(column),
    kwhPerDay: offered.map(perDay),
    choices: offered.map((unit) => ({ unit })),
  })
}
