import * as fc from 'fast-check'
import { DateTime } from 'luxon'
import { describe, expect, test } from 'vitest'
import {
  dateExists,
  dateOf,
  dayNumber,
  isKnownZone,
  localTimeOf,
  resolveLocal,
  weekdayOf,
} from '../../src/announcement/index.ts'
import { asInstant } from '../../src/plan/index.ts'
// The rows' origin is named inside the file.
import vectors from './wallClock.json' with { type: 'json' }

const local = (text: string) => {
  const [year, month, day, hour, minute] = text.split(/[-T:]/).map(Number)
  return { year: year!, month: month!, day: day!, hour: hour!, minute: minute! }
}
// A wall clock has whole minutes here; the rows at :59:59 are asked at :59.
const utc = (text: string) => Date.parse(text.replace(/:59Z$/, ':00Z'))

describe('the resolver against rows of the time zone database', () => {
  test.each(vectors.wallClock)('$zone $local is $kind', (row) => {
    const resolved = resolveLocal(local(row.local), row.zone)
    if (row.kind === 'unique') {
      expect(resolved).toEqual({ kind: 'one', at: utc(row.utcRfc5545) })
    } else if (row.kind === 'fold') {
      expect(resolved).toEqual({
        kind: 'fold',
        first: utc(row.utcRfc5545),
        second: utc(row.utcFold1),
      })
    } else {
      expect(resolved).toEqual({
        kind: 'gap',
        at: utc(row.utcRfc5545),
        shows: local(row.rendered.slice(0, 16)),
        opens: expect.any(Number),
      })
    }
  })

  test.each(vectors.transitions)('$zone changes its clocks at $utc', (row) => {
    const at = row.epoch * 1000
    const shown = (ms: number, offset: number) =>
      local(new Date(ms + offset * 60_000).toISOString().slice(0, 16))
    expect(localTimeOf(asInstant(at - 60_000), row.zone)).toEqual(
      shown(at - 60_000, row.offsetBeforeMin),
    )
    expect(localTimeOf(asInstant(at), row.zone)).toEqual(shown(at, row.offsetAfterMin))
    // The wall clock of the transition itself, by the offset before it: skipped in spring, shown twice in autumn
    // one step earlier.
    const change = row.offsetAfterMin - row.offsetBeforeMin
    const inside = at + Math.min(row.offsetBeforeMin, row.offsetAfterMin) * 60_000
    const resolved = resolveLocal(local(new Date(inside).toISOString().slice(0, 16)), row.zone)
    expect(resolved.kind).toBe(change > 0 ? 'gap' : 'fold')
    if (resolved.kind === 'gap') expect(resolved.opens).toBe(at)
  })

  test.each(vectors.oddDays)('$zone $date has $hours hours', ({ zone, date, hours }) => {
    const from = resolveLocal(local(`${date}T00:00`), zone)
    const until = resolveLocal({ ...local(`${date}T00:00`), hour: 24 }, zone)
    expect(from.kind === 'one' && until.kind === 'one' && (until.at - from.at) / 3_600_000).toBe(
      hours,
    )
  })
})

test('a day that a zone left out is a gap (Samoa, 30 December 2011, time zone database)', () => {
  const noon = { year: 2011, month: 12, day: 30, hour: 12, minute: 0 }
  expect(resolveLocal(noon, 'Pacific/Apia')).toMatchObject({
    kind: 'gap',
    shows: { day: 31, hour: 12 },
  })
})

test.each(['', 'Mars/Olympus', '+03:00', 'UTC+3', 'x'.repeat(1000), '__proto__'])(
  'the zone %j is refused',
  (zone) => {
    expect(isKnownZone(zone)).toBe(false)
    expect(resolveLocal(local('2027-01-14T17:30'), zone)).toEqual({ kind: 'unknown-zone', zone })
  },
)

const zones = [
  'America/Halifax',
  'Europe/London',
  'America/New_York',
  'Australia/Sydney',
  'Australia/Lord_Howe',
  'America/St_Johns',
  'Pacific/Chatham',
  'Africa/Casablanca',
  'Asia/Kathmandu',
]
const instants = fc.integer({ min: 0, max: Date.UTC(2040, 0) / 60_000 }).map((m) => m * 60_000)

test('every instant is among the readings of the clock it shows', () => {
  fc.assert(
    fc.property(instants, fc.constantFrom(...zones), (at, zone) => {
      // Before 1972 some zones had seconds in their offset; a wall clock of whole minutes cannot say them.
      const resolved = resolveLocal(localTimeOf(asInstant(at), zone), zone)
      const readings =
        resolved.kind === 'one'
          ? [resolved.at]
          : resolved.kind === 'fold'
            ? [resolved.first, resolved.second]
            : []
      expect(readings).toContain(at)
    }),
  )
})

test('clock and calendar agree with luxon', () => {
  fc.assert(
    fc.property(instants, fc.constantFrom(...zones), (at, zone) => {
      const { year, month, day, hour, minute, weekday } = DateTime.fromMillis(at, { zone })
      const shown = localTimeOf(asInstant(at), zone)
      expect(shown).toEqual({ year, month, day, hour, minute })
      expect(weekdayOf(dayNumber(shown)) + 1).toBe(weekday)
    }),
  )
})

test('day numbers and dates are inverse over 800 years', () => {
  fc.assert(
    fc.property(fc.integer({ min: -150_000, max: 150_000 }), (number) => {
      expect(dayNumber(dateOf(number))).toBe(number)
      expect(dateOf(number)).toEqual({
        year: new Date(number * 86_400_000).getUTCFullYear(),
        month: new Date(number * 86_400_000).getUTCMonth() + 1,
        day: new Date(number * 86_400_000).getUTCDate(),
      })
    }),
  )
  expect(dateExists({ year: 2028, month: 2, day: 29 })).toBe(true)
  expect(dateExists({ year: 2027, month: 2, day: 29 })).toBe(false)
  expect(dateExists({ year: 2027, month: 13, day: 1 })).toBe(false)
  expect(dateExists({ year: 2027, month: 4, day: 31 })).toBe(false)
})
