import * as fc from 'fast-check'
import { describe, expect, test, vi } from 'vitest'
import { renderFeed, renderPlanFile } from '../../src/calendar/index.ts'
import { lines, oneLine, uri } from '../../src/calendar/text.ts'
import type { Household } from '../../src/reminder/index.ts'
import { NOW, PAGE, event, household } from './given.ts'
import { contentLines, read } from './read.ts'

// Laws run many cases; a busy machine may take its time.
vi.setConfig({ testTimeout: 30_000 })

const feed = (from: Household, page = PAGE) => renderFeed(from, { now: NOW, page })
const called = (name: string) => household({ settings: { name } })
const howTo = (howToHold: string) => household({ settings: { howToHold } })

// RFC 5545 §3.3.11 (the table is derived from it).
describe('escaping of TEXT', () => {
  test.each([
    ['Hold now; release 16:55, then rest', 'Hold now\\; release 16:55\\, then rest'],
    ['C:\\battery\\log', 'C:\\\\battery\\\\log'],
    ['Line 1\nLine 2', 'Line 1\\nLine 2'],
    ['Line 1\r\nLine 2', 'Line 1\\nLine 2'],
    ['a\\nb', 'a\\\\nb'],
    ['semi;comma,colon:quote"', 'semi\\;comma\\,colon:quote"'],
  ])('%j', (raw, escaped) => {
    const text = feed(howTo(raw))
    expect(text.replaceAll('\r\n ', '')).toContain(`How to do it: ${escaped}\\n`)
    expect(read(text).entries[1]?.detail).toContain(`How to do it: ${raw.replace('\r\n', '\n')}\n`)
  })

  // ical-generator prints the calendar's name as it comes: this is ours.
  test.each([
    ['The Smiths, no. 4; back', 'The Smiths\\, no. 4\\; back'],
    ['C:\\battery', 'C:\\\\battery'],
    ['a\nb', 'a b'],
  ])('in the calendar’s name: %j', (raw, escaped) => {
    expect(contentLines(feed(called(raw)))).toContain(`NAME:${escaped}: battery events`)
    expect(contentLines(feed(called(raw)))).toContain(`X-WR-CALNAME:${escaped}: battery events`)
  })
})

const HOSTILE = [
  'a\r\nBEGIN:VEVENT\r\nUID:evil\r\nEND:VEVENT',
  'a\nATTENDEE:mailto:evil@example.com',
  'a\rATTACH:https://evil.example/',
  'a\r\n BEGIN:VALARM',
  '\r\nEND:VCALENDAR\r\nBEGIN:VCALENDAR\r\n',
  'a\u2028ATTACH:x',
  'a\u2029ATTACH:x',
  'a\u0085ATTACH:x',
  'a\u000bATTACH:x\u000cATTACH:y\u001cATTACH:z',
  'null \u0000 bell \u0007 delete \u007f',
  '";X=1:evil',
  '\\n\\,\\;\\\\',
  '<script>alert(1)</script><img src=x onerror=alert(1)>',
  '🔋🏡👩‍👩‍👧‍👦 ½–é',
  '\u202egnp.exe\u202c \u2066x\u2069',
  '\u200fבית\u200f',
  '\ud83d half a pair \udd0b',
  ' '.repeat(200),
]

const NAMES = new Set(
  'BEGIN END VERSION PRODID NAME X-WR-CALNAME REFRESH-INTERVAL X-PUBLISHED-TTL UID SEQUENCE DTSTAMP DTSTART DTEND SUMMARY TRANSP DESCRIPTION URL STATUS LAST-MODIFIED ACTION TRIGGER'.split(
    ' ',
  ),
)

/** Only the properties that we write, one calendar, three entries, whatever was put in. */
function expectOurs(text: string) {
  expect(text).toMatch(/^BEGIN:VCALENDAR\r\nVERSION:2\.0\r\n/)
  expect(text).toMatch(/\r\nEND:VCALENDAR\r\n$/)
  expect(text.replaceAll('\r\n', '')).not.toMatch(
    /[\p{Cc}\p{Surrogate}\u2028\u2029\u202a-\u202e\u2066-\u2069]/u,
  )
  const unfolded = contentLines(text)
  // One check for all lines: a thousand small ones are slow.
  expect(unfolded.filter((line) => !NAMES.has(line.split(/[:;]/, 1)[0] ?? ''))).toEqual([])
  const begins = unfolded.filter((line) => line.startsWith('BEGIN:') && line !== 'BEGIN:VALARM')
  expect(begins).toEqual(['BEGIN:VCALENDAR', 'BEGIN:VEVENT', 'BEGIN:VEVENT', 'BEGIN:VEVENT'])
  expect(read(text).entries).toHaveLength(3)
}

