// Several events are one problem: each covered in turn when the whole plan is followed.

import * as fc from 'fast-check'
import { expect, it, vi } from 'vitest'
import { follow } from './follow.ts'
import { HOUR, MINUTE, floorKwh, given, planned, span } from './given.ts'
import { chargeWindows, eventsInRow, instances, seeded, sun } from './instances.ts'

// Other work may share the machine; alone each of these takes under five seconds.
vi.setConfig({ testTimeout: 60_000 })

it.each([
  ['no sun', instances({ events: eventsInRow(4) })],
  ['sun', instances({ events: eventsInRow(4), solar: sun })],
  ['charge windows', instances({ events: eventsInRow(3), topUpWindows: chargeWindows })],
])('%s: followed to the letter, every event that is not short is covered', (_name, inputs) => {
  let covered = 0
  fc.assert(
    fc.property(inputs, (input) => {
      const plan = planned(input)
      const came = follow(input, plan, 0, MINUTE)
      plan.events.forEach((event, i) => {
        const left = Math.max(0, came[i]!.atEndKwh - floorKwh(input.battery))
        expect(Math.abs(event.marginLeftKwh - left)).toBeLessThan(1e-5)
        if (event.verdict === 'short') return
        covered += 1
        expect(came[i]!.unservedKwh).toBeLessThan(1e-5)
        // Held from the end of the event before on, or without a gap, it may be late already: the margin gives.
        const since = plan.events[i - 1]?.end ?? input.now
        // And a reserve that even a full battery loses by standing still cannot be there.
        const lossKwh = (input.battery.standbyKw * (event.releaseAt - since)) / HOUR
        if (
          (event.holdBy ?? event.releaseAt) > since &&
          event.reserveKwh + lossKwh <= input.battery.capacityKwh
        )
          expect(came[i]!.atReleaseKwh).toBeGreaterThan(event.reserveKwh - 1e-5)
      })
    }),
    seeded(150),
  )
  expect(covered).toBeGreaterThan(50)
})

// By hand: two one-hour events, 0.8 kW, five minutes' lead each: needs 0.912281 each, margins 0.48 each.
it('[H5] [H12] the first reserve carries both needs and both margins', () => {
  const [first, second] = planned(
    given({ events: [span('17:30-18:30'), span('20:00-21:00')] }),
  ).events
  expect(second?.reserveKwh).toBeCloseTo(0.96 + 0.48 + 0.912281, 5)
  expect(first?.reserveKwh).toBeCloseTo(0.96 + 2 * (0.48 + 0.912281), 5)
  // The first margin is not used, so the battery runs on it after the first event: 0.48 / 0.8421 h.
  expect(((second?.holdBy ?? NaN) - span('17:30-18:30').end) / 3_600_000).toBeCloseTo(0.57, 5)
})

it('[H4] an event that starts while another’s lead would begin is covered from the other’s end', () => {
  const [, second] = planned(given({ events: [span('17:30-18:30'), span('18:32-19:00')] })).events
  expect(second?.needKwh).toBeCloseTo((0.8 * 30) / 60 / 0.95, 9)
})

// By hand, as above: five minutes' lead and two hours at 0.8 kW.
it('[H12] of events that touch, the first reserve carries both as well', () => {
  const events = [span('17:30-18:30'), span('18:30-19:30')]
  const [first] = planned(given({ events })).events
  expect(first?.reserveKwh).toBeCloseTo(0.96 + 2 * 0.48 + (0.8 * 125) / 60 / 0.95, 6)
})

// By hand, as above, and 0.06 kW from 17:25 to 21:00.
it('[H5] the first reserve carries the standing loss between the events', () => {
  const events = [span('17:30-18:30'), span('20:00-21:00')]
  const [first] = planned(given({ events, battery: { standbyKw: 0.06 } })).events
  const lossKwh = (0.06 * 215) / 60
  expect(first?.reserveKwh).toBeCloseTo(0.96 + 2 * (0.48 + 0.912281) + lossKwh, 5)
})
