// Files of our own, written from a known series. Local clocks come from the platform's Intl, a second
// implementation beside the one under test.

import type { Interval, MeterReading, Series } from '../../src/meter/index.ts'
import { asInstant } from '../../src/plan/index.ts'

export const MINUTE = 60_000
export const HOUR = 3_600_000

/** Invented energies, Wh: an evening peak, and a little of everything so that no two neighbours are alike. */
export const whAt = (i: number): number =>
  100 + ((i * 37) % 211) + (i % 48 > 33 && i % 48 < 42 ? 350 : 0)

export const seriesFrom = (start: string, count: number, minutes = 30, wh = whAt): Series => ({
  minutes,
  intervals: Array.from({ length: count }, (_, i) => ({
    start: asInstant(Date.parse(start) + i * minutes * MINUTE),
    wh: wh(i),
  })),
})

export type Wall = { y: string; mo: string; d: string; h: string; mi: string }

const formats = new Map<string, Intl.DateTimeFormat>()

/** What a clock in a zone shows at an instant. */
export function wall(at: number, timeZone: string): Wall {
  let format = formats.get(timeZone)
  if (format === undefined) {
    format = new Intl.DateTimeFormat('en-GB', {
      timeZone,
      hourCycle: 'h23',
      year: 'numeric',
      month: '2-digit',
      day: '2-digit',
      hour: '2-digit',
      minute: '2-digit',
    })
    formats.set(timeZone, format)
  }
  const parts = Object.fromEntries(format.formatToParts(at).map(({ type, value }) => [type, value]))
  return {
    y: parts['year'] ?? '',
    mo: parts['month'] ?? '',
    d: parts['day'] ?? '',
    h: parts['hour'] ?? '',
    mi: parts['minute'] ?? '',
  }
}

export const isoWall = ({ y, mo, d, h, mi }: Wall): string => `${y}-${mo}-${d} ${h}:${mi}`

/** A row for each interval, from its start and Wh. */
export const rows = (
  series: Series,
  row: (interval: Interval, i: number) => string,
  header?: string,
): string => [...(header === undefined ? [] : [header]), ...series.intervals.map(row)].join('\n')

export const kwh = (wh: number): string => (wh / 1000).toFixed(3)

export type Read = Extract<MeterReading, { kind: 'understood' }>

/** The reading, or a failed test that shows what came instead. */
export function understood(reading: MeterReading): Read {
  if (reading.kind !== 'understood') throw new Error(JSON.stringify(reading))
  return reading
}
