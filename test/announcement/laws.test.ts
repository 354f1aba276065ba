// Laws of reading, for texts that nobody thought of: it never throws, reads back what
// was written plainly, and nothing it offers breaks a limit.

import * as fc from 'fast-check'
import { DateTime } from 'luxon'
import { expect, test, vi } from 'vitest'
import { limitOf, readAnnouncement } from '../../src/announcement/index.ts'
import { asInstant } from '../../src/plan/index.ts'

vi.setConfig({ testTimeout: 60_000 })

const zones = [
  'America/Halifax',
  'Europe/London',
  'America/New_York',
  'Australia/Sydney',
  'Australia/Lord_Howe',
]
const context = (now: number, timeZone: string, dayFirst = true) => ({
  now: asInstant(now),
  timeZone,
  dayFirst,
  language: 'en' as const,
})
const noon = context(Date.UTC(2027, 0, 13, 16), 'America/Halifax')

// Words that the grammar knows, thrown together.
const words = fc.constantFrom(
  ...'tomorrow,today,tonight,thursday,next,monday,a week,14 Jan,31 April,14/1,1/2,2027-01-14,17:30,18:30,5,7,11,12,pm,am,-,–,to,from,until,between,and,for,90 min,2 hours,half past five,midnight,noon,cancelled,moved,instead of,not,by,event,2027-01-14T17:30-04:00,/,PT1H,.,\n,:,(,),£,%,kWh,1730,evening,morning,the 14th,24:00,00:30,yes,every,;,in 3 days,last'.split(
    ',',
  ),
)
const salad = fc.array(words, { maxLength: 14 }).map((list) => list.join(' '))
const glued = fc.array(words, { maxLength: 10 }).map((list) => list.join(''))
const anyText = fc.oneof(
  fc.string({ unit: 'binary' }),
  fc.string({ unit: 'grapheme' }),
  salad,
  glued,
)
const instants = fc
  .integer({ min: Date.UTC(2026, 0) / 60_000, max: Date.UTC(2028, 0) / 60_000 })
  .map((minute) => minute * 60_000)
const twice = (one: DateTime) => one.getPossibleOffsets().length > 1

// The hours around a change of the clocks, where readings part.
const changes = [
  ['America/Halifax', Date.UTC(2026, 10, 1, 5)],
  ['Europe/London', Date.UTC(2026, 2, 29, 1)],
  ['Europe/London', Date.UTC(2026, 9, 25, 1)],
  ['America/New_York', Date.UTC(2026, 2, 8, 7)],
  ['Australia/Sydney', Date.UTC(2026, 3, 4, 16)],
  ['Australia/Lord_Howe', Date.UTC(2026, 9, 3, 15, 30)],
] as const

test('any text gives a reading, events are in order and candidates within the limits', () => {
  fc.assert(
    fc.property(
      anyText,
      instants,
      fc.constantFrom(...zones),
      fc.boolean(),
      (text, now, zone, first) => {
        const where = context(now, zone, first)
        const reading = readAnnouncement(text, where)
        const spans =
          reading.kind === 'events'
            ? reading.events
            : reading.kind === 'question'
              ? [...reading.candidates, ...reading.sure]
              : []
        for (const span of spans) {
          expect(span.end).toBeGreaterThan(span.start)
          if (reading.kind === 'events' && reading.change === 'cancelled') continue
          expect(limitOf(span, { ...where, confirmed: true })).toBeNull()
        }
        if (reading.kind === 'events' && reading.change !== 'cancelled')
          for (const event of reading.events) expect(limitOf(event, where)).toBeNull()
      },
    ),
    { numRuns: 1500 },
  )
})

