// Tables in many spellings, each written from the same known series, which must come back.

import { describe, expect, test } from 'vitest'
import { readMeter } from '../../src/meter/index.ts'
import { isoWall, kwh, MINUTE, rows, seriesFrom, understood, wall } from './build.ts'
import type { Wall } from './build.ts'

const ZONE = 'America/Halifax'
// Three weeks over the change to daylight saving time on 14 March 2027 (the IANA database's rule for Halifax).
const truth = seriesFrom('2027-03-01T04:00:00Z', 21 * 48 - 2)
const at = (start: number) => wall(start, ZONE)
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']
const named = ({ mo }: Wall) => MONTHS[Number(mo) - 1]
const twelve = ({ h, mi }: Wall) => `${Number(h) % 12 || 12}:${mi} ${Number(h) < 12 ? 'AM' : 'PM'}`
const german = (wh: number) => kwh(wh).replace('.', ',')

const spellings: Record<string, string> = {
  'ISO, comma': rows(truth, ({ start, wh }) => `${isoWall(at(start))},${kwh(wh)}`, 'start,kWh'),
  'ISO with T and seconds, and quotes': rows(
    truth,
    ({ start, wh }) => `"${isoWall(at(start)).replace(' ', 'T')}:00","${kwh(wh)}"`,
    '"Interval Start","Consumption (kWh)"',
  ),
  'semicolon and decimal comma, day first with dots': rows(
    truth,
    ({ start, wh }) => {
      const { y, mo, d, h, mi } = at(start)
      return `${d}.${mo}.${y} ${h}:${mi};${german(wh)}`
    },
    'Zeitstempel von;Verbrauch [kWh]',
  ),
  tab: rows(truth, ({ start, wh }) => `${isoWall(at(start))}\t${kwh(wh)}`, 'start\tusage kWh'),
  bar: rows(truth, ({ start, wh }) => `${isoWall(at(start))}|${kwh(wh)}`, 'start|usage kWh'),
  'month first, AM and PM, date and time apart': rows(
    truth,
    ({ start, wh }) => {
      const w = at(start)
      return `${Number(w.mo)}/${Number(w.d)}/${w.y},${twelve(w)},${kwh(wh)},0.12`
    },
    'Date,Start Time,Usage (kWh),Cost ($)',
  ),
  'month names, two-digit year': rows(
    truth,
    ({ start, wh }) => {
      const w = at(start)
      return `${w.d}-${named(w)}-${w.y.slice(2)} ${w.h}:${w.mi},${kwh(wh)}`
    },
    'startTime,kwh',
  ),
  'month named first': rows(
    truth,
    ({ start, wh }) => {
      const w = at(start)
      return `"${named(w)} ${Number(w.d)}, ${w.y} ${twelve(w)}",${kwh(wh)}`
    },
    'START_DATE_TIME,USAGE_KWH',
  ),
  'digits only': rows(
    truth,
    ({ start, wh }) => `${isoWall(at(start)).replace(/\D/g, '')},${kwh(wh)}`,
    'from,kWh',
  ),
  'start and end of each interval': rows(
    truth,
    ({ start, wh }) => {
      const [a, b] = [at(start), at(start + 30 * MINUTE)]
      return `${a.y}-${a.mo}-${a.d},${a.h}:${a.mi},${b.h}:${b.mi},${kwh(wh)}`
    },
    'DATE,START TIME,END TIME,USAGE (kWh)',
  ),
  'ranges in one cell': rows(
    truth,
    ({ start, wh }) => {
      const [a, b] = [at(start), at(start + 30 * MINUTE)]
      return `${a.y}-${a.mo}-${a.d},${a.h}:${a.mi} - ${b.h}:${b.mi},${kwh(wh)}`
    },
    'date,interval,kWh',
  ),
  'instants with offset, Wh': rows(
    truth,
    ({ start, wh }) => `${new Date(start).toISOString()},${wh}`,
    'interval_start,energy_wh',
  ),
  'epoch seconds': rows(truth, ({ start, wh }) => `${start / 1000},${wh}`, 'start,Wh'),
  'epoch milliseconds': rows(truth, ({ start, wh }) => `${start},${wh}`, 'begin,value (Wh)'),
  'mean power in kW': rows(
    truth,
    ({ start, wh }) => `${isoWall(at(start))},${((wh * 2) / 1000).toFixed(3)}`,
    'start,demand (kW)',
  ),
  'mean power in W': rows(
    truth,
    ({ start, wh }) => `${isoWall(at(start))},${wh * 2}`,
    'start,Power (W)',
  ),
  'unit behind each figure': rows(
    truth,
    ({ start, wh }) => `${isoWall(at(start))},${kwh(wh)} kWh`,
    'start,usage',
  ),
  'a column for the unit': rows(
    truth,
    ({ start, wh }) => `${isoWall(at(start))},${kwh(wh)},kWh`,
    'start,usage,unit',
  ),
  'lines above the table': `Account;12345678\nAddress;1 Invented Row\n\n${rows(
    truth,
    ({ start, wh }) => `${isoWall(at(start))};${kwh(wh)}`,
    'start;kWh',
  )}`,
  'no names, unit above': `Energy in kWh\n${rows(truth, ({ start, wh }) => `${isoWall(at(start))},${kwh(wh)}`)}`,
  'newest first': rows(
    { ...truth, intervals: truth.intervals.toReversed() },
    ({ start, wh }) => `${isoWall(at(start))},${kwh(wh)}`,
    'start,kWh',
  ),
  'import and export': rows(
    truth,
    ({ start, wh }, i) => `${isoWall(at(start))},${kwh(wh)},${kwh(i % 7)}`,
    'start,Import kWh,Export kWh',
  ),
  'export before import, an account and a price': rows(
    truth,
    ({ start, wh }, i) => `70001,${isoWall(at(start))},${kwh(i % 7)},${kwh(wh)},0.31`,
    'account,start,Solar feed-in (kWh),Consumption (kWh),price',
  ),
  'import and export under one another': rows(
    truth,
    ({ start, wh }, i) =>
      `${isoWall(at(start))},import,${kwh(wh)}\n${isoWall(at(start))},export,${kwh(i % 7)}`,
    'start,direction,kWh',
  ),
  'byte order mark and CRLF': `\ufeff${rows(truth, ({ start, wh }) => `${isoWall(at(start))},${kwh(wh)}`, 'start,kWh').replaceAll('\n', '\r\n')}\r\n`,
}