const filledWith = (text: string) => {
  const hostile = { ...event, id: text }
  const given = household({
    id: text,
    events: [hostile],
    settings: { name: text, howToHold: text, howToRelease: text, calendarAlarms: true },
  })
  return { ...given, plan: given.plan && { ...given.plan, eventIds: [text] } }
}

describe('nothing that people type can add a line (CWE-93)', () => {
  test.each(HOSTILE)('%j in every field', (text) => {
    expectOurs(feed(filledWith(text), `https://holdbell.example/${text}`))
    expectOurs(renderPlanFile(filledWith(text), text, { page: text }) ?? '')
  })

  test('any text in every field', () => {
    const unit = fc.oneof(
      fc.constantFrom(
        '\r',
        '\n',
        '\r\n',
        ':',
        ';',
        ',',
        '\\',
        '"',
        'BEGIN:VEVENT',
        '\u2028',
        '🔋',
        ' ',
      ),
      fc.string({ unit: 'binary', minLength: 1, maxLength: 4 }),
    )
    fc.assert(
      fc.property(fc.array(unit, { maxLength: 25 }), (units) => {
        expectOurs(feed(filledWith(units.join('')), units.join('')))
      }),
      { numRuns: 60 },
    )
  })
})

describe('folding (RFC 5545 §3.1)', () => {
  test('no line is over 75 octets, none splits a character, and unfolding gives the text back', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 300 }), (typed) => {
        const text = feed(household({ settings: { name: typed, howToHold: typed } }))
        const spoilt = text.split('\r\n').filter((line) => {
          const octets = new TextEncoder().encode(line)
          // A split pair would have become U+FFFD.
          return octets.length > 75 || new TextDecoder().decode(octets) !== line
        })
        expect(spoilt).toEqual([])
        const shown = lines(typed)
        if (shown !== '') expect(read(text).entries[1]?.detail).toContain(`: ${shown}\n`)
      }),
      { numRuns: 60 },
    )
  })

  // Lengths at which the line is exactly full, one over, and full of wider characters (the table is
  // derived from the rule; where to break below 75 octets is free).
  test.each([
    'a'.repeat(67),
    'a'.repeat(68),
    'a'.repeat(141),
    'a'.repeat(142),
    `${'a'.repeat(65)}é`,
    `${'a'.repeat(66)}é`,
    `${'a'.repeat(64)}🔋b`,
    '½–'.repeat(20),
  ])('a name of %j', (name) => {
    const text = feed(called(name))
    const longest = Math.max(
      ...text.split('\r\n').map((line) => new TextEncoder().encode(line).length),
    )
    expect(longest).toBeLessThanOrEqual(75)
    expect(contentLines(text)).toContain(`NAME:${name}: battery events`)
  })
})

describe('text that is kept', () => {
  test('emoji with joiners, accents and right-to-left marks stay', () => {
    expect(oneLine('👩‍👩‍👧‍👦 é \u200fבית\u200f')).toBe('👩‍👩‍👧‍👦 é \u200fבית\u200f')
  })

  test('a name is one line, a way to do it several', () => {
    expect(oneLine(' a\r\n\tb ')).toBe('a b')
    expect(lines('one\r\ntwo\rthree\u2028four\n')).toBe('one\ntwo\nthree\nfour')
  })

  test('an empty way to do it is left out', () => {
    expect(read(feed(howTo(' \n '))).entries[1]?.detail).not.toContain('How to do it')
  })

  test('an address stays one: what TEXT would escape is percent-encoded (RFC 3986 §2.1)', () => {
    expect(uri('https://holdbell.example/h?a=1,2;b="ü"\r\n')).toBe(
      'https://holdbell.example/h?a=1%2C2%3Bb=%22%C3%BC%22',
    )
    expect(read(feed(household(), 'https://holdbell.example/h?a=1,2')).entries[0]?.url).toBe(
      'https://holdbell.example/h?a=1%2C2',
    )
  })
})
