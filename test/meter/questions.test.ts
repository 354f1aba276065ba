// What a file leaves open is asked, and each choice, merged into the answers, reads it. What cannot be read is
// refused with what was found.

import { describe, expect, test } from 'vitest'
import { readMeter, sayQuestion, sayRefusal, sayTaken } from '../../src/meter/index.ts'
import type { Answers, Asked, MeterReading } from '../../src/meter/index.ts'
import { isoWall, kwh, rows, seriesFrom, understood, wall } from './build.ts'

const ZONE = 'Europe/London'
const winter = seriesFrom('2027-01-11T00:00:00Z', 7 * 48)
const stamp = (at: number) => isoWall(wall(at, 'UTC'))

const question = (reading: MeterReading) => {
  if (reading.kind !== 'question') throw new Error(JSON.stringify(reading).slice(0, 300))
  return reading.question
}

const refusal = (text: string, asked: Asked = { timeZone: ZONE }) => {
  const reading = readMeter(text, asked)
  if (reading.kind !== 'refused') throw new Error(JSON.stringify(reading).slice(0, 300))
  expect(sayRefusal(reading.refusal)).toMatch(/^[A-Z][^{}]+\.$/)
  return reading.refusal
}

const answered = (text: string, answers: Answers) =>
  understood(readMeter(text, { timeZone: ZONE, answers }))

describe('the order of day and month', () => {
  const oneDay = (y: string, mo: string, d: string) =>
    rows(
      seriesFrom(`${y}-${mo}-${d}T00:00:00Z`, 48),
      ({ start, wh }) =>
        `${d}/${mo}/${y} ${wall(start, 'UTC').h}:${wall(start, 'UTC').mi},${kwh(wh)}`,
      'start,kWh',
    )

  test('is asked when no date tells, and the household’s own order answers too', () => {
    const text = oneDay('2027', '02', '05')
    const asked = question(readMeter(text, { timeZone: ZONE }))
    expect(asked).toMatchObject({
      about: 'date-order',
      days: { dayFirst: '2027-02-05', monthFirst: '2027-05-02' },
    })
    expect(sayQuestion(asked).choices.map(({ answer }) => answer)).toEqual(asked.choices)
    const first = (reading: MeterReading) => understood(reading).series.intervals[0]?.start
    expect(first(readMeter(text, { timeZone: ZONE, dayFirst: true }))).toBe(
      Date.parse('2027-02-05'),
    )
    const monthFirst = {
      timeZone: ZONE,
      answers: { dateOrder: 'month-first', clock: 'local' },
    } as const
    expect(first(readMeter(text, monthFirst))).toBe(Date.parse('2027-05-01T23:00Z'))
  })

  test('is decided by a day over the twelfth', () => {
    expect(
      understood(readMeter(oneDay('2027', '02', '13'), { timeZone: ZONE })).understood.dateOrder,
    ).toBe('day-first')
  })

  test('is decided by days that follow one another, whatever the household writes', () => {
    const week = seriesFrom('2027-02-01T00:00:00Z', 7 * 48)
    const text = rows(
      week,
      ({ start, wh }) => {
        const { y, mo, d, h, mi } = wall(start, 'UTC')
        return `${d}/${mo}/${y} ${h}:${mi},${kwh(wh)}`
      },
      'start,kWh',
    )
    const read = understood(readMeter(text, { timeZone: ZONE, dayFirst: false }))
    expect(read.series).toEqual(week)
    expect(read.understood.dateOrder).toBe('day-first')
  })

  test('both orders in one file are refused', () => {
    const text = 'start,kWh\n13/01/2027 00:00,1\n01/14/2027 00:30,1\n13/01/2027 01:00,1'
    expect(refusal(text)).toEqual({
      reason: 'mixed_dates',
      dayFirst: '2027-01-13',
      monthFirst: '2027-01-14',
    })
  })
})

