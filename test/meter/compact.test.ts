import fc from 'fast-check'
import { expect, test } from 'vitest'
import { compact, expand } from '../../src/meter/index.ts'
import { asInstant } from '../../src/plan/index.ts'
import { MINUTE, seriesFrom } from './build.ts'

const HEADER = 8

const anySeries = (most: number) =>
  fc
    .record({
      minutes: fc.constantFrom(1, 5, 15, 30, 60),
      first: fc.integer({ min: 16_000_000, max: 67_000_000 }),
      places: fc.uniqueArray(fc.nat(2000), { minLength: 1, maxLength: 200 }),
      whs: fc.array(fc.integer({ min: -most, max: most }), { minLength: 200, maxLength: 200 }),
    })
    .map(({ minutes, first, places, whs }) => ({
      minutes,
      intervals: places
        .toSorted((a, b) => a - b)
        .map((place, i) => ({
          start: asInstant((first + place * minutes) * MINUTE),
          wh: whs[i] ?? 0,
        })),
    }))

test('whole Wh and gaps come back as they were', () => {
  fc.assert(
    fc.property(anySeries(32_767), (series) => {
      expect(expand(compact(series))).toEqual(series)
    }),
  )
})

test('larger figures come back to within half their step', () => {
  fc.assert(
    fc.property(anySeries(1_000_000), (series) => {
      const most = Math.max(...series.intervals.map(({ wh }) => Math.abs(wh)))
      const back = expand(compact(series))
      expect(back.intervals.map(({ start }) => start)).toEqual(
        series.intervals.map(({ start }) => start),
      )
      for (const [i, { wh }] of back.intervals.entries())
        expect(Math.abs(wh - (series.intervals[i]?.wh ?? 0))).toBeLessThanOrEqual(
          Math.max(1, Math.ceil(most / 32_767)) / 2,
        )
    }),
  )
})

test('two years of half-hours take two bytes each; ten years fit a row of 2 MB', () => {
  expect(compact(seriesFrom('2026-01-01T00:00:00Z', 35_040))).toHaveLength(HEADER + 2 * 35_040)
  expect(compact(seriesFrom('2026-01-01T00:00:00Z', 175_320)).length).toBeLessThan(2_000_000)
})

test('nothing comes back as nothing, a view into other bytes as itself', () => {
  expect(expand(compact({ minutes: 30, intervals: [] }))).toEqual({ minutes: 30, intervals: [] })
  const series = seriesFrom('2026-01-01T00:00:00Z', 10)
  const bytes = compact(series)
  const wider = new Uint8Array(bytes.length + 3)
  wider.set(bytes, 3)
  expect(expand(wider.subarray(3))).toEqual(series)
})

test('bytes of another making are a bug, and said to be', () => {
  expect(() => expand(new Uint8Array([9, 9, 9]))).toThrow(RangeError)
  expect(() => expand(new Uint8Array(10))).toThrow(RangeError)
})
