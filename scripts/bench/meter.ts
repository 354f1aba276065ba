// Two years of half-hours as a file: read whole, beside what a general CSV library alone takes for it in the same run.

import Papa from 'papaparse'
import { compact, daysOf, expand, readMeter } from '../../src/meter/index.ts'
import { asInstant } from '../../src/plan/index.ts'
import { type Row, inTime, microseconds } from './table.ts'

const ROWS = 35_040
const HALF_HOUR = 1_800_000
const FIRST = Date.UTC(2034, 0, 1, 4)
const ZONE = 'America/Halifax'

/** Reading may cost so many times what parting the text into cells does; measured: 8 to 15. */
const MOST_TIMES = 30

const intervals = Array.from({ length: ROWS }, (_, i) => ({
  start: asInstant(FIRST + i * HALF_HOUR),
  wh: 100 + ((i * 37) % 211),
}))

const text = [
  'start,kWh',
  ...intervals.map(({ start, wh }) => `${new Date(start).toISOString()},${(wh / 1000).toFixed(3)}`),
].join('\n')

export async function benchMeter(): Promise<Row[]> {
  const read = readMeter(text, { timeZone: ZONE })
  if (read.kind !== 'understood' || read.series.intervals.length !== ROWS)
    throw new Error('the bench file was not read')
  const whole = microseconds(() => readMeter(text, { timeZone: ZONE }), 1, 24)
  const parted = microseconds(
    () => Papa.parse(text, { delimiter: ',', skipEmptyLines: false }),
    1,
    24,
  )
  const bytes = compact(read.series)
  const times = whole / parted
  return [
    { what: `meter file of ${ROWS} half-hours, read`, result: inTime(whole) },
    { what: '  parted into cells by papaparse alone', result: inTime(parted) },
    {
      what: '  times as long as that',
      result: `${times.toPrecision(2)} (at most ${MOST_TIMES})`,
      failed: times > MOST_TIMES,
    },
    {
      what: `days of ${ROWS} kept half-hours`,
      result: inTime(microseconds(() => daysOf(expand(bytes), ZONE), 1, 24)),
    },
  ]
}