test('an interval written plainly reads back, formatted by luxon', () => {
  const forms = [
    (s: DateTime, e: DateTime) => `${s.toFormat('yyyy-MM-dd HH:mm')}-${e.toFormat('HH:mm')}`,
    (s: DateTime, e: DateTime) => `${s.toFormat('d LLL HH:mm')} – ${e.toFormat('HH:mm')}`,
    (s: DateTime, e: DateTime) =>
      `${s.toFormat('cccc d LLLL yyyy, h:mm a')} to ${e.toFormat('h:mm a')}`,
    (s: DateTime, e: DateTime) =>
      `${s.toFormat('dd/MM/yyyy')} from ${s.toFormat('HHmm')}-${e.toFormat('HHmm')}`,
    (s: DateTime, e: DateTime) => `${s.toISO()}/${e.toISO()}`,
    (s: DateTime, e: DateTime) => `${s.toISO()}/${e.diff(s).shiftTo('minutes').toISO()}`,
    (s: DateTime, e: DateTime) =>
      `${s.toFormat('ccc d LLL h:mma')} for ${e.diff(s).as('minutes')} min`,
  ]
  fc.assert(
    fc.property(
      instants,
      fc.constantFrom(...zones),
      fc.integer({ min: 1, max: 20 * 48 }),
      fc.integer({ min: 1, max: 11 }),
      fc.constantFrom(...forms.keys()),
      (now, zone, halfHours, length, form) => {
        const start = DateTime.fromMillis(Math.floor(now / 1_800_000 + halfHours) * 1_800_000, {
          zone,
        })
        const end = start.plus({ minutes: length * 30 })
        const exact = form === 4 || form === 5
        fc.pre(exact || !(twice(start) || twice(end) || start.offset !== end.offset))
        // `11:00 – 12:00` without an ISO date may be late in the evening: that is asked.
        fc.pre(form !== 1 || start.hour < 10 || start.hour > 12)
        fc.pre(start.toMillis() > now)
        const reading = readAnnouncement(forms[form]!(start, end), context(now, zone))
        expect(reading).toMatchObject({
          kind: 'events',
          events: [{ start: start.toMillis(), end: end.toMillis() }],
        })
      },
    ),
    { numRuns: 1500 },
  )
})

test('a clock time near a change of the clocks is never read otherwise than luxon lists it', () => {
  fc.assert(
    fc.property(
      fc.constantFrom(...changes),
      fc.integer({ min: -16, max: 16 }),
      fc.integer({ min: 1, max: 12 }),
      ([zone, change], quarters, length) => {
        const wall = DateTime.fromMillis(change + quarters * 900_000, { zone })
        const end = wall.plus({ minutes: length * 15 })
        const text = `${wall.toFormat('yyyy-MM-dd HH:mm')}-${end.toFormat('HH:mm')}`
        const reading = readAnnouncement(text, context(change - 86_400_000, zone))
        const possible = wall.getPossibleOffsets().map((one) => one.toMillis())
        if (reading.kind === 'events') expect(possible).toContain(reading.events[0]!.start)
        else if (reading.kind === 'question') {
          expect([
            'clock_change_gap',
            'clock_change_fold',
            'too_long',
            'too_short',
            'too_far',
          ]).toContain(reading.why.reason)
          if (reading.why.reason === 'clock_change_fold')
            for (const span of reading.candidates) expect(possible).toContain(span.start)
        }
        // A repeated hour always asks.
        if (possible.length > 1) expect(reading.kind).not.toBe('events')
      },
    ),
    { numRuns: 500 },
  )
})

test('an unknown zone is a question, not an exception', () => {
  expect(readAnnouncement('tomorrow 17:30-18:30', context(0, 'Mars/Olympus'))).toMatchObject({
    kind: 'question',
    why: { reason: 'unknown_zone', zone: 'Mars/Olympus' },
  })
})

test.each([
  ['Enrol by 12:00 tomorrow. Event Friday 17:30-18:30.', '2027-01-14T16:00:00Z'],
  ['Event Friday 17:30-18:30, enrol by tomorrow noon', '2027-01-14T16:00:00Z'],
  ['Event Friday 17:30-18:30. Opt in by 9pm on Thursday.', '2027-01-15T01:00:00Z'],
  ['Event Friday 17:30-18:30. Opt in by 9 on Thursday.', null],
  ['Event Friday 17:30-18:30. Sign up by Thursday.', null],
  ['Event Friday 17:30-18:30.', null],
])('%j is to be enrolled by %s', (text, enrolBy) => {
  expect(readAnnouncement(text, noon)).toMatchObject({
    kind: 'events',
    events: [{ start: Date.UTC(2027, 0, 15, 21, 30), end: Date.UTC(2027, 0, 15, 22, 30) }],
    enrolBy: enrolBy === null ? null : Date.parse(enrolBy),
  })
})
