// Patterns of the week against a minute-by-minute walk with Intl, and against published changes of the clocks.

import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { DAY_MS, type Instant, MINUTE_MS, type Span, asInstant } from '../../src/plan/index.ts'
import {
  EVERY_DAY,
  type Weekly,
  commonSpans,
  mergedSpans,
  unitRateSteps,
  weeklySpans,
} from '../../src/schedule/index.ts'

const utc = (text: string): Instant => asInstant(Date.parse(text))
const span = (start: string, end: string): Span => ({ start: utc(start), end: utc(end) })
const printed = (spans: readonly Span[]) =>
  spans.map(({ start, end }) => [new Date(start).toISOString(), new Date(end).toISOString()])

/** What Intl says that the clock shows, as if it were UTC: the independent reader of the tz database. */
function wallOf(zone: string): (at: number) => number {
  const clock = new Intl.DateTimeFormat('en-US', {
    timeZone: zone,
    hourCycle: 'h23',
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
  })
  return (at) => {
    const part = Object.fromEntries(clock.formatToParts(at).map(({ type, value }) => [type, value]))
    const { year, month, day, hour, minute } = part
    return Date.UTC(Number(year), Number(month) - 1, Number(day), Number(hour), Number(minute))
  }
}

/** Every minute of a span with what the clock shows: what is in a pattern lies between the first and the last minute of it. */
function bruteForce(pattern: Weekly, walls: readonly (readonly [number, number])[], within: Span) {
  const [from, until] = [pattern.from, pattern.until].map((clock) => {
    const [h, m] = clock.split(':').map(Number) as [number, number]
    return (60 * h + m) * MINUTE_MS
  }) as [number, number]
  const days = new Set(walls.map(([, wall]) => Math.floor(wall / DAY_MS)))
  const minutes = new Set<number>()
  for (const day of days) {
    const weekday = new Date(day * DAY_MS).getUTCDay() || 7
    if (!pattern.days.includes(weekday)) continue
    const starts = day * DAY_MS + from
    const ends = day * DAY_MS + until + (until <= from ? DAY_MS : 0)
    const begun = walls.findIndex(([, wall]) => wall >= starts)
    const over = walls.findLastIndex(([, wall]) => wall < ends)
    if (begun < 0) continue
    for (let i = begun; i <= over; i++) minutes.add(walls[i]![0])
  }
  return walls
    .map(([at]) => at)
    .filter((at) => at >= within.start && at < within.end && minutes.has(at))
}

const minutesOf = (spans: readonly Span[]): number[] =>
  spans.flatMap(({ start, end }) =>
    Array.from({ length: (end - start) / MINUTE_MS }, (_, i) => start + i * MINUTE_MS),
  )

// The published changes: IANA time zone database, as `zdump` prints them; beside them RFC 5545 §3.6.5 (New York).
const CHANGES = [
  ['Europe/London', '2026-03-29T01:00:00Z'],
  ['Europe/London', '2026-10-25T01:00:00Z'],
  ['America/New_York', '2027-03-14T07:00:00Z'],
  ['America/New_York', '2027-11-07T06:00:00Z'],
  ['Australia/Lord_Howe', '2026-04-04T15:00:00Z'],
  ['Australia/Lord_Howe', '2026-10-03T15:30:00Z'],
  ['America/Halifax', '2027-01-14T12:00:00Z'],
] as const

const clock = fc
  .tuple(fc.integer({ min: 0, max: 23 }), fc.constantFrom(0, 1, 15, 29, 30, 45, 59))
  .map(([h, m]) => `${String(h).padStart(2, '0')}:${String(m).padStart(2, '0')}`)
const weekly: fc.Arbitrary<Weekly> = fc.record({
  days: fc.subarray([...EVERY_DAY], { minLength: 1 }),
  from: clock,
  until: clock,
})

