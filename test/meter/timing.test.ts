// Which clock and which end of the interval: decided by what each would have written around clock changes
// (the IANA database's rules, by the platform's Intl), asked where a file cannot tell.

import { describe, expect, test } from 'vitest'
import { readMeter } from '../../src/meter/index.ts'
import type { Answers } from '../../src/meter/index.ts'
import { isoWall, kwh, MINUTE, rows, seriesFrom, understood, wall } from './build.ts'

const HALF_HOUR = 30 * MINUTE

// Each from local midnight to local midnight, some days on either side of a change.
type Case = readonly [zone: string, standard: string, start: string, halfHours: number]

const changes: readonly Case[] = [
  ['America/Halifax', 'Etc/GMT+4', '2027-03-10T04:00:00Z', 8 * 48 - 2],
  ['America/Halifax', 'Etc/GMT+4', '2027-11-03T03:00:00Z', 8 * 48 + 2],
  ['Europe/Paris', 'Etc/GMT-1', '2027-03-25T23:00:00Z', 8 * 48 - 2],
  ['Europe/Paris', 'Etc/GMT-1', '2027-10-28T22:00:00Z', 8 * 48 + 2],
  ['Australia/Sydney', 'Etc/GMT-10', '2027-10-01T14:00:00Z', 5 * 48 - 2],
  ['Australia/Sydney', 'Etc/GMT-10', '2027-04-01T13:00:00Z', 6 * 48 + 2],
]

const write = ([, , start, count]: Case, stamp: (at: number) => string, header = 'time,kWh') => {
  const truth = seriesFrom(start, count)
  return { truth, text: rows(truth, (row) => `${stamp(row.start)},${kwh(row.wh)}`, header) }
}

describe('over a clock change', () => {
  test.each(changes)('the local clock at starts, %s %s %s', (...change) => {
    const { truth, text } = write(change, (at) => isoWall(wall(at, change[0])))
    const read = understood(readMeter(text, { timeZone: change[0] }))
    expect(read.understood).toMatchObject({ clock: 'local', stamps: 'start' })
    expect(read.series).toEqual(truth)
    expect([read.gaps.count, read.duplicates.equal, read.skippedRows.count]).toEqual([0, 0, 0])
  })

  test.each(changes)('the local clock at ends, %s %s %s', (...change) => {
    const { truth, text } = write(change, (at) => isoWall(wall(at + HALF_HOUR, change[0])))
    const read = understood(readMeter(text, { timeZone: change[0] }))
    expect(read.understood).toMatchObject({ clock: 'local', stamps: 'end' })
    expect(read.series).toEqual(truth)
  })

  test.each(changes)('ends written as the start and half an hour, %s %s %s', (...change) => {
    const { truth, text } = write(change, (at) => {
      const { y, mo, d, h, mi } = wall(at, change[0])
      const plain = Date.UTC(+y, +mo - 1, +d, +h, +mi) + HALF_HOUR
      return new Date(plain).toISOString().slice(0, 16).replace('T', ' ')
    })
    const read = understood(readMeter(text, { timeZone: change[0] }))
    expect(read.understood).toMatchObject({ clock: 'local', stamps: 'end' })
    expect(read.series).toEqual(truth)
  })

  test.each(changes)('the last minute of each interval, %s %s %s', (...change) => {
    const { truth, text } = write(change, (at) => isoWall(wall(at + 29 * MINUTE, change[0])))
    const read = understood(readMeter(text, { timeZone: change[0] }))
    expect(read.understood).toMatchObject({ clock: 'local', stamps: 'end' })
    expect(read.series).toEqual(truth)
  })

  test.each(changes)('UTC or standard time is asked, %s %s %s', (...change) => {
    const [zone, standard, , count] = change
    // An hour shown once where the clock shows it twice may have been lost: only a skipped one rules local out.
    const isSpring = count % 48 === 46
    for (const [clock, written] of [
      ['utc', 'UTC'],
      ['standard', standard],
    ] as const) {
      const { truth, text } = write(change, (at) => isoWall(wall(at, written)), 'start,kWh')
      const reading = readMeter(text, { timeZone: zone })
      expect(reading).toEqual({
        kind: 'question',
        question: {
          about: 'clock',
          choices: isSpring
            ? [{ clock: 'utc' }, { clock: 'standard' }]
            : [{ clock: 'local' }, { clock: 'utc' }, { clock: 'standard' }],
        },
      })
      const read = understood(readMeter(text, { timeZone: zone, answers: { clock } }))
      expect(read.series).toEqual(truth)
    }
  })

  test('in London UTC is the standard time, so nothing is left to ask', () => {
    const truth = seriesFrom('2027-03-25T00:00:00Z', 8 * 48)
    const text = rows(
      truth,
      (row) => `${isoWall(wall(row.start, 'UTC'))},${kwh(row.wh)}`,
      'time,kWh',
    )
    const read = understood(readMeter(text, { timeZone: 'Europe/London' }))
    expect(read.understood).toMatchObject({ clock: 'utc', stamps: 'start' })
    expect(read.series).toEqual(truth)
  })

  test('an hour lost when the clocks went back is a gap, if the spring shows the local clock', () => {
    const zone = 'Europe/Paris'
    const truth = seriesFrom('2027-03-25T23:00:00Z', 220 * 48)
    const seen = new Set<string>()
    const lines = truth.intervals
      .map((row) => ({ stamp: isoWall(wall(row.start, zone)), row }))
      .filter(({ stamp }) => !seen.has(stamp) && seen.add(stamp))
    const text = ['start,kWh', ...lines.map(({ stamp, row }) => `${stamp},${kwh(row.wh)}`)].join(
      '\n',
    )
    const read = understood(readMeter(text, { timeZone: zone }))
    expect(read.understood.clock).toBe('local')
    // 31 October 2027, 02:00 comes twice: 00:00Z and 01:00Z.
    expect(read.gaps).toEqual({
      count: 1,
      first: [{ start: Date.parse('2027-10-31T01:00Z'), end: Date.parse('2027-10-31T02:00Z') }],
    })
  })
})

