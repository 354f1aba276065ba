// Ledgers against examples worked by hand and outside this project.

import { describe, expect, it } from 'vitest'
import type { LedgerRow } from '../../src/ledger/index.ts'
import { format } from '../../src/words/index.ts'
import { SECOND, clock, given, ms, span, steady } from '../plan/given.ts'
import { firstOf, givenDays } from '../plan/manyDays.ts'
import { missedBy } from './calculator.ts'
import { byId, ledgerOf, ledgerOfCheapest, ledgerOfDays, lines } from './given.ts'

// The model's worked example, checked there by a one-second simulation and by hand: need 0.9123, reserve 2.3523 kWh =
// 24.50 %, hold by 16:28:36.
describe('the worked example', () => {
  const told = ledgerOf(given())
  const { need, reserve, display, spare, drain, hold, lasts } = byId(told)

  it('is told in eleven sums and two times', () => {
    expect(lines(told)).toEqual([
      '17:30 − 5 min = 17:25',
      '0.8 × 65 ÷ 60 = 0.87 kWh',
      '0.87 ÷ 0.95 = 0.91 kWh',
      '9.6 × 10 ÷ 100 = 0.96 kWh',
      '9.6 × 5 ÷ 100 = 0.48 kWh',
      '0.91 + 0.96 + 0.48 = 2.35 kWh',
      '2.35 − 0.91 − 0.96 = 0.48 kWh',
      '2.35 ÷ 9.6 × 100 = 25 %',
      '9.6 × 55 ÷ 100 = 5.28 kWh',
      '5.28 − 2.35 = 2.93 kWh',
      '0.8 ÷ 0.95 = 0.842 kW',
      '2.93 ÷ 0.842 = 3 h 28 min',
      '13:00 + 3 h 28 min = 16:28',
    ])
  })
  it('has every figure of it behind the rounded ones', () => {
    expect(need?.exact).toBeCloseTo(0.9123, 4)
    expect(reserve?.exact).toBeCloseTo(2.3523, 4)
    expect(((reserve?.exact ?? 0) / 9.6) * 100).toBeCloseTo(24.5, 2)
    expect(display?.exact).toBe(25)
    expect(spare?.exact).toBeCloseTo(5.28 - 2.3523, 4)
    expect(drain?.exact).toBeCloseTo(0.8421, 4)
    expect(lasts?.exact).toBeCloseTo(3.4767, 4)
    expect(Math.abs((hold?.exact ?? 0) - clock('16:28:36'))).toBeLessThan(0.6 * SECOND)
  })
  it('says what each row is', () => {
    expect(told.events[0]?.map((row) => row.what)).toEqual([
      'Let it run again 5 min before the start',
      'The house, 17:25–18:30, 0.8 kW for 1 h 5 min',
      'From the battery, of which 95 % arrives',
      'Kept for a power cut, 10 % of 9.6 kWh',
      'Margin, 5 % of 9.6 kWh',
      'Together: to have at 17:25',
      'Left above what is kept for a power cut, when the event ends',
      'On the display, rounded up',
      'Shown at 13:00, 55 % of 9.6 kWh',
      'So much may go',
      'Going each hour: the house’s 0.8 kW, through the inverter at 95 %',
      'That lasts',
      'Hold on Tue 14 Jan by',
    ])
  })
})

// Worked out with numpy, outside this project: 10 kWh, one-way efficiency 0.96 * sqrt(0.975), 1.2 kW in the event, 0.8 kW
// before it, ten per cent on the event: 1.265924 kWh, reserve 2.392517 kWh (23.925 %), 0.843949 kW drawn before.
describe('a table of states of charge at 15:00', () => {
  const at = (socPct: number) =>
    byId(
      ledgerOf(
        given({
          now: clock('15:00'),
          battery: { capacityKwh: 10, dischargeEfficiency: 0.9479240475903119 },
          reading: { at: clock('15:00'), socPct },
          load: [
            { start: clock('00:00'), kw: 0.8 },
            { start: clock('17:30'), kw: 1.2 },
          ],
          margin: { kwh: 0.1265924 },
          releaseLeadMinutes: 0,
        }),
      ),
    )

  it.each([
    [45, 2.497171, '17:29'],
    [40, 1.904722, '16:54'],
    [35, NaN, '16:18'],
    [30, NaN, '15:43'],
    [24, NaN, '15:00'],
  ])('at %i per cent, which lasts %f h, hold by %s', (socPct, hours, time) => {
    const { need, reserve, drain, lasts, hold } = at(socPct)
    expect(need?.exact).toBeCloseTo(1.265924, 6)
    expect(reserve?.exact).toBeCloseTo(2.392517, 6)
    expect(drain?.exact).toBeCloseTo(0.843949, 6)
    if (!Number.isNaN(hours)) expect(lasts?.exact).toBeCloseTo(hours, 4)
    expect(hold?.value).toBe(time)
  })
  it('at 23 %: 0.0925 kWh are lacking', () => {
    const { over, hold, left } = at(23)
    expect(over).toMatchObject({ what: 'Lacking of the reserve' })
    expect(over?.exact).toBeCloseTo(0.0925, 4)
    expect(hold).toMatchObject({ sum: '', value: '15:00' })
    expect(left?.exact).toBeCloseTo(0.034076, 5)
  })
})

