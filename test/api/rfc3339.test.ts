// Instants as text. The samples of RFC 3339 §5.8 (from memory), and the platform's own reader as second opinion.

import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { asInstant } from '../../src/plan/index.ts'
import { parseInstant, printComputed, printInstant } from '../../src/web/api/rfc3339.ts'

const ms = (text: string) => {
  const read = parseInstant(text)
  return read.ok ? read.value : read.refusal
}

describe('reading', () => {
  it.each([
    // §5.8's samples, moved into the years that are taken.
    ['2085-04-12T23:20:50.52Z', Date.UTC(2085, 3, 12, 23, 20, 50, 520)],
    ['2096-12-19T16:39:57-08:00', Date.UTC(2096, 11, 20, 0, 39, 57)],
    ['2037-01-01T12:00:27.87+00:20', Date.UTC(2037, 0, 1, 11, 40, 27, 870)],
    // §4.3: the offset is not known, the instant is.
    ['2027-01-14T13:00:00-00:00', Date.UTC(2027, 0, 14, 13)],
    ['2028-02-29t00:00:00z', Date.UTC(2028, 1, 29)],
    ['2027-01-14T13:00:00.123456789Z', Date.UTC(2027, 0, 14, 13, 0, 0, 123)],
  ])('%s', (text, expected) => {
    expect(ms(text)).toBe(expected)
  })

  it.each([
    ['1990-12-31T23:59:60Z', 'leap-second'],
    ['2027-13-01T00:00:00Z', 'no-such-instant'],
    ['2027-04-31T00:00:00Z', 'no-such-instant'],
    ['2100-02-29T00:00:00Z', 'no-such-instant'],
    ['2027-01-14T13:00:00+24:00', 'no-such-instant'],
    ['2027-01-14T13:60:00Z', 'no-such-instant'],
    ['0000-01-01T00:00:00Z', 'year'],
    ['2027-01-14 13:00:00Z', 'form'],
    ['2027-01-14T13:00:00+0400', 'form'],
    ['2027-01-14T13:00:00,5Z', 'form'],
    ['٢٠٢٧-01-14T13:00:00Z', 'form'],
    ['', 'form'],
  ])('%s is refused: %s', (text, refusal) => {
    expect(ms(text)).toBe(refusal)
  })

  it('agrees with the platform on every instant it printed', () => {
    const instants = fc.integer({ min: Date.UTC(2000, 0), max: Date.UTC(2201, 0) - 1 })
    fc.assert(
      fc.property(instants, (n) => {
        const text = printInstant(asInstant(n))
        expect(ms(text)).toBe(n)
        expect(Date.parse(text)).toBe(n)
      }),
    )
  })
})

describe('printing', () => {
  it.each([
    [Date.UTC(2027, 0, 14, 20, 28, 36), '2027-01-14T20:28:36Z'],
    [Date.UTC(2027, 0, 14, 20, 28, 36, 70), '2027-01-14T20:28:36.070Z'],
  ])('%d', (n, text) => {
    expect(printInstant(asInstant(n))).toBe(text)
  })

  it('what was computed is never printed later, less than a second earlier, and not before now', () => {
    const instants = fc.double({ min: Date.UTC(2027, 0), max: Date.UTC(2028, 0), noNaN: true })
    fc.assert(
      fc.property(instants, fc.integer({ min: 0, max: 5000 }), (n, ahead) => {
        const now = asInstant(Math.floor(n))
        const at = asInstant(n + ahead)
        const printed = Date.parse(printComputed(at, now))
        expect(printed).toBeLessThanOrEqual(at)
        expect(at - printed).toBeLessThan(1000)
        expect(printed).toBeGreaterThanOrEqual(now)
      }),
    )
  })
})
