// The sun's place and times against NREL's Solar Position Algorithm (NREL/TP-560-34302, Reda and Andreas, 2003, revised 2008)
// and the US Naval Observatory's tables. The library states 0.08 degrees and 15 seconds as its typical errors; those are the tolerances.

import { describe, expect, it } from 'vitest'
import { solarDay, sunAt } from '../../src/solar/sun.ts'
import { clearSky } from '../../src/solar/sky.ts'
import { almanacElevation, at } from './given.ts'

const DEGREES = 0.08
const SECONDS = 15

const secondsOff = (actual: number, expected: string) => Math.abs(actual - at(expected)) / 1000

const lightOf = (iso: string, latitude: number, longitude: number) => {
  const { light } = solarDay(at(iso), { latitude, longitude })
  if (typeof light === 'string') throw new Error(`no rise and set: ${light}`)
  return light
}

describe('the SPA report’s worked example, 2003-10-17 in Golden, Colorado', () => {
  const golden = { latitude: 39.742476, longitude: -105.1786 }
  it('zenith 50.11162, azimuth 194.340241', () => {
    const sun = sunAt(at('2003-10-17T12:30:30-07:00'), golden)
    expect(Math.abs(90 - sun.elevationDeg - 50.11162)).toBeLessThan(DEGREES)
    expect(Math.abs(sun.azimuthDeg - 194.340241)).toBeLessThan(DEGREES)
  })
  it('sunrise 06:12:43, transit 11:46:05, sunset 17:20:19', () => {
    const noon = solarDay(at('2003-10-17T12:30:30-07:00'), golden).noon
    const { rise, set } = lightOf('2003-10-17T12:30:30-07:00', golden.latitude, golden.longitude)
    expect(secondsOff(rise, '2003-10-17T06:12:43-07:00')).toBeLessThan(SECONDS)
    expect(secondsOff(noon, '2003-10-17T11:46:05-07:00')).toBeLessThan(SECONDS)
    // The report works by days of UTC: its sunset is that evening's by UTC's date, a day earlier by Golden's.
    const before = lightOf('2003-10-16T12:30:30-07:00', golden.latitude, golden.longitude)
    expect(secondsOff(before.set, '2003-10-16T17:20:19-07:00')).toBeLessThan(SECONDS)
    expect(set).toBeGreaterThan(noon)
  })
})

// Table A4.1 of the report; longitude 0, UT.
it.each([
  ['1994-01-02', 35, '07:08:12', '16:59:55'],
  ['1996-07-05', -35, '07:08:15', '17:01:04'],
  ['2004-12-04', -35, '04:38:57', '19:02:02'],
])('the SPA report’s sunrise and sunset of %s at latitude %d', (day, latitude, up, down) => {
  const { rise, set } = lightOf(`${day}T12:00Z`, latitude, 0)
  expect(secondsOff(rise, `${day}T${up}Z`)).toBeLessThan(SECONDS)
  expect(secondsOff(set, `${day}T${down}Z`)).toBeLessThan(SECONDS)
})

// The Naval Observatory's tables are in whole minutes: half a minute more.
it.each([
  ['2015-01-02', '07:19', '16:49'],
  ['2015-04-02', '05:43', '18:24'],
  ['2015-08-02', '05:01', '19:10'],
  ['2015-12-02', '07:01', '16:38'],
])('the Naval Observatory’s sunrise and sunset of %s at 39 N 105 W', (day, up, down) => {
  const { rise, set } = lightOf(`${day}T12:00-07:00`, 39, -105)
  expect(secondsOff(rise, `${day}T${up}-07:00`)).toBeLessThan(SECONDS + 30)
  expect(secondsOff(set, `${day}T${down}-07:00`)).toBeLessThan(SECONDS + 30)
})

// Computed with another implementation of the SPA (a Python library's) and its Haurwitz; zenith and irradiance, 51.5 N 0 E.
describe('the clear day 2025-01-15 at 51.5 N', () => {
  it.each([
    ['09:15', 81.865, 102.4],
    ['10:15', 76.687, 195.7],
    ['11:15', 73.454, 254.2],
    ['12:15', 72.481, 271.7],
    ['13:15', 73.869, 246.7],
    ['14:15', 77.474, 181.4],
    ['15:15', 82.95, 83.3],
  ])('%s: zenith %d, %d W/m2 on level ground', (time, zenith, irradiance) => {
    const { elevationDeg } = sunAt(at(`2025-01-15T${time}Z`), { latitude: 51.5, longitude: 0 })
    expect(Math.abs(90 - elevationDeg - zenith)).toBeLessThan(DEGREES)
    // 0.08 degrees are about 1.5 W/m2 there.
    expect(Math.abs(clearSky(elevationDeg) - irradiance)).toBeLessThan(1.5)
  })
  it.each([
    ['2025-01-15', 51.5, 0, '07:58:41', '16:20:41', 1343],
    ['2024-12-21', 51.5, 0, '08:03:25', '15:53:09', 1046],
    ['2025-01-15', 55, -3, '08:27:25', '16:16:00', 948],
    ['2025-03-20', 51.5, 0, '06:02:19', '18:13:23', 4556],
    ['2025-06-21', 51.5, 0, '03:42:38', '20:21:03', 8684],
  ])('%s at %d N %d E: up %s to %s UTC, %d Wh/m2', (day, latitude, longitude, up, down, wh) => {
    const { rise, set } = lightOf(`${day}T12:00Z`, latitude, longitude)
    expect(secondsOff(rise, `${day}T${up}Z`)).toBeLessThan(SECONDS)
    expect(secondsOff(set, `${day}T${down}Z`)).toBeLessThan(SECONDS)
    const halves = Array.from({ length: 48 }, (_, i) => at(`${day}T00:15Z`) + i * 1_800_000)
    const sum = halves.reduce(
      (total, middle) =>
        total + clearSky(sunAt(middle as never, { latitude, longitude }).elevationDeg) / 2,
      0,
    )
    expect(sum / wh).toBeCloseTo(1, 2)
  })
})

it('stands where the Almanac’s formula has it, all year and on both hemispheres', () => {
  for (const latitude of [-78, -33.9, 0, 51.5, 69.6])
    for (let day = 0; day < 366; day += 7)
      for (const hour of [1, 9, 12, 16, 21]) {
        const instant = at('2026-01-01T00:00Z') + day * 86_400_000 + hour * 3_600_000
        const place = { latitude, longitude: 18 }
        const truth = almanacElevation(instant, place)
        if (truth < 15) continue // higher up, refraction is under 0.07 degrees
        expect(Math.abs(sunAt(instant as never, place).elevationDeg - truth)).toBeLessThan(0.15)
      }
})
