// When nobody can touch the inverter (model §5), a reading that is older than now, and a hold that is on
// already: moved by hand from the worked example, whose hold is 16:28:36.

import { describe, expect, it } from 'vitest'
import { MINUTE, SECOND, clock, given, planned, plannedEvent, span } from './given.ts'

const withinASecond = (actual: number | null, expected: number) =>
  expect(Math.abs((actual ?? NaN) - expected)).toBeLessThan(SECOND)

describe('[H13] out of reach', () => {
  it('moves the hold to the last instant in reach before it', () => {
    const event = plannedEvent(given({ outOfReach: [span('16:00-17:00')] }))
    withinASecond(event.holdBy, clock('16:00'))
    // Held 28.6 minutes early at 0.8421 kW: that much more than the margin is left.
    expect(event.marginLeftKwh).toBeCloseTo(5.28 - (3 * 0.8) / 0.95 - 0.96 - 0.912281, 4)
  })
  it('moves it over intervals that touch', () => {
    const outOfReach = [span('16:00-17:00'), span('15:10-16:00')]
    withinASecond(plannedEvent(given({ outOfReach })).holdBy, clock('15:10'))
  })
  it('leaves a hold in reach as it is', () => {
    const outOfReach = [span('13:30-16:00'), span('16:40-17:00')]
    withinASecond(plannedEvent(given({ outOfReach })).holdBy, clock('16:28:36'))
  })
  it('moves the release, and the cover and the reserve grow', () => {
    const event = plannedEvent(given({ outOfReach: [span('17:20-17:45')] }))
    withinASecond(event.releaseAt, clock('17:20'))
    expect(event.needKwh).toBeCloseTo((0.8 * 70) / 60 / 0.95, 4)
    // The load is the same before and in the cover: five minutes more of it, five minutes earlier.
    withinASecond(event.holdBy, clock('16:23:36'))
  })
  it('says when no instant remains', () => {
    const { cautions } = planned(given({ outOfReach: [span('12:00-18:00')] }))
    expect(cautions).toContainEqual({ kind: 'nobody-in-reach', event: 0 })
  })
})

describe('a reading older than now', () => {
  it('is walked forward: two hours later the hold is the same', () => {
    const event = plannedEvent(
      given({ now: clock('15:00'), reading: { at: clock('13:00'), socPct: 55 } }),
    )
    withinASecond(event.holdBy, clock('16:28:36'))
  })
  it('[H14] stands still from the hold on', () => {
    const event = plannedEvent(
      given({
        now: clock('16:00'),
        reading: { at: clock('13:00'), socPct: 55 },
        heldSince: clock('14:00'),
      }),
    )
    expect(event.marginLeftKwh).toBeCloseTo(5.28 - 0.8 / 0.95 - 0.96 - 0.912281, 5)
  })
})

it('[H4] an event that has begun is covered from now', () => {
  const event = plannedEvent(given({ now: clock('18:00') }))
  expect(event.releaseAt).toBe(clock('18:00'))
  expect(event.needKwh).toBeCloseTo((0.8 * 30) / 60 / 0.95, 9)
  expect(event.verdict).toBe('no-hold')
})

it('[H6] a margin in hours is that long of the event’s own mean load', () => {
  const { reserveKwh, needKwh } = plannedEvent(
    given({
      margin: { hours: 0.5 },
      load: [
        { start: clock('00:00'), kw: 0.8 },
        { start: clock('18:00'), kw: 1.6 },
      ],
    }),
  )
  expect(reserveKwh - needKwh - 0.96).toBeCloseTo((0.5 * 1.2) / 0.95, 9)
})

it('the lead is minutes before the start', () => {
  const { releaseAt } = plannedEvent(given({ releaseLeadMinutes: 17 }))
  expect(releaseAt).toBe(clock('17:30') - 17 * MINUTE)
})
