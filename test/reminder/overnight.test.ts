// A charge by hand the night before (R18), lived through. Times in Halifax; the event is on Friday 15 January 2027.

import { describe, expect, it } from 'vitest'
import { EVERY_DAY } from '../../src/schedule/index.ts'
import { type Settings, adviceFor, plannedEvent } from '../../src/reminder/index.ts'
import { House, at, clock, empty, settings } from './house.ts'

const FRIDAY = '2027-01-15'
const night = { days: EVERY_DAY, from: '23:00', until: '07:00' }
const willing: Settings = {
  ...settings,
  battery: { ...settings.battery, maxChargeKw: 3 },
  topUpWindows: [night],
  people: [{ name: 'Rowan', away: [], absences: [], quiet: { from: '22:30', until: '06:30' } }],
  unitRates: { currency: 'CAD', perKwh: 0.2, bands: [{ ...night, perKwh: 0.1 }] },
}

function evening(given: Partial<Settings> = {}): House {
  const house = new House({ ...empty, settings: { ...willing, ...given } }, at('13:00'))
  house.do({ type: 'reading', at: house.now, socPct: 40 })
  house.do({ type: 'announce', start: at('17:30', FRIDAY), end: at('20:30', FRIDAY) })
  return house.until(at('21:15'))
}
function asked(given: Partial<Settings> = {}): House {
  const house = evening(given)
  house.do({ type: 'reading', at: house.now, socPct: 20 })
  return house.until(at('22:10'))
}
const said = (house: House) =>
  house.household.messages.map(({ text }) => text.replaceAll('\u00a0', ' '))
const sent = (house: House, kind: string) =>
  house.household.messages.filter((message) => message.reminderKey?.startsWith(`${kind}-`))

describe('[R18] a charge by hand the night before', () => {
  it('[R14] is planned from a reading of the evening', () => {
    expect(evening().times('reading')).toEqual(['21:00'])
  })

  it('is asked for before bed, once more, with percentage, latest start and cost', () => {
    const house = asked()
    expect(house.times('overnight')).toEqual(['21:30', '21:50'])
    const text = sent(house, 'overnight')[0]!.text.replaceAll('\u00a0', ' ')
    // By hand: the reserve is 0.8 kW * 3 h 5 min / 0.95 + 5 % and 10 % of 9.6 kWh = 4.037 kWh = 42.05 %; at 21:15 20 %, at
    // the floor of 0.96 kWh from about 22:22 on. 3.077 kWh at 3 kW * 0.95 take 64.8 min; 3.239 kWh from the grid at 0.10.
    expect(text).toContain(
      'Tonight from 05:55 at the latest until 07:00: charge the battery from the grid to 43 %',
    )
    expect(text).toContain('about 3.24 kWh from the grid, about CA$0.32')
    expect(text).toContain('Do not charge it below 0 °C')
  })

  it('considers the taper: a slower end begins sooner', () => {
    const taper = { fromPct: 20, toKw: 0.5 }
    const house = asked({ battery: { ...willing.battery, taper } })
    const { topUp } = plannedEvent(house.household, 'e1')!
    expect(clock(topUp!.from) < '05:55').toBe(true)
    // The closed form of the taper (H2) is the planner's; here only that the reserve is reached.
    expect(topUp!.kwh).toBeCloseTo(3.0768, 3)
  })

  it('is counted on once it is set: the hold comes after it, and nothing is charged twice', () => {
    const house = asked()
    house.do({ type: 'acknowledge', key: house.reminder('overnight').key, by: 'chat' })
    expect(house.last()).toContain('I count on it being charged by 07:00.')
    const plan = plannedEvent(house.household, 'e1')!
    expect(plan.topUp).toBe(null)
    expect(clock(plan.holdBy!)).toBe('07:00')
    house.until(at('07:00', FRIDAY))
    expect(house.times('hold')[0]).toBe('06:50')
    house.do({ type: 'acknowledge', key: house.reminder('hold').key, by: 'chat' })
    house.until(at('17:24', FRIDAY))
    expect(house.times('release')).toEqual(['17:23'])
  })

  it('asks for no hold, and no look, while the charge would come first', () => {
    const house = asked().until(at('06:59', FRIDAY))
    expect(house.times('hold')).toEqual([])
    expect(house.times('reading')).toEqual(['21:00'])
  })

  it('is not counted on when nobody answered', () => {
    const house = asked().until(at('07:01', FRIDAY))
    expect(said(house).some((text) => text.includes('I do not count on it'))).toBe(true)
    expect(plannedEvent(house.household, 'e1')!.topUp).toBe(null)
    expect(house.household.reminders.find(({ kind }) => kind === 'overnight')!.state).toBe('lapsed')
  })

  it('[R8] "not yet" takes it back', () => {
    const house = asked()
    const { key } = house.reminder('overnight')
    house.do({ type: 'acknowledge', key, by: 'chat' })
    house.do({ type: 'reopen', key })
    expect(plannedEvent(house.household, 'e1')!.topUp).not.toBe(null)
  })

  it('is not asked for where it is not needed', () => {
    // 0.2 kW draw 4.3 kWh until the release; more than half is left.
    const house = evening({ loadKw: 0.2 })
    house.do({ type: 'reading', at: house.now, socPct: 100 })
    expect(plannedEvent(house.household, 'e1')!.verdict).toBe('no-hold')
    house.until(at('17:24', FRIDAY))
    expect(sent(house, 'overnight')).toEqual([])
  })

  it('is not asked for where it is not allowed; that it would do is said', () => {
    const house = new House(
      { ...empty, settings: { ...willing, topUpWindows: [], people: [] } },
      at('23:30'),
    )
    house.do({ type: 'reading', at: house.now, socPct: 20 })
    house.do({ type: 'announce', start: at('08:00', FRIDAY), end: at('11:00', FRIDAY) })
    const [event] = house.household.events
    expect(plannedEvent(house.household, 'e1')!.verdict).toBe('short')
    expect(adviceFor(house.household, event!, house.now)).toEqual([
      { kind: 'top-up-would-do', hours: 'off-peak' },
    ])
    expect(said(house).join()).toContain('in the off-peak hours before it would cover it')
    house.until(at('08:30', FRIDAY))
    expect(sent(house, 'overnight')).toEqual([])
  })

  it('is not asked for where the battery charges itself and that is enough', () => {
    const house = evening({ nightCharge: { from: '00:30', until: '05:30' } })
    house.until(at('17:24', FRIDAY))
    expect(sent(house, 'overnight')).toEqual([])
    expect(plannedEvent(house.household, 'e1')!.topUp).toBe(null)
  })

  it('[R12] waking twice changes nothing', () => {
    const house = asked()
    const before = house.household
    house.do({ type: 'wake' })
    expect(house.household).toBe(before)
  })
})
