// The parts of a Green Button document (espi.ts) to one series: which blocks belong to which meter reading, which
// of several series is the energy drawn from the grid, and what its figures mean. Enumerations are ESPI 4.0's.

import { unitOf, whPer } from './energy.ts'
import type { EspiBlock, EspiEntry, EspiReading, EspiReadingType } from './espi.ts'
import { readEspi } from './espi.ts'
import { INTERVAL_MINUTES } from './limits.ts'
import { type Placed, boundSpan, settle } from './settle.ts'
import { type Step, ask, refuseFile } from './stop.ts'
import type { Asked, Flow, MeterReading, SkippedRow, Unit } from './types.ts'

type Read = Extract<MeterReading, { kind: 'understood' }>

type EspiSeries = {
  readonly key: string
  readonly name: string
  readonly service: number | null
  readonly type: EspiReadingType | null
  readonly blocks: readonly EspiBlock[]
}

const ELECTRICITY_SERVICE = 0
const GAS_SERVICE = 1
const NATURAL_GAS = 7
const WH = 72
const W = 38
/** Cubic metres, cubic feet, therms. */
const GAS_UNITS: readonly number[] = [42, 119, 169]
const IMPORT = 1
const EXPORT = 19
const NET = 4
/** Registers that count on: bulkQuantity, cumulative, summation. */
const REGISTERS: readonly number[] = [1, 3, 9]
/** Edited, estimated (two ways), questionable, weather-normalised. */
const NOT_MEASURED: readonly number[] = [7, 8, 9, 10, 15]
const FORECAST = 12

export function readGreenButton(text: string, asked: Asked): Step<Read> {
  const entries = readEspi(text)
  if (!entries.ok) return entries
  const one = oneSeries(seriesIn(entries.value), asked)
  return one.ok ? readSeries(one.value, asked) : one
}

/** Puts entries together by their links; where there is only one to choose from, links may be missing. */
function seriesIn(entries: readonly EspiEntry[]): readonly EspiSeries[] {
  const withBlocks = entries.filter(({ blocks }) => blocks.length > 0)
  const types = entries.filter(({ readingType }) => readingType !== null)
  const points = entries.filter(({ usagePoint }) => usagePoint !== null)
  const meters = entries.filter(({ isMeterReading }) => isMeterReading)
  const holders = meters.length > 0 ? meters : withBlocks.slice(0, 1)
  const series = holders.map((meter, i): EspiSeries => {
    const type =
      types.find(({ self }) => self !== '' && meter.related.includes(self)) ?? only(types)
    const point = points.find((each) => holds(each, meter)) ?? only(points)
    const own =
      holders.length === 1 ? withBlocks : withBlocks.filter((entry) => holds(meter, entry))
    const titles = [point?.title, meter.title, type?.title].filter((title) => (title ?? '') !== '')
    return {
      key: meter.self === '' ? String(i + 1) : meter.self,
      name: titles.length > 0 ? titles.join(', ') : String(i + 1),
      service: point?.usagePoint?.service ?? null,
      type: type?.readingType ?? null,
      blocks: own.flatMap(({ blocks }) => blocks),
    }
  })
  return series.filter(({ blocks }) => blocks.some(({ readings }) => readings.length > 0))
}

const only = <T>(items: readonly T[]): T | undefined => (items.length === 1 ? items[0] : undefined)

/** Whether an entry is part of another, by the link up or by its own address. */
const holds = (whole: EspiEntry, part: EspiEntry): boolean =>
  (part.up !== '' && whole.related.includes(part.up)) ||
  (whole.self !== '' &&
    (part.up.startsWith(`${whole.self}/`) || part.self.startsWith(`${whole.self}/`)))

function oneSeries(all: readonly EspiSeries[], asked: Asked): Step<EspiSeries> {
  if (all.length === 0) return refuseFile({ reason: 'no_energy', evidence: 'IntervalReading' })
  const electric = all.filter(
    ({ service, type }) =>
      (service ?? ELECTRICITY_SERVICE) === ELECTRICITY_SERVICE &&
      [0, 1, 2].includes(type?.commodity ?? 1) &&
      !GAS_UNITS.includes(type?.uom ?? WH),
  )
  if (electric.length === 0) return refuseFile(notElectricity(all))
  const energies = electric.filter(({ type }) => [0, W, WH].includes(type?.uom ?? 0))
  if (energies.length === 0)
    return refuseFile({ reason: 'not_electricity', evidence: `uom ${electric[0]?.type?.uom}` })
  const deltas = energies.filter(
    ({ type }) => !REGISTERS.includes(type?.accumulationBehaviour ?? 4),
  )
  if (deltas.length === 0)
    return refuseFile({ reason: 'register_only', evidence: energies[0]?.name ?? '' })
  const finest = Math.min(...deltas.map(lengthOf))
  const fit = narrowed(deltas, [
    ({ type }) => type?.uom === WH,
    ({ type }) => type?.flowDirection === IMPORT,
    ({ type }) => type?.flowDirection !== EXPORT,
    (series) => lengthOf(series) === finest,
  ])
  const [first] = fit
  if (fit.length === 1 && first !== undefined) return { ok: true, value: first }
  const told = fit.find(({ key }) => key === asked.answers?.series)
  if (told !== undefined) return { ok: true, value: told }
  return ask({
    about: 'series',
    names: fit.map(({ name }) => name),
    choices: fit.map(({ key }) => ({ series: key })),
  })
}