describe('the unit', () => {
  test('is asked with what each would come to', () => {
    const text = rows(winter, ({ start, wh }) => `${stamp(start)},${kwh(wh)}`, 'start,reading')
    const asked = question(readMeter(text, { timeZone: ZONE }))
    const perDay = winter.intervals.reduce((sum, { wh }) => sum + wh, 0) / 7 / 1000
    expect(asked).toMatchObject({ about: 'unit', choices: [{ unit: 'kWh' }, { unit: 'kW' }] })
    if (asked.about !== 'unit') return
    expect(asked.kwhPerDay[0]).toBeCloseTo(perDay, 6)
    expect(asked.kwhPerDay[1]).toBeCloseTo(perDay / 2, 6)
    expect(answered(text, { unit: 'kWh' }).series).toEqual(winter)
    expect(answered(text, { unit: 'kW' }).series.intervals[5]?.wh).toBeCloseTo(
      (winter.intervals[5]?.wh ?? 0) / 2,
    )
  })

  test('is Wh or W where figures are of hundreds', () => {
    const text = rows(winter, ({ start, wh }) => `${stamp(start)},${wh}`, 'start,value')
    expect(question(readMeter(text, { timeZone: ZONE })).choices).toEqual([
      { unit: 'Wh' },
      { unit: 'W' },
    ])
  })
})

describe('the column, the rows', () => {
  test('several columns of energy without import or export in their names', () => {
    const text = rows(
      winter,
      ({ start, wh }, i) => `${stamp(start)},${kwh(wh)},${kwh(i % 5)}`,
      'start,A kWh,B kWh',
    )
    const asked = question(readMeter(text, { timeZone: ZONE }))
    expect(asked).toEqual({
      about: 'column',
      names: ['A kWh', 'B kWh'],
      choices: [{ column: 1 }, { column: 2 }],
    })
    expect(answered(text, { column: 1 }).series).toEqual(winter)
  })

  test('several meters under one another', () => {
    const text = rows(
      winter,
      ({ start, wh }, i) =>
        `${stamp(start)},upstairs,${kwh(i % 5)}\n${stamp(start)},downstairs,${kwh(wh)}`,
      'start,circuit,kWh',
    )
    expect(question(readMeter(text, { timeZone: ZONE })).choices).toEqual([
      { kind: 'upstairs' },
      { kind: 'downstairs' },
    ])
    expect(answered(text, { kind: 'downstairs' }).series).toEqual(winter)
  })

  test('figures under zero are the net of both ways', () => {
    const text = rows(winter, ({ start, wh }) => `${stamp(start)},${kwh(wh - 200)}`, 'start,kWh')
    const read = understood(readMeter(text, { timeZone: ZONE }))
    expect(read.understood.flow).toBe('net')
    expect(read.series.intervals[3]?.wh).toBe((winter.intervals[3]?.wh ?? 0) - 200)
  })
})

describe('what is missing or doubled', () => {
  const lines = (edit: (all: string[]) => string[]) =>
    [
      'start,kWh',
      ...edit(winter.intervals.map(({ start, wh }) => `${stamp(start)},${kwh(wh)}`)),
    ].join('\n')

  test('a gap stays a gap', () => {
    const read = understood(
      readMeter(
        lines((all) => all.toSpliced(100, 7)),
        { timeZone: ZONE },
      ),
    )
    expect(read.series.intervals).toEqual(winter.intervals.toSpliced(100, 7))
    expect(read.gaps).toEqual({
      count: 1,
      first: [{ start: winter.intervals[100]?.start, end: winter.intervals[107]?.start }],
    })
    expect(sayTaken(read, null)).toContain('One stretch is missing.')
  })

  test('equal rows are dropped, of different ones the first is kept, and both are told', () => {
    const text = lines((all) => [
      ...all.slice(0, 51),
      all[50] ?? '',
      `${(all[60] ?? '').split(',')[0]},9.999`,
      ...all.slice(51),
    ])
    const read = understood(readMeter(text, { timeZone: ZONE }))
    expect(read.duplicates.equal).toBe(1)
    // The 9.999 stands first in the file, though out of its place.
    expect(read.duplicates.different).toEqual({
      count: 1,
      first: [{ at: winter.intervals[60]?.start, keptWh: 9999, otherWh: winter.intervals[60]?.wh }],
    })
  })

  test('empty, wordy, impossible and unplaced rows are left out, each with its line', () => {
    const text = lines((all) =>
      all
        .with(3, `${(all[3] ?? '').split(',')[0]},`)
        .with(4, `${(all[4] ?? '').split(',')[0]},twelve`)
        .with(5, 'never,0.2')
        .with(6, `${(all[6] ?? '').split(',')[0]},99999999`)
        .with(7, '2027-01-11 03:37,0.1'),
    )
    const read = understood(readMeter(text, { timeZone: ZONE }))
    expect(read.skippedRows.first.map(({ line, reason }) => [line, reason])).toEqual([
      [5, 'no-value'],
      [6, 'not-a-number'],
      [7, 'no-time'],
      [8, 'implausible'],
      [9, 'off-grid'],
    ])
    expect(read.series.intervals).toHaveLength(winter.intervals.length - 5)
  })
})