describe('weekly patterns', () => {
  it.each(CHANGES)('are what a walk through the minutes finds, %s around %s', (zone, change) => {
    const middle = utc(change)
    const wide = { start: middle - 3 * DAY_MS, end: middle + 3 * DAY_MS }
    const wallAt = wallOf(zone)
    const walls = Array.from({ length: (wide.end - wide.start) / MINUTE_MS }, (_, i) => {
      const at = wide.start + i * MINUTE_MS
      return [at, wallAt(at)] as const
    })
    const hour = fc.integer({ min: -30, max: 30 })
    fc.assert(
      fc.property(
        fc.array(weekly, { minLength: 1, maxLength: 3 }),
        hour,
        hour,
        (patterns, a, b) => {
          const within = {
            start: asInstant(middle + Math.min(a, b) * 60 * MINUTE_MS),
            end: asInstant(middle + Math.max(a, b) * 60 * MINUTE_MS),
          }
          const found = weeklySpans(patterns, zone, within)
          const walked = new Set(patterns.flatMap((each) => bruteForce(each, walls, within)))
          expect(minutesOf(found)).toEqual([...walked].sort((x, y) => x - y))
          expect(found).toEqual(mergedSpans(found))
        },
      ),
      { numRuns: 60 },
    )
  })

  const london = (day: string, from: string, until: string, patternDays = EVERY_DAY) =>
    printed(
      weeklySpans(
        [{ days: patternDays, from, until }],
        'Europe/London',
        span(`${day}T00:00Z`, `${day}T12:00Z`),
      ),
    )

  it('begin when the clock goes on where their time is skipped (London 2026-03-29, 01:00 to 02:00)', () => {
    expect(london('2026-03-29', '01:30', '03:00')).toEqual([
      ['2026-03-29T01:00:00.000Z', '2026-03-29T02:00:00.000Z'],
    ])
    expect(london('2026-03-29', '01:10', '01:40')).toEqual([])
  })

  it('last over both where their time is shown twice (London 2026-10-25, 02:00 to 01:00)', () => {
    expect(london('2026-10-25', '01:30', '01:45')).toEqual([
      ['2026-10-25T00:30:00.000Z', '2026-10-25T01:45:00.000Z'],
    ])
  })

  it('belong to the day on which they begin when they last over midnight', () => {
    // 2027-01-15 is a Friday.
    const friday = [{ days: [5], from: '22:00', until: '06:00' }]
    const around = span('2027-01-14T00:00Z', '2027-01-18T00:00Z')
    expect(printed(weeklySpans(friday, 'UTC', around))).toEqual([
      ['2027-01-15T22:00:00.000Z', '2027-01-16T06:00:00.000Z'],
    ])
    expect(
      printed(weeklySpans(friday, 'UTC', span('2027-01-16T01:00Z', '2027-01-16T03:00Z'))),
    ).toEqual([['2027-01-16T01:00:00.000Z', '2027-01-16T03:00:00.000Z']])
  })

  it('are one span all week, over a day of 23 hours', () => {
    const always = [{ days: EVERY_DAY, from: '09:00', until: '09:00' }]
    const around = span('2026-03-25T00:00Z', '2026-04-02T00:00Z')
    expect(weeklySpans(always, 'Europe/London', around)).toEqual([around])
  })
})

describe('what several have in common', () => {
  const spans = fc
    .array(fc.tuple(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 0, max: 20 })), {
      maxLength: 8,
    })
    .map((all) =>
      mergedSpans(all.map(([a, b]) => ({ start: asInstant(a), end: asInstant(a + b) }))),
    )
  const inside = (set: readonly Span[], at: number) =>
    set.some(({ start, end }) => start <= at && at < end)

  it('is every instant that is in all of them', () => {
    fc.assert(
      fc.property(fc.array(spans, { minLength: 1, maxLength: 4 }), (sets) => {
        const both = commonSpans(sets)
        for (let at = 0; at < 90; at++)
          expect(inside(both, at)).toBe(sets.every((set) => inside(set, at)))
      }),
    )
  })

  it('is nothing of nobody', () => expect(commonSpans([])).toEqual([]))
})

describe('rates by time of use', () => {
  const rates = {
    currency: 'CAD',
    perKwh: 0.18,
    bands: [
      { days: [1, 2, 3, 4, 5], from: '16:00', until: '19:00', perKwh: 0.3 },
      { days: EVERY_DAY, from: '18:00', until: '20:00', perKwh: 0.25 },
      { days: EVERY_DAY, from: '23:00', until: '07:00', perKwh: 0.1 },
    ],
  }

  it('change where a band begins and ends, and the first of two counts', () => {
    // Thursday 14 January 2027 in Halifax, UTC-4.
    const day = span('2027-01-14T04:00Z', '2027-01-15T04:00Z')
    expect(
      unitRateSteps(rates, 'America/Halifax', day).map(({ start, perKwh }) => [
        new Date(start).toISOString().slice(11, 16),
        perKwh,
      ]),
    ).toEqual([
      ['04:00', 0.1],
      ['11:00', 0.18],
      ['20:00', 0.3],
      ['23:00', 0.25],
      ['00:00', 0.18],
      ['03:00', 0.1],
    ])
  })

  it('are the usual price alone without a band', () => {
    const day = span('2027-01-14T04:00Z', '2027-01-15T04:00Z')
    expect(unitRateSteps({ ...rates, bands: [] }, 'America/Halifax', day)).toEqual([
      { start: day.start, perKwh: 0.18 },
    ])
  })
})
