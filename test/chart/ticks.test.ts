// Hours are read back by the platform's Intl: another implementation of the tz database than luxon's arithmetic.

import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { ticks } from '../../src/chart/index.ts'
import { HOUR_MS, asInstant } from '../../src/plan/index.ts'
import { at } from './given.ts'

const clock = (zone: string) =>
  new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  })

const hoursOf = (start: string, end: string, zone: string, most = 99) =>
  ticks({ start: at(start), end: at(end) }, zone, most).map((tick) => tick.hour)

describe('ticks', () => {
  test('fall on full local hours in any zone, also those off the hour from UTC', () => {
    const zones = [
      'America/Halifax',
      'America/St_Johns',
      'Asia/Kathmandu',
      'Australia/Lord_Howe',
      'Pacific/Chatham',
      'Europe/London',
    ]
    fc.assert(
      fc.property(
        fc.constantFrom(...zones),
        fc.integer({ min: 1_700_000_000_000, max: 1_900_000_000_000 }),
        fc.integer({ min: 1, max: 36 }),
        fc.integer({ min: 2, max: 12 }),
        (zone, start, hours, most) => {
          const span = { start: asInstant(start), end: asInstant(start + hours * HOUR_MS) }
          const found = ticks(span, zone, most)
          for (const tick of found) {
            expect(clock(zone).format(tick.at)).toBe(`${String(tick.hour).padStart(2, '0')}:00`)
            expect(tick.at).toBeGreaterThanOrEqual(span.start)
            expect(tick.at).toBeLessThanOrEqual(span.end)
          }
          expect(found.length).toBeLessThanOrEqual(most + 2)
        },
      ),
      { numRuns: 60 },
    )
  })

  // Halifax: clocks go from 02:00 to 03:00 on 14 March 2027 and from 02:00 to 01:00 on 7 November 2027
  // (second Sunday of March, first Sunday of November; IANA tz database, rule Canada).
  test('the day of 23 hours has no 2 o’clock', () => {
    const hours = hoursOf(
      '2027-03-14T00:00:00-04:00',
      '2027-03-15T00:00:00-03:00',
      'America/Halifax',
    )
    expect(hours).toHaveLength(24)
    expect(hours.slice(0, 4)).toEqual([0, 1, 3, 4])
  })

  test('the day of 25 hours has 1 o’clock twice', () => {
    const hours = hoursOf(
      '2027-11-07T00:00:00-03:00',
      '2027-11-08T00:00:00-04:00',
      'America/Halifax',
    )
    expect(hours).toHaveLength(26)
    expect(hours.slice(0, 4)).toEqual([0, 1, 1, 2])
  })

  test('are as fine as there is room for', () => {
    const day = [
      '2027-01-14T00:00:00-04:00',
      '2027-01-15T00:00:00-04:00',
      'America/Halifax',
    ] as const
    expect(hoursOf(...day, 8)).toEqual([0, 3, 6, 9, 12, 15, 18, 21, 0])
    expect(hoursOf(...day, 4)).toEqual([0, 6, 12, 18, 0])
  })
})