describe('refusals', () => {
  const stamped = (value: (wh: number, i: number) => string, header: string, step = 30) =>
    rows(
      seriesFrom('2027-01-11T00:00:00Z', 200, step),
      ({ start, wh }, i) => `${stamp(start)},${value(wh, i)}`,
      header,
    )

  test.each([
    ['no bytes', 'empty', ''],
    ['white space', 'empty', ' \n\t\n'],
    ['an archive', 'not_text', 'PK\u0003\u0004\u0000\u0000zip'],
    ['bytes that are no text', 'not_text', '\ufffd\ufffd\ufffd\u0001,\ufffd'],
    ['a letter', 'no_times', 'hello, this is a letter about electricity'],
    ['another table', 'no_times', 'name,age\nx,3\ny,4'],
    ['words only', 'no_energy', 'start,note\n2027-01-01 00:00,dark\n2027-01-01 00:30,dark'],
    ['costs only', 'no_energy', 'start,cost\n2027-01-01 00:00,1\n2027-01-01 00:30,2'],
    ['one row', 'too_few_rows', 'start,kWh\n2027-01-01 00:00,1'],
    ['17 years', 'too_long', 'start,kWh\n2010-01-01 00:00,1\n2027-01-01 00:30,2'],
    ['cubic metres', 'gas', stamped((wh) => kwh(wh), 'start,gas (m3)')],
    ['a column that says gas', 'gas', stamped((wh) => `${kwh(wh)},gas`, 'start,kWh,fuel')],
    [
      'a register by name',
      'register_only',
      stamped((_, i) => kwh(8e6 + 200 * i), 'start,meter reading (kWh)'),
    ],
    [
      'a register by its figures',
      'register_only',
      stamped((_, i) => kwh(8e6 + 200 * i), 'start,kWh'),
    ],
    ['a figure for each day', 'interval_length', stamped((wh) => kwh(wh), 'start,kWh', 1440)],
    ['too many cells', 'too_many_cells', 'x,'.repeat(1_600_000)],
    ['too many rows', 'too_many_intervals', 'x,1\n'.repeat(130_000)],
    [
      'too many days in a row each',
      'too_many_intervals',
      `2027-01-01${',1'.repeat(48)}\n`.repeat(2600),
    ],
    ['too large', 'too_large', 'x'.repeat(5 * 1024 * 1024 + 1)],
    ['a web page', 'other_xml', '<html><body>2027-01-01 00:00, 1</body></html>'],
    ['half a feed', 'damaged', '<feed xmlns="http://www.w3.org/2005/Atom"><entry>'],
  ])('%s is %s', (_, reason, text) => {
    expect(refusal(text).reason).toBe(reason)
  })

  test('an unknown zone', () => {
    expect(refusal('x', { timeZone: 'Mars/Olympus' })).toEqual({
      reason: 'unknown_zone',
      zone: 'Mars/Olympus',
    })
  })
})
