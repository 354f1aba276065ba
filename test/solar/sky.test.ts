// Clear sky, diffuse share, plane and power against the published figures. Where a Python library for photovoltaics is named, its own tests' figures are meant (pvlib-python).

import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { LOSSES, acKw, dcKw, incidence, onPlane } from '../../src/solar/array.ts'
import { clearSky, diffuseShare } from '../../src/solar/sky.ts'
import { at } from './given.ts'

const NOON = at('2026-06-20T12:00Z')

// pvlib-python, test_clearsky.py, test_haurwitz.
it.each([
  [-20, 0],
  [-0.001, 0],
  [5, 48.6298687941956],
  [10, 135.741748091813],
  [30, 487.894132885425],
  [50, 778.766689344363],
  [90, 1035.0920325345],
])('Haurwitz: elevation %d gives %d W/m2', (elevation, expected) => {
  expect(clearSky(elevation)).toBeCloseTo(expected, 8)
})

describe('the diffuse share of Erbs, Klein and Duffie', () => {
  // pvlib-python, test_irradiance.py, test_erbs (diffuse irradiance). It takes the distance to the sun by another series: half a per cent.
  it.each([
    ['2019-01-01T00:00Z', 50, 5, 41.5703604],
    ['2019-01-01T00:00Z', 1000, 80, 217.860117],
    ['2019-06-20T00:00Z', 1000, 80, 170.790318],
  ])('%s, %d W/m2 at elevation %d: %d W/m2', (day, global, elevation, diffuse) => {
    const share = diffuseShare(global, elevation, at(day))
    expect(Math.abs((global * share) / diffuse - 1)).toBeLessThan(0.02)
  })
  it('is nearly everything under an overcast sky, and everything near the horizon', () => {
    expect(diffuseShare(0.15 * clearSky(30), 30, NOON)).toBeGreaterThan(0.98)
    expect(diffuseShare(clearSky(2.9), 2.9, NOON)).toBe(1)
  })
})

describe('the angle on the plane', () => {
  // pvlib-python, test_irradiance.py, test_aoi_and_aoi_projection: tilt, azimuth, zenith, azimuth of the sun, cosine.
  it.each([
    [0, 0, 0, 0, 1],
    [30, 180, 30, 180, 1],
    [30, 180, 150, 0, -1],
    [90, 0, 30, 60, 0.25],
    [90, 0, 30, 170, -0.4924038],
  ])(
    'tilt %d facing %d, sun at zenith %d from %d: %d',
    (tiltDeg, azimuthDeg, zenith, from, cos) => {
      const sun = { elevationDeg: 90 - zenith, azimuthDeg: from }
      expect(incidence({ tiltDeg, azimuthDeg }, sun)).toBeCloseTo(cos, 6)
    },
  )
  it('is the product of the two directions as vectors (east, north, up)', () => {
    const direction = (elevationDeg: number, azimuthDeg: number) => {
      const [up, from] = [(elevationDeg * Math.PI) / 180, (azimuthDeg * Math.PI) / 180]
      return [Math.cos(up) * Math.sin(from), Math.cos(up) * Math.cos(from), Math.sin(up)]
    }
    const degrees = (max: number) => fc.double({ min: 0, max, noNaN: true })
    fc.assert(
      fc.property(
        degrees(90),
        degrees(360),
        degrees(90),
        degrees(360),
        (tilt, facing, up, from) => {
          const normal = direction(90 - tilt, facing)
          const product = direction(up, from).reduce((sum, x, i) => sum + x * normal[i]!, 0)
          const sun = { elevationDeg: up, azimuthDeg: from }
          expect(incidence({ tiltDeg: tilt, azimuthDeg: facing }, sun)).toBeCloseTo(product, 12)
        },
      ),
    )
  })
})

describe('light on the plane', () => {
  const site = { kwp: 4, latitude: 51.5, longitude: 0 }
  const sun = { elevationDeg: 17.5, azimuthDeg: 180 }
  it('is the level irradiance on a level plane, whatever the share', () => {
    for (const share of [0.1, 0.25, 0.6, 1])
      expect(onPlane({ ...site, tiltDeg: 0, azimuthDeg: 200 }, sun, NOON, share)).toBeCloseTo(
        share * clearSky(17.5),
        9,
      )
  })
  it('is half the diffuse light on a wall that faces away', () => {
    const level = clearSky(17.5)
    expect(onPlane({ ...site, tiltDeg: 90, azimuthDeg: 0 }, sun, NOON, 1)).toBeCloseTo(
      (level * diffuseShare(level, 17.5, NOON)) / 2,
      9,
    )
  })
  it('gains from a tilt to the sun when clear, not when overcast', () => {
    const level = { ...site, tiltDeg: 0, azimuthDeg: 180 }
    const tilted = { ...site, tiltDeg: 40, azimuthDeg: 180 }
    expect(onPlane(tilted, sun, NOON, 1)).toBeGreaterThan(1.5 * onPlane(level, sun, NOON, 1))
    expect(onPlane(tilted, sun, NOON, 0.15)).toBeLessThan(onPlane(level, sun, NOON, 0.15))
  })
  it('is nothing with the sun down', () => {
    const array = { ...site, tiltDeg: 90, azimuthDeg: 0 }
    expect(onPlane(array, { elevationDeg: -0.5, azimuthDeg: 0 }, NOON, 1)).toBe(0)
  })
})

describe('power', () => {
  it('loses 14.0757 %: PVWatts’ ten defaults together', () => {
    const kept = [2, 3, 0, 2, 2, 0.5, 1.5, 1, 0, 3].reduce(
      (share, loss) => share * (1 - loss / 100),
      1,
    )
    expect(LOSSES).toBeCloseTo(1 - kept, 12)
    // 4 kWp at 271.7 W/m2, with a flat 96 % inverter 0.8965 kW (computed by hand).
    expect(0.96 * dcKw(4, 271.7)).toBeCloseTo(0.8965, 4)
  })
  it('goes through PVWatts’ inverter: 90 of 100 at nominal 95 % is 85.58556604752516', () => {
    // pvlib-python, test_inverter.py: its 100 is the DC rating, so the AC rating is 95.
    expect(acKw(90, 95, 0.95)).toBeCloseTo(85.58556604752516, 10)
  })
  it('is never more than the inverter, never less than nothing', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1e3, noNaN: true }),
        fc.double({ min: 0.01, max: 1e3, noNaN: true }),
        (dc, rated) => {
          const ac = acKw(dc, rated)
          expect(ac).toBeGreaterThanOrEqual(0)
          expect(ac).toBeLessThanOrEqual(Math.min(rated, dc))
        },
      ),
    )
    expect(acKw(0, 4)).toBe(0)
    expect(acKw(1, 0)).toBe(0)
  })
})