describe('without a clock change', () => {
  const zone = 'America/Halifax'
  const winter = seriesFrom('2027-01-11T04:00:00Z', 7 * 48)
  const text = (stamp: (at: number) => string, series = winter, header = 'time,kWh') =>
    rows(series, (row) => `${stamp(row.start)},${kwh(row.wh)}`, header)
  const read = (file: string, answers: Answers) => readMeter(file, { timeZone: zone, answers })

  test('whole days tell starts from ends; the clock is asked', () => {
    const question = (choices: unknown) => ({
      kind: 'question',
      question: { about: 'clock', choices },
    })
    const starts = text((at) => isoWall(wall(at, zone)))
    const ends = text((at) => isoWall(wall(at + HALF_HOUR, zone)))
    // Standard time is what the wall shows in winter: two choices, not three.
    const choices = [{ clock: 'local' }, { clock: 'utc' }]
    expect(readMeter(starts, { timeZone: zone })).toEqual(question(choices))
    expect(understood(read(starts, { clock: 'local' })).understood.stamps).toBe('start')
    expect(understood(read(ends, { clock: 'local' })).understood.stamps).toBe('end')
    expect(understood(read(ends, { clock: 'local' })).series).toEqual(winter)
  })

  test('in London in winter all clocks agree, and nothing is asked', () => {
    const series = seriesFrom('2027-01-11T00:00:00Z', 7 * 48)
    const file = text((at) => isoWall(wall(at, 'UTC')), series)
    expect(understood(readMeter(file, { timeZone: 'Europe/London' })).series).toEqual(series)
  })

  test('24:00 is an end', () => {
    const file = text((at) => {
      const stamp = isoWall(wall(at + HALF_HOUR, zone))
      return stamp.endsWith('00:00') ? `${isoWall(wall(at, zone)).slice(0, 10)} 24:00` : stamp
    })
    expect(understood(read(file, { clock: 'local' })).series).toEqual(winter)
  })

  test('00:00 behind the last row of its own day is an end', () => {
    const file = rows(
      winter,
      (row) => {
        const { y, mo, d } = wall(row.start, zone)
        const { h, mi } = wall(row.start + HALF_HOUR, zone)
        return `${y}-${mo}-${d},${h}:${mi},${kwh(row.wh)}`
      },
      'date,time,kWh',
    )
    expect(understood(read(file, { clock: 'local' })).series).toEqual(winter)
  })

  test('a file from the middle of one day to the middle of another is asked about', () => {
    const part = { ...winter, intervals: winter.intervals.slice(7, 200) }
    const file = text((at) => isoWall(wall(at, zone)), part)
    expect(read(file, { clock: 'local' })).toEqual({
      kind: 'question',
      question: {
        about: 'stamps',
        first: '2027-01-11 03:30',
        choices: [{ stamps: 'start' }, { stamps: 'end' }],
      },
    })
    expect(understood(read(file, { clock: 'local', stamps: 'start' })).series).toEqual(part)
    const shifted = understood(read(file, { clock: 'local', stamps: 'end' })).series
    expect(shifted.intervals[0]?.start).toBe((part.intervals[0]?.start ?? 0) - HALF_HOUR)
  })

  test('the name of the column says the clock and the end', () => {
    const file = text(
      (at) => isoWall(wall(at + HALF_HOUR, 'UTC')),
      winter,
      'interval end (UTC),kWh',
    )
    const reading = understood(readMeter(file, { timeZone: zone }))
    expect(reading.series).toEqual(winter)
    expect(reading.understood).toMatchObject({ clock: 'utc', stamps: 'end' })
  })

  test('each stamp with its offset needs no clock', () => {
    const file = text((at) => `${isoWall(wall(at, zone)).replace(' ', 'T')}-04:00`)
    const reading = understood(readMeter(file, { timeZone: zone }))
    expect(reading.series).toEqual(winter)
    expect(reading.understood).toMatchObject({ clock: 'offset', stamps: 'start' })
  })
})
