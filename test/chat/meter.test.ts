// Meter readings in a conversation: asked after, or pasted as they stand in a file. The files are of the forms that
// test/meter reads.

import { describe, expect, test } from 'vitest'
import { converse, understand } from '../../src/chat/index.ts'
import { looksLikeReadings } from '../../src/chat/meterData.ts'
import { asInstant } from '../../src/plan/index.ts'
import { at, empty } from '../reminder/house.ts'
import { isoWall, kwh, rows, seriesFrom, wall } from '../meter/build.ts'

const ZONE = 'America/Halifax'
const meaning = (text: string) =>
  understand(text, {
    now: asInstant(at('13:00')),
    timeZone: ZONE,
    dayFirst: true,
    language: 'en',
    events: [],
  })

const series = seriesFrom('2026-12-20T04:00:00Z', 96)

const FILES: [string, string][] = [
  ['instants', rows(series, (x) => `${new Date(x.start).toISOString()},${kwh(x.wh)}`, 'start,kWh')],
  [
    'semicolons and a decimal comma',
    rows(series, (x) => `${isoWall(wall(x.start, ZONE))};${kwh(x.wh).replace('.', ',')}`),
  ],
  [
    'tabs, a date and a clock, quoted',
    rows(series, (x) => {
      const { d, mo, y, h, mi } = wall(x.start, ZONE)
      return `"${d}/${mo}/${y}"\t"${h}:${mi}"\t"${kwh(x.wh)}"`
    }),
  ],
  ['XML', '<?xml version="1.0"?>\n<feed xmlns="http://www.w3.org/2005/Atom"><IntervalReading>'],
]

describe('pasted readings', () => {
  test.each(FILES)('of %s are known for what they are, and no event is made of them', (_, file) => {
    const text = file.slice(0, 4000)
    expect(meaning(text)).toEqual({ kind: 'meter', pasted: true })
    const after = converse(empty, text, at('13:00')).household
    expect(after.events).toEqual([])
    expect(after.readings).toEqual([])
    expect(after.messages.at(-1)?.text).toMatch(/^That looks like meter readings\..*\/meter/)
  })

  test.each([
    'tomorrow 17:30-18:30',
    'Event: 14/01/2027, 17:30, 18:30',
    '17:30, 58\n18:00, 55',
    'Dear customer,\nyour event:\nThursday 14 January, 17:30 to 18:30\nReply YES to take part\nRegards',
    'thu 17:30-18:30\nfri 17:30-18:30\nsat 17:30-18:30\nsun 17:30-18:30\nmon 17:30-18:30',
    '',
  ])('%j is none', (text) => {
    expect(looksLikeReadings(text)).toBe(false)
  })

  test('takes no time over a long line of nothing', () => {
    for (const unit of ['\t', ',1', ' ', '12:', '<a', '1.'])
      expect(looksLikeReadings(`${unit.repeat(4000)}\n`.repeat(4))).toBeTypeOf('boolean')
  })
})

test.each([
  'upload my readings',
  'meter data',
  'How do I add my meter readings?',
  'smart meter data please',
  'green button',
  'can I import a csv file',
])('%j leads to the page', (text) => {
  expect(meaning(text)).toEqual({ kind: 'meter', pasted: false })
  expect(converse(empty, text, at('13:00')).household.messages.at(-1)?.text).toContain('/meter')
})

test.each(['58', 'reading 58', 'it reads 58', 'plan', 'done'])(
  '%j is still what it was',
  (text) => {
    expect(meaning(text).kind).not.toBe('meter')
  },
)