// Each by hand, from the figures in the sums themselves.
describe('other cases', () => {
  it('no hold: what is there at the release is over the reserve', () => {
    const told = byId(ledgerOf(given({ reading: { at: clock('13:00'), socPct: 90 } })))
    expect(told['goes']).toMatchObject({ sum: '0.842 × 265 ÷ 60', value: '3.72' })
    expect(told['over']).toMatchObject({ sum: '4.92 − 2.35', value: '2.57' })
    expect(told['hold']).toBeUndefined()
  })
  it('short: what is missing, until when it lasts, and the load that would', () => {
    const told = byId(ledgerOf(given({ reading: { at: clock('13:00'), socPct: 15 } })))
    expect(told['missing']).toMatchObject({ sum: '0.91 + 0.96 − 1.44', value: '0.43' })
    expect(told['until']).toMatchObject({ sum: '17:25 + 34 min', value: '17:59' })
    expect(told['load']).toMatchObject({ sum: '0.48 × 60 ÷ 65 × 0.95', value: '0.42', unit: 'kW' })
  })
  it('rule of thumb: 15 % for each of two hours', () => {
    const told = byId(ledgerOf(given({ rule: { pctPerHour: 15, extraHours: 1 } })))
    expect(told['rule']).toMatchObject({ sum: '15 × 2', value: '30', unit: '%' })
    expect(told['ruleKwh']).toMatchObject({ sum: '9.6 × 30 ÷ 100', value: '2.88' })
    expect(told['margin']).toBeUndefined()
  })
  it('margin in hours of the event’s load', () => {
    const { margin } = byId(ledgerOf(given({ margin: { hours: 1 } })))
    expect(margin).toMatchObject({ sum: '0.8 ÷ 0.95 × 1', value: '0.842' })
  })
  it('over the inverter’s limit: the rest is from the grid', () => {
    const { limit, draw } = byId(ledgerOf(given({ load: steady(5) })))
    expect(limit).toMatchObject({ sum: '5 − 3.6', value: '1.40', unit: 'kW' })
    expect(draw?.sum).toBe('3.6 × 65 ÷ 60')
  })
  it('a load in steps: its mean, 35 minutes at 1.1 and 30 at 0.7 kW', () => {
    const load = [
      { start: clock('00:00'), kw: 0.5 },
      { start: clock('16:00'), kw: 1.1 },
      { start: clock('18:00'), kw: 0.7 },
    ]
    const { draw, drain, hold } = byId(ledgerOf(given({ load })))
    expect(draw?.what).toMatch(/on average 0\.915 kW for 1 h 5 min/)
    expect(draw?.exact).toBeCloseTo((1.1 * 35 + 0.7 * 30) / 60, 9)
    expect(drain?.what).toMatch(/on average/)
    expect(hold?.sum).toMatch(/^13:00 \+ 4 h/)
  })
  it('several events: the first keeps for the second', () => {
    const events = [span('15:00-16:00'), span('17:30-18:30')]
    const told = ledgerOf(given({ events, reading: { at: clock('13:00'), socPct: 45 } }))
    const [first, second] = [byId(told), byId(told, 1)]
    expect(first['later']?.what).toBe('What the event at 17:30 and any after it ask for')
    expect(first['later']?.exact).toBeCloseTo(2.3523 - 0.96, 4)
    expect(second['stored']?.what).toBe('Expected at 16:00, after the event before')
  })
  it('more than it holds: all that is asked for, and what there can be', () => {
    const { asked, reserve } = byId(
      ledgerOf(given({ events: [span('14:00-24:00')], load: steady(2) })),
    )
    expect(asked?.exact).toBeCloseTo((2 * 10.0833333) / 0.95 + 0.96 + 0.48, 5)
    expect(reserve).toMatchObject({ sum: '', value: '9.6' })
  })
  it('a top-up: 3 kW until the window ends, 95 % of it stored', () => {
    const input = given({
      battery: { maxChargeKw: 3 },
      reading: { at: clock('13:00'), socPct: 20 },
      events: [span('17:30-21:30')],
      topUpWindows: [span('15:00-16:30')],
    })
    const { topUp, keep } = byId(ledgerOf(input))
    expect(topUp?.what).toBe('Charged 15:07–16:30 at 3 kW, of which 95 % is stored')
    expect(topUp?.sum).toMatch(/^3 × 82\.\d+ ÷ 60 × 0\.95$/)
    // It needs 0.8 kW for 4 h 5 min and 0.48 of margin, and is held at the floor.
    expect(topUp?.exact).toBeCloseTo((0.8 * 245) / 60 / 0.95 + 0.48, 4)
    expect(keep?.exact).toBeCloseTo(0.96, 4)
  })
  it('held already: since when, and what stays', () => {
    const told = byId(
      ledgerOf(given({ heldSince: clock('12:30'), reading: { at: clock('12:00'), socPct: 55 } })),
    )
    expect(told['hold']).toMatchObject({ what: 'Held since', value: '12:30' })
    expect(told['carried']?.exact).toBeCloseTo(5.28 - 0.8 / 0.95 / 2, 5)
  })
  it('out of reach: what is there at an earlier hold, over the reserve', () => {
    const told = byId(ledgerOf(given({ outOfReach: [span('15:00-17:00')] })))
    expect(told['hold']).toMatchObject({ value: '14:59' })
    expect(told['over']?.exact).toBeCloseTo(5.28 - (0.8 / 0.95) * 2 - 2.3523, 3)
  })
  it('the cheapest hold: it keeps through a cheap hour for a dear one', () => {
    const rates = [
      { start: clock('00:00'), perKwh: 0.1 },
      { start: clock('16:00'), perKwh: 0.5 },
    ]
    const input = given({ reading: { at: clock('13:00'), socPct: 50 } })
    const told = ledgerOfCheapest(input, rates)
    const rows = byId(told)
    expect(told.plan.notCheapest).toBeNull()
    expect(rows['hold']?.what).toMatch(/costs least/)
    expect(rows['release']?.value).toBe('17:25')
    expect(rows['over']?.what).toBe('Over the reserve at the hold')
  })
  // RFC 5545's examples have the rule: New York's clocks go from 02:00 to 03:00 on the second Sunday in March.
  it('the clocks go forward between the reading and the hold: a term of its own', () => {
    const at = (text: string) => ms(Date.parse(text))
    const input = given({
      now: at('2027-03-13T20:00:00-05:00'),
      reading: { at: at('2027-03-13T20:00:00-05:00'), socPct: 85 },
      load: [{ start: at('2027-03-13T20:00:00-05:00'), kw: 0.5 }],
      events: [{ start: at('2027-03-14T09:00:00-04:00'), end: at('2027-03-14T10:00:00-04:00') }],
    })
    const told = ledgerOf(input, format('en', 'America/New_York'))
    const { hold } = byId(told)
    expect(hold?.sum).toMatch(/^20:00 \+ \d+ h \d+ min \+ 1 h$/)
    expect(missedBy(hold as LedgerRow)).toBeLessThanOrEqual(1)
  })
})