describe('a row for each interval', () => {
  test.each(Object.entries(spellings))('%s', (_, text) => {
    const read = understood(readMeter(text, { timeZone: ZONE }))
    expect(read.series).toEqual(truth)
    expect(read.gaps.count).toBe(0)
    expect(read.skippedRows.count).toBe(0)
    expect(read.understood).toMatchObject({ minutes: 30, stamps: 'start', flow: 'import' })
  })

  test.each([15, 60])('intervals of %i minutes', (minutes) => {
    const series = seriesFrom('2027-03-01T04:00:00Z', (20 * 1440) / minutes, minutes)
    const text = rows(series, ({ start, wh }) => `${isoWall(at(start))},${kwh(wh)}`, 'start,kWh')
    expect(understood(readMeter(text, { timeZone: ZONE })).series).toEqual(series)
  })

  test('a period number for each half-hour, counted through on the day of 23 hours', () => {
    let day = ''
    let period = 0
    const text = rows(
      truth,
      ({ start, wh }) => {
        const { y, mo, d } = at(start)
        if (`${y}-${mo}-${d}` !== day) period = 0
        day = `${y}-${mo}-${d}`
        period += 1
        return `${day},${period},${kwh(wh)}`
      },
      'Settlement Date,Settlement Period,kWh',
    )
    expect(understood(readMeter(text, { timeZone: ZONE })).series).toEqual(truth)
  })

  test('hours 0 to 23 by the clock', () => {
    const series = seriesFrom('2027-03-01T04:00:00Z', 20 * 24 - 1, 60)
    const text = rows(
      series,
      ({ start, wh }) => {
        const { y, mo, d, h } = at(start)
        return `${y}-${mo}-${d},${Number(h)},${kwh(wh)}`
      },
      'date,hour,kWh',
    )
    expect(understood(readMeter(text, { timeZone: ZONE })).series).toEqual(series)
  })
})