const lengthOf = ({ type }: EspiSeries): number => type?.intervalLength ?? Infinity

const narrowed = (
  series: readonly EspiSeries[],
  tests: readonly ((one: EspiSeries) => boolean)[],
): readonly EspiSeries[] =>
  tests.reduce((left, test) => {
    const passed = left.filter(test)
    return passed.length > 0 ? passed : left
  }, series)

function notElectricity(all: readonly EspiSeries[]) {
  const gas = all.find(
    ({ service, type }) =>
      service === GAS_SERVICE ||
      type?.commodity === NATURAL_GAS ||
      GAS_UNITS.includes(type?.uom ?? 0),
  )
  return gas === undefined
    ? ({ reason: 'not_electricity', evidence: all[0]?.name ?? '' } as const)
    : ({ reason: 'gas', evidence: gas.name } as const)
}

type Timed = {
  readonly reading: EspiReading
  readonly start: number | null
  readonly seconds: number | null
  readonly place: number
}

function readSeries({ name, type, blocks }: EspiSeries, asked: Asked): Step<Read> {
  const timed = blocks
    .flatMap((block) => timedReadings(block, type))
    .map((each, i) => ({ ...each, place: i + 1 }))
  const seconds = commonest(timed.map((each) => each.seconds))
  const minutes = seconds === null ? null : seconds / 60
  if (minutes === null || !INTERVAL_MINUTES.includes(minutes))
    return refuseFile({ reason: 'interval_length', minutes })
  const span = boundSpan(timed.flatMap(({ start }) => (start === null ? [] : [start / 60])))
  if (!span.ok) return span
  const tens = type?.powerOfTenMultiplier ?? 0
  if (!Number.isInteger(tens) || Math.abs(tens) > 12)
    return refuseFile({ reason: 'damaged', line: 1, evidence: `powerOfTenMultiplier ${tens}` })
  const values = timed.map(({ reading }) => (reading.value ?? 0) * 10 ** tens)
  const said: Unit | null = type?.uom === WH ? 'Wh' : type?.uom === W ? 'W' : null
  const unit = unitOf(said, name, values, minutes, asked)
  if (!unit.ok) return unit
  const wh = whPer(unit.value, minutes)
  const placed: Placed[] = []
  const skipped: SkippedRow[] = []
  let notMeasured = 0
  for (const [i, { reading, start, seconds: length, place }] of timed.entries()) {
    const reason = skipReason(reading, start, length, seconds)
    if (reason !== null) {
      skipped.push({ line: place, reason, text: `${start ?? ''} ${reading.value ?? ''}`.trim() })
      continue
    }
    if (qualitiesOf(reading, type).some((quality) => NOT_MEASURED.includes(quality)))
      notMeasured += 1
    const value = (values[i] ?? 0) * wh
    placed.push({ at: (start ?? 0) * 1000, wh: Math.round(value * 1000) / 1000, line: place })
  }
  const settled = settle(placed, minutes, skipped)
  return {
    ok: true,
    value: {
      kind: 'understood',
      understood: {
        form: 'green-button',
        delimiter: null,
        columns: [],
        unit: unit.value,
        minutes,
        stamps: 'start',
        clock: 'offset',
        dateOrder: null,
        flow: flowOf(type?.flowDirection ?? IMPORT),
        notMeasured,
      },
      ...settled,
    },
  }
}

const flowOf = (direction: number): Flow =>
  direction === EXPORT ? 'export' : direction === NET ? 'net' : 'import'

/** Its own qualities, or the one that the type gives to all. */
function qualitiesOf(reading: EspiReading, type: EspiReadingType | null): readonly number[] {
  const byDefault = type?.defaultQuality ?? null
  return reading.qualities.length > 0 || byDefault === null ? reading.qualities : [byDefault]
}

/** Readings without a time of their own follow one another from the block's start. */
function timedReadings(
  { start, seconds, readings }: EspiBlock,
  type: EspiReadingType | null,
): readonly Omit<Timed, 'place'>[] {
  const length = type?.intervalLength ?? (seconds === null ? null : seconds / readings.length)
  return readings.map((reading, i) => ({
    reading,
    start: reading.start ?? (start === null || length === null ? null : start + i * length),
    seconds: reading.seconds ?? length,
  }))
}

function skipReason(
  { value, qualities }: EspiReading,
  start: number | null,
  length: number | null,
  expected: number | null,
): SkippedRow['reason'] | null {
  if (start === null) return 'no-time'
  if (value === null) return 'no-value'
  if (length !== expected) return 'other-length'
  return qualities.includes(FORECAST) ? 'forecast' : null
}

function commonest(values: readonly (number | null)[]): number | null {
  const counts = new Map<number, number>()
  for (const value of values) if (value !== null) counts.set(value, (counts.get(value) ?? 0) + 1)
  return [...counts].reduce<[number | null, number]>((a, b) => (b[1] > a[1] ? b : a), [null, 0])[0]
}
