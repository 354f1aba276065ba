// The sentences, whole, as people read them.

import { describe, expect, it } from 'vitest'
import {
  APPLIANCES,
  type ApplianceName,
  type Room,
  besideBackground,
  sayCycle,
  sayRoom,
} from '../../src/appliances/index.ts'
import { applianceWords } from '../../src/words/index.ts'

const room = (given: Partial<Room> = {}): Room => ({
  limitKw: 3.6,
  backgroundKw: 0.8,
  aboveReserveKwh: null,
  capacityKwh: 9.6,
  dischargeEfficiency: 0.95,
  ...given,
})

const of = (...names: ApplianceName[]) => APPLIANCES.filter(({ name }) => names.includes(name))

const said = (given: Partial<Room>, ...names: ApplianceName[]) =>
  sayRoom(room(given), besideBackground(room(given), of(...names))).map((line) =>
    line.replaceAll('\u00a0', ' '),
  )

describe('what fits, in words', () => {
  it('one that fits and one that does not', () => {
    expect(said({}, 'kettle', 'electricShower')).toEqual([
      'With 0.8 kW running already, the inverter’s 3.6 kW leave 2.8 kW.',
      'A kettle (2 kW) fits.',
      'An electric shower (9 kW) draws 6.2 kW from the grid, whatever is kept.',
    ])
  })
  it('several of each', () => {
    expect(said({ limitKw: 2 }, 'microwave', 'iron', 'kettle', 'hob')).toEqual([
      'With 0.8 kW running already, the inverter’s 2 kW leave 1.2 kW.',
      'An iron (1 kW) fits.',
      'These draw from the grid, whatever is kept: a kettle 0.8 kW of its 2 kW, a microwave 0.05 kW of its 1.25 kW and a hob 1.2 kW of its 2.4 kW.',
    ])
    expect(said({}, 'kettle', 'microwave', 'iron')[1]).toBe(
      'A kettle (2 kW), a microwave (1.25 kW) and an iron (1 kW) fit, one at a time.',
    )
  })
  it('nothing left', () => {
    expect(said({ backgroundKw: 3.6 }, 'kettle')).toEqual([
      'With 3.6 kW running already, the inverter’s 3.6 kW are used up: whatever else is switched on draws from the grid.',
    ])
    expect(said({ backgroundKw: 4 }, 'kettle')).toEqual([
      'With 4 kW running already, 0.4 kW over the inverter’s 3.6 kW come from the grid, whatever is kept, and so does whatever else is switched on.',
    ])
  })
  it('no limit', () => {
    expect(said({ limitKw: Infinity }, 'kettle', 'electricShower')).toEqual([
      'No limit is known for the inverter, so it is not known what fits.',
    ])
  })
  it('power enough, energy not', () => {
    expect(said({ aboveReserveKwh: 0.5 }, 'kettle', 'tumbleDryer', 'oven').at(-1)).toBe(
      'Only 0.5 kWh is left above the reserve: one go of an oven or a tumble dryer takes more.',
    )
    expect(said({ aboveReserveKwh: 0 }, 'kettle').at(-1)).toBe(
      'Nothing is left above the reserve: what is used on top comes out of the margin, and then from the grid.',
    )
    expect(said({ aboveReserveKwh: 5 }, 'kettle', 'tumbleDryer')).toHaveLength(2)
  })
  it('what one go costs', () => {
    const [kettle, dryer] = besideBackground(room(), of('kettle', 'tumbleDryer'))
    expect(sayCycle(kettle!, '3 min').replaceAll('\u00a0', ' ')).toBe(
      'A kettle, 3 min: 0.11 kWh, 1 % of the battery.',
    )
    expect(sayCycle(dryer!, '1 h').replaceAll('\u00a0', ' ')).toBe(
      'A tumble dryer, 1 h: 2.63 kWh, 27 % of the battery.',
    )
    const [heaters] = besideBackground(room({ limitKw: Infinity }), of('storageHeaters'))
    expect(sayCycle(heaters!, '6 h')).toContain('more than all of the battery')
    const [small] = besideBackground(room({ capacityKwh: 20 }), of('kettle'))
    expect(sayCycle(small!, '3 min')).toContain('under 1\u00a0% of the battery')
  })
  it('has a name for every appliance', () => {
    expect(Object.keys(applianceWords.name).toSorted()).toEqual(
      APPLIANCES.map(({ name }) => name).toSorted(),
    )
  })
})