describe('a row for each day', () => {
  const days = new Map<string, Map<string, number>>()
  for (const { start, wh } of truth.intervals) {
    const { y, mo, d, h, mi } = at(start)
    const key = `${y}-${mo}-${d}`
    days.set(key, (days.get(key) ?? new Map<string, number>()).set(`${h}:${mi}`, wh))
  }
  const clocks = Array.from(
    { length: 48 },
    (_, i) => `${String(i >> 1).padStart(2, '0')}:${i % 2 === 0 ? '00' : '30'}`,
  )
  const byClock = [...days].map(([day, slots]) =>
    [day, ...clocks.map((c) => (slots.has(c) ? kwh(slots.get(c) ?? 0) : ''))].join(','),
  )
  const counted = [...days].map(([day, slots]) => [day, ...[...slots.values()].map(kwh)].join(','))

  test('columns named by the clock at the start', () => {
    const text = [`Date (kWh),${clocks.join(',')}`, ...byClock].join('\n')
    const read = understood(readMeter(text, { timeZone: ZONE }))
    expect(read.series).toEqual(truth)
    expect(read.understood).toMatchObject({ form: 'row-per-day', stamps: 'start', clock: 'local' })
  })

  test('columns named by the clock at the end, and a total', () => {
    const ends = [...clocks.slice(1), '24:00']
    const text = [
      `meter,day,${ends.join(',')},total kWh`,
      ...byClock.map((row) => `7,${row},9.999`),
    ].join('\n')
    const read = understood(readMeter(text, { timeZone: ZONE }))
    expect(read.series).toEqual(truth)
    expect(read.understood.stamps).toBe('end')
  })

  test('numbered columns, counted through on the day of 23 hours', () => {
    const names = clocks.map((_, i) => `HH${i + 1}`)
    const text = [
      `Date,unit,${names.join(',')}`,
      ...counted.map((row) => row.replace(',', ',kWh,')),
    ]
    expect(understood(readMeter(text.join('\n'), { timeZone: ZONE })).series).toEqual(truth)
  })

  test('columns without names, counted through on the day of 25 hours', () => {
    const autumn = seriesFrom('2027-11-01T03:00:00Z', 14 * 48 + 2)
    const byDay = new Map<string, string[]>()
    for (const { start, wh } of autumn.intervals) {
      const key = isoWall(at(start)).slice(0, 10)
      byDay.set(key, [...(byDay.get(key) ?? []), kwh(wh)])
    }
    const lines = [...byDay].map(([day, cells]) => [day, ...cells].join(','))
    const read = (text: string) =>
      understood(readMeter(text, { timeZone: ZONE, answers: { unit: 'kWh' } })).series
    expect(read(lines.join('\n'))).toEqual(autumn)
    // The number of the meter in front, which is a figure too.
    expect(read(lines.map((line) => line.replace(',', ',7001234,')).join('\n'))).toEqual(autumn)
  })

  test('a total behind the columns without names is not an interval', () => {
    const winter = seriesFrom('2027-01-10T04:00:00Z', 20 * 48)
    const lines = Array.from({ length: 20 }, (_, day) => {
      const whs = winter.intervals.slice(day * 48, (day + 1) * 48).map(({ wh }) => wh)
      const date = isoWall(at(winter.intervals[day * 48]?.start ?? 0)).slice(0, 10)
      return [date, ...whs, whs.reduce((sum, wh) => sum + wh, 0)].join(';')
    })
    const asked = { timeZone: ZONE, answers: { unit: 'Wh', clock: 'local' } } as const
    expect(understood(readMeter(lines.join('\n'), asked)).series).toEqual(winter)
  })

  test.each([24, 96])('%i columns without names', (count) => {
    const minutes = 1440 / count
    const series = seriesFrom('2027-01-10T04:00:00Z', 20 * count, minutes)
    const lines = Array.from({ length: 20 }, (_, day) => [
      isoWall(at(Date.parse('2027-01-10T04:00:00Z') + day * 86_400_000)).slice(0, 10),
      ...series.intervals.slice(day * count, (day + 1) * count).map(({ wh }) => wh),
    ])
    const text = lines.map((line) => line.join(';')).join('\n')
    const asked = { timeZone: ZONE, answers: { unit: 'Wh', clock: 'local' } } as const
    expect(understood(readMeter(text, asked)).series).toEqual(series)
  })
})
