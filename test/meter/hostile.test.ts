// Files made to hurt. Whatever they hold, a reading, a question or a refusal comes back, and never a throw.

import fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  compact,
  daysOf,
  expand,
  readMeter,
  sayQuestion,
  sayRefusal,
} from '../../src/meter/index.ts'
import type { Asked } from '../../src/meter/index.ts'

const ZONE = 'America/Halifax'

/** Reads, and whatever was asked takes each answer, to a depth. */
function follow(text: string, asked: Asked = { timeZone: ZONE }, depth = 0): void {
  const reading = readMeter(text, asked)
  if (reading.kind === 'refused') expect(sayRefusal(reading.refusal).length).toBeLessThan(400)
  if (reading.kind === 'understood') {
    const { series } = reading
    for (const [i, { start, wh }] of series.intervals.entries()) {
      expect(Number.isFinite(wh) && Number.isInteger(start)).toBe(true)
      if (i > 0) expect(start).toBeGreaterThan(series.intervals[i - 1]?.start ?? NaN)
    }
    daysOf(series, asked.timeZone)
    expect(expand(compact(series)).intervals).toHaveLength(series.intervals.length)
  }
  if (reading.kind === 'question') {
    const { choices } = sayQuestion(reading.question)
    expect(choices.length).toBeGreaterThan(1)
    for (const { answer, text: words } of choices) {
      expect(words).not.toBe('')
      if (depth < 6) follow(text, { ...asked, answers: { ...asked.answers, ...answer } }, depth + 1)
    }
  }
}

const cell = fc.oneof(
  fc.constantFrom(
    '2027-01-14 17:30',
    '14/01/2027',
    '01/02/2027 00:30',
    '24:00',
    '00:00',
    '12:30 PM',
    '1798761600',
    '2027-01-14T17:30:00-04:00',
    '2027-02-30',
    'kWh',
    'start',
    'end',
    'import',
    'export',
    'gas',
    'Wh',
    '0,5',
    '0.5',
    '1,234.5',
    '-3',
    '',
    'null',
    '1e5',
    '1e308',
    '0x10',
    'Infinity',
    '-',
    '"',
    '\u0000',
    '€',
  ),
  fc.string({ maxLength: 12 }),
  fc.double().map(String),
)

test('any table of likely and unlikely cells', () => {
  fc.assert(
    fc.property(
      fc.array(fc.array(cell, { maxLength: 6 }), { maxLength: 40 }),
      fc.constantFrom(',', ';', '\t', '|'),
      (rows, delimiter) => follow(rows.map((row) => row.join(delimiter)).join('\n')),
    ),
    { numRuns: 300 },
  )
})

test('a good file with one thing broken', () => {
  const stamps = Array.from({ length: 96 }, (_, i) =>
    new Date(Date.parse('2027-03-13T00:00:00Z') + i * 1_800_000).toISOString().slice(0, 16),
  )
  fc.assert(
    fc.property(fc.nat(95), cell, cell, fc.nat(3), (place, a, b, times) => {
      const lines = stamps.map((stamp, i) => `${stamp},0.${100 + i}`)
      const broken = Array.from({ length: times }, () => `${a},${b}`)
      follow(['time,kWh', ...lines.toSpliced(place, 1, ...broken)].join('\n'))
    }),
    { numRuns: 200 },
  )
})

test('any XML of ESPI’s elements, closed or not', () => {
  const names = [
    'feed',
    'entry',
    'link',
    'content',
    'IntervalBlock',
    'IntervalReading',
    'interval',
    'timePeriod',
    'start',
    'duration',
    'value',
    'ReadingType',
    'uom',
    'UsagePoint',
    'MeterReading',
    '!--',
    '![CDATA[',
    '?x?',
    '!DOCTYPE x',
  ]
  const piece = fc.oneof(
    fc.constantFrom(...names).map((name) => `<${name}>`),
    fc.constantFrom(...names).map((name) => `</${name}>`),
    fc.constantFrom('72', '900', '1330578000', '-1', '1e9', '&amp;', '&x;', '&#0;', ']]>', '--'),
  )
  fc.assert(
    fc.property(fc.array(piece, { maxLength: 40 }), fc.boolean(), (pieces, whole) => {
      const inner = pieces.join('')
      follow(
        `<IntervalBlock xmlns="http://naesb.org/espi">${inner}${whole ? '</IntervalBlock>' : ''}`,
      )
    }),
    { numRuns: 300 },
  )
})

// Each repeated to a megabyte: with a repeat inside a repeat anywhere these would not end within the test's limit.
test.each([
  ['digits', '1'],
  ['spaces', ' '],
  ['quotes', '"'],
  ['quoted line ends', '"\n'],
  ['commas', ','],
  ['line ends', '\n'],
  ['half a date', '1/1/'],
  ['half a range', '00:00 - '],
  ['a date and spaces', '2027-01-01 00:00,          1\n'],
  ['numbers of one digit', '1,1;1|1\t1\n'],
  ['an open tag', '<a '],
  ['entities', '<feed>&amp;'],
  ['comments', '<!--'],
])('a megabyte of %s', (_, piece) => {
  const reading = readMeter(piece.repeat(Math.ceil(1_000_000 / piece.length)), { timeZone: ZONE })
  expect(['refused', 'question', 'understood']).toContain(reading.kind)
})

test('one cell of a megabyte beside good ones', () => {
  const rows = Array.from({ length: 48 }, (_, i) => {
    const clock = `${String(i >> 1).padStart(2, '0')}:${i % 2 === 0 ? '00' : '30'}`
    return `2027-01-14 ${clock},${i === 20 ? '9'.repeat(1_000_000) : '0.3'}`
  })
  const reading = readMeter(['start,kWh', ...rows].join('\n'), { timeZone: 'Africa/Accra' })
  expect(reading).toMatchObject({
    kind: 'understood',
    skippedRows: { count: 1, first: [{ line: 22, reason: 'not-a-number' }] },
  })
})
