import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { retryDelayMs, retryShare } from '../../src/delivery/index.ts'

// Our own schedule (no source): the shape of Standard Webhooks' example, compressed to an evening.
describe('retryDelayMs', () => {
  test('at once, 5 s, 15 s, 45 s, 2 min, then every 5 min', () => {
    const seconds = [0, 1, 2, 3, 4, 5, 6, 100].map((attempts) => retryDelayMs(attempts) / 1000)
    expect(seconds).toEqual([0, 5, 15, 45, 120, 300, 300, 300])
  })

  test('a share of nothing halves each wait', () => {
    const seconds = [0, 1, 2, 3, 4, 5].map((attempts) => retryDelayMs(attempts, 0) / 1000)
    expect(seconds).toEqual([0, 2.5, 7.5, 22.5, 60, 150])
  })

  const attempts = fc.nat(1000)
  const share = fc.double({ min: 0, max: 1, noNaN: true })

  test('whole milliseconds, from the half to the whole of the wait, at once first, 5 min at most', () => {
    fc.assert(
      fc.property(attempts, share, (n, part) => {
        const wait = retryDelayMs(n, part)
        expect(Number.isInteger(wait)).toBe(true)
        expect(wait).toBeGreaterThanOrEqual(retryDelayMs(n) / 2)
        expect(wait).toBeLessThanOrEqual(retryDelayMs(n))
        expect(wait).toBeLessThanOrEqual(300_000)
        expect(retryDelayMs(0, part)).toBe(0)
      }),
    )
  })

  test('a larger share never comes earlier, and one attempt more never either', () => {
    fc.assert(
      fc.property(attempts, share, share, (n, a, b) => {
        const [less, more] = a < b ? [a, b] : [b, a]
        expect(retryDelayMs(n, less)).toBeLessThanOrEqual(retryDelayMs(n, more))
        expect(retryDelayMs(n, less)).toBeLessThanOrEqual(retryDelayMs(n + 1, less))
      }),
    )
  })

  test('ten attempts outlast a quarter of an hour’s outage, whatever the shares', () => {
    fc.assert(
      fc.property(fc.array(share, { minLength: 10, maxLength: 10 }), (shares) => {
        const waits = shares.map((part, n) => retryDelayMs(n, part))
        expect(waits.reduce((sum, wait) => sum + wait, 0)).toBeGreaterThan(14 * 60_000)
      }),
    )
  })
})

describe('retryShare', () => {
  test('of the delivery and the attempt alone, from 0 up to but not 1', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), fc.nat(100), (id, attempts) => {
        const share = retryShare(id, attempts)
        expect(share).toBe(retryShare(id, attempts))
        expect(share).toBeGreaterThanOrEqual(0)
        expect(share).toBeLessThan(1)
      }),
    )
  })

  // Chi-squared of 20 cells: above 43.8 in one of 1000 even spreads (statistical tables, 19 degrees of freedom).
  test.each([
    ['households', (n: number) => retryShare(`msg_house${n}_hold-e1-1_0`, 1)],
    ['attempts', (n: number) => retryShare('msg_house1_hold-e1-1_0', n)],
    ['repeats', (n: number) => retryShare(`msg_house1_hold-e1-1_${n}`, 3)],
  ])('is spread evenly over %s that differ in a digit', (_, shareOf) => {
    const cells = Array.from({ length: 20 }, () => 0)
    for (let n = 0; n < 4000; n += 1) cells[Math.floor(shareOf(n) * 20)]! += 1
    const chiSquared = cells.reduce((sum, found) => sum + (found - 200) ** 2 / 200, 0)
    expect(chiSquared).toBeLessThan(43.8)
    // Nor is it laid out as on a ruler, as a sum of the digits would be.
    expect(chiSquared).toBeGreaterThan(1)
  })
})
