// The page of the meter readings: what a hurried person has to find on it.

import { describe, expect, test } from 'vitest'
import { meter, meterPage, planPage, report } from './given.tsx'

const text = (html: string) =>
  html
    .replaceAll(/<[^>]+>/g, ' ')
    .replaceAll(/&quot;|&#39;/g, "'")
    .replaceAll(/\s+/g, ' ')

test('the plan page leads to it', () => {
  expect(planPage()).toContain('href="/meter"')
})

describe('without data', () => {
  test('says what it is for and how to come by a file', () => {
    const said = text(meterPage({}, null))
    expect(said).toContain('With your own half-hourly readings the plan knows your evenings')
    expect(said).toContain('Green Button')
    expect(said).toContain('No readings yet.')
    expect(said).not.toContain('Forget')
  })

  // RFC 7578: without this enctype a browser sends the file's name alone.
  test('sends the file as multipart form data, by a form of its own', () => {
    const form = /<form[^>]*action="\/meter"[^>]*>.*?<\/form>/s.exec(meterPage({}, null))?.[0] ?? ''
    expect(form).toContain('enctype="multipart/form-data"')
    expect(form).toContain('name="file" type="file"')
  })
})

describe('with data', () => {
  const said = text(meterPage())

  test('says what is kept, from when to when, and what is missing', () => {
    expect(said).toContain('700 whole days, 1 January 2024 to 13 January 2027.')
    expect(said).toContain('Between them 409 days are missing.')
  })

  test('says how the file was understood', () => {
    for (const each of [
      '30 minutes',
      'kWh, taken from the grid: “usage”',
      'The start of each interval, by your clock, summer time included',
      'The day before the month',
    ])
      expect(said).toContain(each)
  })

  test('says what was missing, the longest first, and that there is more', () => {
    expect(said).toContain('7 stretches are missing.')
    expect(said).toMatch(
      /Missing, the longest: 1 January 2025, 00:00 to 1 January 2026, 00:00\. Missing: 1 March 2024, 12:00/,
    )
    expect(said).toContain('And 3 more.')
  })

  test('says what was left out, and where', () => {
    expect(said).toContain('5 intervals are still to come, and were left out.')
    expect(said).toContain('Line 1,234: not a number (')
    expect(said).toContain('For 4 half-hours the file has another figure than before')
  })

  test('days that are too old to stand for today are told', () => {
    expect(said).not.toContain('add a newer file')
    const old = text(meterPage({}, { ...meter, until: '2026-01-13' }))
    expect(old).toContain('The newest of these days is 366 days old')
  })

  test('forgets only after a tick in a box', () => {
    const form = /<form[^>]*action="\/meter\/forget"[^>]*>.*?<\/form>/s.exec(meterPage())?.[0] ?? ''
    expect(form).toMatch(/name="sure"[^>]*required/)
  })
})

describe('a question', () => {
  const html = meterPage({
    last: null,
    open: {
      at: report.at,
      question: {
        about: 'stamps',
        first: '00:30',
        choices: [{ stamps: 'start' }, { stamps: 'end' }],
      },
    },
  })

  test('has a button for each answer, and one for not knowing', () => {
    const form = /<form[^>]*action="\/meter\/answer"[^>]*>.*?<\/form>/s.exec(html)?.[0] ?? ''
    expect([...form.matchAll(/name="choice" value="([^"]+)"/g)].map(([, value]) => value)).toEqual([
      '0',
      '1',
      'none',
    ])
    expect(form).toContain('name="about" value="stamps"')
  })
})

test('a file that was not taken: why, at the field, and that the rest is as it was', () => {
  const html = meterPage({ errors: [{ field: 'file', message: 'Choose another file.' }] })
  expect(html).toContain('<a href="#file">Choose another file.</a>')
  expect(html).toMatch(/id="file-wrong">\s*Choose another file\./)
  expect(text(html)).toContain('The readings from before are as they were.')
})