describe('past days', () => {
  const day = (kw: number) => steady(kw)
  // 40 days of 0.5 to 1.28 kW by steps of 0.02: with 90 % the 4th earliest hold is that of the 4th largest load, 1.22 kW.
  const input = givenDays({
    days: Array.from({ length: 40 }, (_, i) => day(0.5 + 0.02 * i)),
    reading: { at: clock('13:00'), socPct: 75 },
  })
  const told = byId(ledgerOfDays(input))

  it('says which day decides, and of how many', () => {
    expect(told['rank']).toMatchObject({ sum: '41 × 0.1', value: '4' })
    expect(told['draw']?.what).toMatch(/on the past day with the 4th most, on average 1\.22 kW/)
    expect(told['covered']?.what).toBe('Played back, early enough on 36 of 40 past days')
    expect(told['covered']).toMatchObject({ sum: '36 ÷ 40 × 100', value: '90' })
  })
  it('works that day’s hold out', () => {
    const reserve = (1.22 * 65) / 60 / 0.95 + 0.96
    const hours = (7.2 - reserve) / (1.22 / 0.95)
    expect(told['reserve']?.exact).toBeCloseTo(reserve, 9)
    expect(told['lasts']?.exact).toBeCloseTo(hours, 5)
    expect(told['hold']?.exact).toBe(firstOf(input).holdBy)
    expect(told['hold']?.sum).toMatch(/^13:00 \+/)
  })
  it('with too few days keeps the earliest and the margin', () => {
    const few = byId(ledgerOfDays(givenDays({ days: [day(0.8), day(0.6)] })))
    expect(few['rank']).toMatchObject({ value: '0' })
    expect(few['rank']?.what).toMatch(/that is none, so the earliest counts, and the margin/)
    expect(few['margin']).toMatchObject({ sum: '9.6 × 5 ÷ 100', value: '0.48' })
  })
})
