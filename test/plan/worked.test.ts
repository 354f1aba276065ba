// Examples worked by hand, each with the source of its numbers.

import { describe, expect, it } from 'vitest'
import { HOUR, SECOND, clock, given, planned, plannedEvent, span, steady } from './given.ts'

const toTheSecond = (expected: number, actual: number | null) =>
  expect(Math.abs((actual ?? NaN) - expected)).toBeLessThan(0.6 * SECOND)

describe('[H4] [H5] [H8] a one-hour event, steady load (by hand: need, reserve and hold in four divisions)', () => {
  const event = plannedEvent(given())

  it('takes 0.8 kW for 65 minutes at 95 % from the store', () => {
    expect(event.needKwh).toBeCloseTo((0.8 * 65) / 60 / 0.95, 9)
  })
  it('keeps floor, margin and need: 24.50 % of 9.6 kWh', () => {
    expect(event.reserveKwh).toBeCloseTo(0.96 + 0.48 + 0.912281, 5)
    expect(event.reservePct).toBeCloseTo(24.5, 2)
  })
  it('holds by 16:28:36, or when the display shows 25 %', () => {
    expect(event.verdict).toBe('hold')
    toTheSecond(clock('16:28:36'), event.holdBy)
    expect(event.holdAtPct).toBe(25)
  })
  it('releases five minutes before the start and ends with the margin', () => {
    expect(event.releaseAt).toBe(clock('17:25'))
    expect(event.marginLeftKwh).toBeCloseTo(0.48, 9)
    expect(event.short).toBeNull()
  })
})

describe("[H7] the household's rule of thumb (15 % an hour, one hour extra: common practice, no source)", () => {
  const rule = { pctPerHour: 15, extraHours: 1 }
  const reserve = (events: string, outageReservePct = 10, pctPerHour = 15) =>
    plannedEvent(
      given({
        rule: { ...rule, pctPerHour },
        events: [span(events)],
        battery: { outageReservePct },
      }),
    ).reservePct

  it('keeps 30 % for one hour and 45 % for two', () => {
    expect(reserve('17:30-18:30')).toBeCloseTo(30, 9)
    expect(reserve('17:30-19:30')).toBeCloseTo(45, 9)
  })
  it('never goes under the outage reserve nor over a full battery', () => {
    expect(reserve('17:30-18:30', 40)).toBeCloseTo(40, 9)
    expect(reserve('17:30-18:30', 10, 60)).toBeCloseTo(100, 9)
  })
})

const atThreeOclock = (socPct: number) =>
  plannedEvent(
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
  )

// Worked out with numpy, outside this project: 10 kWh, one-way efficiency 0.96 * sqrt(0.975) (the
// default of a published open energy model), 1.2 kW in the event, 0.8 kW before it, ten per cent on the event.
describe('[H8] [H10] a table of states of charge at 15:00', () => {
  it('keeps 2.392517 kWh, 23.925 %, shown as 24 %', () => {
    const { needKwh, reserveKwh, reservePct, holdAtPct } = atThreeOclock(40)
    expect(needKwh).toBeCloseTo(1.265924, 6)
    expect(reserveKwh).toBeCloseTo(2.392517, 6)
    expect(reservePct).toBeCloseTo(23.925, 3)
    expect(holdAtPct).toBe(24)
  })
  it.each([
    [45, '17:29:49'],
    [40, '16:54:16'],
    [35, '16:18:44'],
    [30, '15:43:11'],
    [24, '15:00:31'],
  ])('at %i %% holds by %s', (socPct, time) => {
    const { verdict, holdBy } = atThreeOclock(socPct)
    expect(verdict).toBe('hold')
    expect(Math.floor(((holdBy ?? NaN) - clock('00:00')) / SECOND)).toBe(
      (clock(time) - clock('00:00')) / SECOND,
    )
  })
  it('[H9] at 23 % is 0.0925 kWh under the reserve: hold now, some of the margin is left', () => {
    const { verdict, reserveKwh, marginLeftKwh, holdBy } = atThreeOclock(23)
    expect(verdict).toBe('hold-now')
    expect(holdBy).toBe(clock('15:00'))
    expect(reserveKwh - 2.3).toBeCloseTo(0.0925, 4)
    expect(marginLeftKwh).toBeCloseTo(0.034076, 5)
  })
})

// Worked out outside this project: power falling linearly from P at s0 to kP when full takes
// E(1-s0) / (P eta (1-k)) * ln(1/k); 10 kWh, 2.5 kW, eta 0.95, k 0.1.
describe('[H2] [H11] a top-up takes as long as its taper', () => {
  it.each([
    ['from 90 % to full, taper from 90 %', 90, 90, 10, 1.077233],
    ['from 95 % to full, taper from 95 %', 95, 95, 10, 0.538616],
    ['from 20 % to 90 % at constant power', 20, 90, 9, 2.947368],
  ])('%s', (_name, socPct, fromPct, targetKwh, hours) => {
    const eventKwh = 1 / 0.95
    const { topUp, reserveKwh } = plannedEvent(
      given({
        battery: {
          capacityKwh: 10,
          outageReservePct: 0,
          maxChargeKw: 2.5,
          taper: { fromPct, toKw: 0.25 },
        },
        reading: { at: clock('13:00'), socPct },
        load: [
          { start: clock('00:00'), kw: 0 },
          { start: clock('17:30'), kw: 1 },
        ],
        margin: { kwh: targetKwh - eventKwh - 1e-9 },
        releaseLeadMinutes: 0,
        topUpWindows: [span('13:00-17:30')],
      }),
    )
    expect(reserveKwh).toBeCloseTo(targetKwh, 8)
    expect(topUp?.until).toBe(clock('17:30'))
    expect(((topUp?.until ?? NaN) - (topUp?.from ?? NaN)) / HOUR).toBeCloseTo(hours, 5)
    expect(topUp?.kwh).toBeCloseTo(targetKwh - socPct / 10, 6)
  })
})

describe('[H1] an event whose load is over the inverter’s limit', () => {
  const input = given({ load: steady(5) })

  it('counts only what the inverter can give, and says so', () => {
    expect(plannedEvent(input).needKwh).toBeCloseTo((3.6 * 65) / 60 / 0.95, 9)
    expect(planned(input).cautions).toContainEqual({
      kind: 'load-over-limit',
      loadKw: 5,
      limitKw: 3.6,
    })
  })
})
