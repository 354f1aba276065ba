// What fits beside the background. Powers and lengths: the CREST model's table (Richardson and others, Energy and Buildings 42
// (2010) 1878-1887) as in RWTH-EBC/richardsonpy, inputs/Appliances.csv; sums by hand.

import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  APPLIANCES,
  type ApplianceName,
  type Room,
  besideBackground,
  cycleKwh,
  leftKw,
  overKw,
  peakKw,
} from '../../src/appliances/index.ts'

const room = (given: Partial<Room> = {}): Room => ({
  limitKw: 3.6,
  backgroundKw: 0.8,
  aboveReserveKwh: null,
  capacityKwh: 9.6,
  dischargeEfficiency: 0.95,
  ...given,
})

const fit = (name: ApplianceName, given: Partial<Room> = {}) =>
  besideBackground(room(given)).find(({ appliance }) => appliance.name === name)!

const named = (name: ApplianceName) => APPLIANCES.find((each) => each.name === name)!

describe('the table', () => {
  // Mean cycle power in W, mean cycle length in minutes.
  it.each([
    ['kettle', 2000, 3],
    ['microwave', 1250, 30],
    ['hob', 2400, 16],
    ['oven', 2125, 27],
    ['iron', 1000, 30],
    ['vacuum', 2000, 20],
    ['television', 124, 73],
    ['computer', 141, 300],
    ['dishwasher', 1131, 60],
    ['washingMachine', 406, 138],
    ['tumbleDryer', 2500, 60],
    ['immersionHeater', 3000, 20],
    ['electricHeater', 2000, 240],
    ['electricShower', 9000, 3],
    ['storageHeaters', 10_200, 360],
  ] as const)('%s: %d W over %d minutes', (name, watts, minutes) => {
    expect(cycleKwh(named(name))).toBeCloseTo((watts * minutes) / 60_000, 9)
    expect(named(name).cycle.reduce((sum, phase) => sum + phase.minutes, 0)).toBe(minutes)
  })
  it('has a washing machine that heats at 2056 W for 21 minutes (classes/appliance.py there)', () => {
    expect(peakKw(named('washingMachine'))).toBe(2.056)
    expect(named('washingMachine').cycle[0]).toEqual({ watts: 2056, minutes: 21 })
  })
  it('has each name once', () => {
    expect(new Set(APPLIANCES.map(({ name }) => name)).size).toBe(15)
  })
})

describe('with 0.8 kW running under 3.6 kW', () => {
  it('2.8 kW are left: a kettle fits, an electric shower draws 6.2 kW from the grid', () => {
    expect(leftKw(room())).toBe(2.8)
    expect(fit('kettle')).toMatchObject({ kw: 2, fits: true, fromGridKw: 0 })
    expect(fit('electricShower')).toMatchObject({ kw: 9, fits: false, fromGridKw: 6.2 })
  })
  it('a cycle costs its energy through the efficiency, of the shower only what the battery gives', () => {
    // 2 kW x 3/60 h / 0.95 = 0.10526 kWh, 1.0965 % of 9.6; (9 - 6.2) x 3/60 / 0.95.
    expect(fit('kettle').cycleKwh).toBeCloseTo(0.10526, 5)
    expect(fit('kettle').cyclePct).toBeCloseTo(1.0965, 4)
    expect(fit('electricShower').cycleKwh).toBeCloseTo((2.8 * 0.05) / 0.95, 9)
  })
})

describe('at the edges', () => {
  it('a limit exactly met fits, whatever the binary fractions', () => {
    // 2.9 - 0.9 is 2 and 2.3 - 0.3 is 1.9999999999999998 in binary.
    for (const [limitKw, backgroundKw] of [
      [2.9, 0.9],
      [2.3, 0.3],
      [2, 0],
      [5.1, 3.1],
    ] as const)
      expect(fit('kettle', { limitKw, backgroundKw })).toMatchObject({ fits: true, fromGridKw: 0 })
    expect(fit('kettle', { limitKw: 2.799, backgroundKw: 0.8 })).toMatchObject({
      fits: false,
      fromGridKw: 0.001,
    })
  })
  it('without a limit everything fits', () => {
    const fits = besideBackground(room({ limitKw: Infinity }))
    expect(fits).toHaveLength(15)
    for (const each of fits) {
      expect(each).toMatchObject({ fits: true, fromGridKw: 0 })
      expect(each.cycleKwh).toBeCloseTo(cycleKwh(each.appliance) / 0.95, 9)
    }
  })
  it('under the background load nothing is left, and everything draws all of its power from the grid', () => {
    const tight = room({ limitKw: 3.6, backgroundKw: 4 })
    expect(leftKw(tight)).toBe(0)
    expect(overKw(tight)).toBe(0.4)
    for (const each of besideBackground(tight))
      expect(each).toMatchObject({ fits: false, fromGridKw: each.kw, cycleKwh: 0 })
  })
  it('a washing machine fits by its heater, not by its mean', () => {
    expect(fit('washingMachine', { limitKw: 2, backgroundKw: 0.5 })).toMatchObject({
      fits: false,
      fromGridKw: 0.556,
    })
    expect(fit('washingMachine', { limitKw: 2.556, backgroundKw: 0.5 }).fits).toBe(true)
  })
})

describe('the energy above the reserve', () => {
  it('is enough for a cycle, to the last watt-hour, or not', () => {
    const cycle = (2.5 * 1) / 0.95
    expect(fit('tumbleDryer', { aboveReserveKwh: cycle }).enough).toBe(true)
    expect(fit('tumbleDryer', { aboveReserveKwh: cycle - 0.001 }).enough).toBe(false)
    expect(fit('tumbleDryer').enough).toBeNull()
  })
})

it('what the grid gives and what the battery gives are the whole, for any limit', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0, max: 20, noNaN: true }),
      fc.double({ min: 0, max: 20, noNaN: true }),
      (limitKw, backgroundKw) => {
        for (const each of besideBackground(room({ limitKw, backgroundKw }))) {
          // The inverter gives at most its limit; the rest of background and appliance comes from the grid.
          const grid = Math.max(0, backgroundKw + each.kw - limitKw)
          const already = Math.max(0, backgroundKw - limitKw)
          expect(each.fromGridKw).toBeCloseTo(grid - already, 5)
          expect(each.fits).toBe(each.fromGridKw === 0)
          expect(each.cycleKwh * 0.95).toBeLessThanOrEqual(cycleKwh(each.appliance) + 1e-9)
        }
      },
    ),
  )
})
