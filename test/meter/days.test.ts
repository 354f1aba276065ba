// Days of the local clock from a series, against the platform's Intl.

import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { daysOf, halfHourly } from '../../src/meter/index.ts'
import { seriesFrom, wall } from './build.ts'

const ZONE = 'America/Halifax'

test('a half-hour stands in the slot that the clock shows', () => {
  const series = seriesFrom('2027-01-11T04:00:00Z', 3 * 48)
  const days = daysOf(series, ZONE)
  expect(days.map(({ date }) => date)).toEqual(['2027-01-11', '2027-01-12', '2027-01-13'])
  for (const { start, wh } of series.intervals) {
    const { y, mo, d, h, mi } = wall(start, ZONE)
    const day = days.find(({ date }) => date === `${y}-${mo}-${d}`)
    expect(day?.kwh[Number(h) * 2 + Number(mi) / 30]).toBe(wh / 1000)
  }
})

test('a day that lacks an interval is left out', () => {
  const series = seriesFrom('2027-01-11T04:00:00Z', 3 * 48)
  const holed = { ...series, intervals: series.intervals.toSpliced(60, 1) }
  expect(daysOf(holed, ZONE).map(({ date }) => date)).toEqual(['2027-01-11', '2027-01-13'])
})

test('on the day of 23 hours the skipped hour repeats the hour before', () => {
  // 14 March 2027: 02:00 to 03:00 is skipped in Halifax.
  const series = seriesFrom('2027-03-14T04:00:00Z', 46)
  const [day] = daysOf(series, ZONE)
  const kwh = series.intervals.map(({ wh }) => wh / 1000)
  expect(day).toEqual({
    date: '2027-03-14',
    kwh: [...kwh.slice(0, 4), ...kwh.slice(2, 4), ...kwh.slice(4)],
  })
})

test('on the day of 25 hours the doubled hour is the mean of both', () => {
  // 7 November 2027: 01:00 to 02:00 comes twice in Halifax.
  const series = seriesFrom('2027-11-07T03:00:00Z', 50)
  const [day] = daysOf(series, ZONE)
  const kwh = series.intervals.map(({ wh }) => wh / 1000)
  const mean = (i: number) => ((kwh[i] ?? 0) + (kwh[i + 2] ?? 0)) / 2
  expect(day?.kwh).toHaveLength(48)
  expect(day?.kwh.slice(0, 2)).toEqual(kwh.slice(0, 2))
  expect(day?.kwh[2]).toBeCloseTo(mean(2), 6)
  expect(day?.kwh[3]).toBeCloseTo(mean(3), 6)
  expect(day?.kwh.slice(4)).toEqual(kwh.slice(6))
})

describe('half-hours', () => {
  test('quarter-hours are summed, hours halved', () => {
    const quarters = seriesFrom('2027-01-11T04:00:00Z', 4, 15, (i) => [10, 20, 30, 40][i] ?? 0)
    expect(halfHourly(quarters, ZONE).intervals.map(({ wh }) => wh)).toEqual([30, 70])
    const hours = seriesFrom('2027-01-11T04:00:00Z', 2, 60, (i) => [10, 30][i] ?? 0)
    expect(halfHourly(hours, ZONE).intervals.map(({ wh }) => wh)).toEqual([5, 5, 15, 15])
  })

  test('a clock three quarters of an hour off has its own half-hours', () => {
    // Kathmandu is 5:45 ahead: 18:15Z is midnight there.
    const quarters = seriesFrom('2027-01-10T18:15:00Z', 96, 15, () => 10)
    const [day] = daysOf(quarters, 'Asia/Kathmandu')
    expect(day).toEqual({ date: '2027-01-11', kwh: Array.from({ length: 48 }, () => 0.02) })
  })

  test('energy is kept, whatever the interval, the zone and the season', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(1, 2, 3, 5, 6, 10, 15, 30, 60),
        fc.constantFrom(
          'America/Halifax',
          'Australia/Lord_Howe',
          'Asia/Kathmandu',
          'Europe/London',
        ),
        fc.integer({ min: 0, max: 700 }),
        fc.integer({ min: 1, max: 4 }),
        (minutes, zone, day, days) => {
          // Whole local half-hours on both ends: the start is moved onto the local clock's.
          const begin = Date.parse('2026-01-01T00:00:00Z') + day * 86_400_000
          const start = new Date(begin + ((60 - Number(wall(begin, zone).mi)) % 60) * 60_000)
          const series = seriesFrom(start.toISOString(), (days * 1440) / minutes, minutes)
          const sum = (all: readonly { wh: number }[]) =>
            all.reduce((total, { wh }) => total + wh, 0)
          const halves = halfHourly(series, zone)
          expect(sum(halves.intervals)).toBeCloseTo(sum(series.intervals), 3)
          expect(halves.intervals).toHaveLength(days * 48)
        },
      ),
      { numRuns: 60 },
    )
  })
})

test('every whole day has 48 figures, and no other day is given', () => {
  fc.assert(
    fc.property(
      fc.constantFrom('America/Halifax', 'Africa/Cairo', 'Australia/Sydney', 'Asia/Beirut'),
      fc.integer({ min: 0, max: 17_000 }),
      fc.integer({ min: 1, max: 400 }),
      (zone, first, count) => {
        const start = new Date(Date.parse('2026-01-01T00:00:00Z') + first * 1_800_000)
        const series = seriesFrom(start.toISOString(), count)
        const seen = new Map<string, number>()
        for (const { start: at } of series.intervals) {
          const { y, mo, d } = wall(at, zone)
          seen.set(`${y}-${mo}-${d}`, (seen.get(`${y}-${mo}-${d}`) ?? 0) + 1)
        }
        // A day is whole if the half-hours before its first and after its last belong to other days.
        const outer = [Number(start) - 1_800_000, Number(start) + count * 1_800_000].map((at) => {
          const { y, mo, d } = wall(at, zone)
          return `${y}-${mo}-${d}`
        })
        const whole = [...seen.keys()].filter((date) => !outer.includes(date))
        const days = daysOf(series, zone)
        expect(days.map(({ date }) => date)).toEqual(whole)
        for (const { kwh } of days) expect(kwh).toHaveLength(48)
      },
    ),
    { numRuns: 60 },
  )
})
