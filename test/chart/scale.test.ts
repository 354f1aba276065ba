import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { levelAt, scale, stretches, topPct, within } from '../../src/chart/index.ts'
import { asInstant } from '../../src/plan/index.ts'
import { NOON, anyInput, at, planned, worked } from './given.ts'

const number = fc.double({ min: -1e6, max: 1e6, noNaN: true })

describe('scale', () => {
  test('takes the ends to the ends, whichever way the range runs', () => {
    fc.assert(
      fc.property(
        number,
        fc.double({ min: 1e-3, max: 1e6, noNaN: true }),
        number,
        number,
        (a, d, c, e) => {
          const place = scale([a, a + d], [c, e])
          expect(place(a)).toBeCloseTo(c, 5)
          expect(place(a + d)).toBeCloseTo(e, 5)
        },
      ),
    )
  })

  test('keeps midpoints (a straight line), and survives a domain without length', () => {
    expect(scale([0, 10], [100, 200])(5)).toBe(150)
    expect(scale([3, 3], [7, 9])(3)).toBe(7)
  })

  test('the axis covers the forecast and the reserve, never over 100', () => {
    fc.assert(
      fc.property(anyInput, (input) => {
        const points = planned(input).trajectory
        const top = topPct(points)
        expect(top).toBeLessThanOrEqual(100)
        for (const { socPct } of points) expect(socPct).toBeLessThanOrEqual(top + 1e-6)
      }),
    )
  })
})

// By hand from the worked example: 55 % less 0.8 kW / 0.95 an hour of 9.6 kWh, and 24.50 % from 16:28:36.
describe('the forecast between its breakpoints', () => {
  const { trajectory } = planned(worked)

  test('is straight before the hold and level in it', () => {
    const anHour = levelAt(trajectory, at('2027-01-14T14:00:00-04:00'))
    expect(anHour?.socPct).toBeCloseTo(55 - (0.8 / 0.95 / 9.6) * 100, 6)
    expect(levelAt(trajectory, at('2027-01-14T17:00:00-04:00'))?.socPct).toBeCloseTo(24.503, 3)
  })

  test('at the release the reserve is what must be there before it steps down', () => {
    expect(levelAt(trajectory, at('2027-01-14T17:25:00-04:00'))?.reservePct).toBeCloseTo(24.503, 3)
  })

  test('outside stands its nearest end; without points there is none', () => {
    expect(levelAt(trajectory, asInstant(NOON - 1e7))?.socPct).toBe(55)
    expect(levelAt(trajectory, asInstant(NOON + 1e9))?.socPct).toBeCloseTo(15, 6)
    expect(levelAt([], NOON)).toBeNull()
  })

  test('the held stretch is from the hold to the release', () => {
    expect(stretches(trajectory, 'hold')).toEqual([
      { start: at('2027-01-14T16:28:36-04:00'), end: at('2027-01-14T17:25:00-04:00') },
    ])
    expect(stretches(trajectory, 'fill')).toEqual([])
  })

  test('a cut-out begins and ends at its edges', () => {
    const start = at('2027-01-14T14:00:00-04:00')
    const end = at('2027-01-14T17:00:00-04:00')
    const cut = within(trajectory, { start, end })
    expect(cut[0]?.at).toBe(start)
    expect(cut.at(-1)?.at).toBe(end)
  })
})
