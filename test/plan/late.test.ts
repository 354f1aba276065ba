// The hold is the latest: a minute later, the simulation no longer has the reserve; what is said when no
// hold is early enough; and top-ups. The simulation takes minutes at constant power, where its lines are exact.

import * as fc from 'fast-check'
import { describe, expect, it, vi } from 'vitest'
import { follow } from './follow.ts'
import { HOUR, MINUTE, SECOND, floorKwh, plannedEvent } from './given.ts'
import { batteries, chargeWindows, instances, seeded, sun, tenths, withTaper } from './instances.ts'
import { simulate } from './simulate.ts'

// Other work may share the machine; alone each of these takes under five seconds.
vi.setConfig({ testTimeout: 60_000 })

const withWindows = (battery = batteries()) => instances({ battery, topUpWindows: chargeWindows })

describe('[H8] a minute after the hold', () => {
  it.each([
    ['no sun', instances()],
    ['sun', instances({ solar: sun })],
  ])('%s: the reserve is broken', (_name, inputs) => {
    let strict = 0
    fc.assert(
      fc.property(inputs, (input) => {
        const event = plannedEvent(input)
        const { verdict, holdBy, releaseAt, reserveKwh } = event
        fc.pre(verdict === 'hold' && holdBy !== null && holdBy + MINUTE <= releaseAt)
        // A reserve that even a full battery loses by standing still cannot be there.
        const lossKwh = (input.battery.standbyKw * (releaseAt - input.now)) / HOUR
        fc.pre(reserveKwh + lossKwh <= input.battery.capacityKwh)
        const [inTime] = follow(input, { events: [event] }, 0, MINUTE)
        const [late] = follow(input, { events: [event] }, MINUTE, MINUTE)
        // Without a net load right after the hold, or with a full battery by the release, a minute costs nothing.
        const usedKwh = inTime!.atReleaseKwh - late!.atReleaseKwh
        expect(inTime!.atReleaseKwh).toBeGreaterThan(reserveKwh - 1e-6)
        if (usedKwh < 1e-6) return
        strict += 1
        const brokenKwh = Math.max(
          reserveKwh - late!.atReleaseKwh,
          floorKwh(input.battery) - late!.lowestBeforeKwh,
        )
        expect(brokenKwh).toBeGreaterThan(0)
      }),
      seeded(200),
    )
    expect(strict).toBeGreaterThan(50)
  })
})

describe('[H9] too late even now', () => {
  // Always some load: a floor reached while nothing is drawn would be no shortfall yet.
  const low = instances().chain((input) =>
    tenths(0, 40).map((socPct) => ({
      ...input,
      reading: { ...input.reading, socPct },
      load: input.load.map(({ start, kw }) => ({ start, kw: kw + 0.1 })),
    })),
  )

  it('says when the battery is empty, how much is missing, and the load that would last', () => {
    let shorts = 0
    fc.assert(
      fc.property(low, (input) => {
        const event = plannedEvent(input)
        const { short, releaseAt, end, needKwh } = event
        if (event.verdict !== 'short') expect(short).toBeNull()
        if (short === null) return
        shorts += 1
        const [came] = follow(input, { events: [{ ...event, holdBy: input.now }] }, 0, MINUTE)
        const floor = floorKwh(input.battery)

        expect(Math.abs(short.coveredUntil - (came!.emptyAt ?? NaN))).toBeLessThan(2 * SECOND)
        expect(short.kwh).toBeCloseTo(needKwh - (came!.atReleaseKwh - floor), 6)

        const lasting = simulate({
          input: { ...input, load: [{ start: releaseAt, kw: short.loadKw }] },
          from: releaseAt,
          until: end,
          startKwh: came!.atReleaseKwh,
          legs: [{ from: releaseAt, mode: 'run' }],
        })
        if (short.loadKw > 0) {
          expect(lasting.energyKwh).toBeCloseTo(floor, 6)
          expect(lasting.unservedKwh).toBeLessThan(1e-6)
        }
      }),
      seeded(200),
    )
    expect(shorts).toBeGreaterThan(50)
  })
})

describe('[H11] with a charge window', () => {
  it.each([
    ['constant power', withWindows(), 1e-5, MINUTE],
    ['a taper', withWindows(batteries().chain(withTaper)), 2e-3, SECOND],
  ])(
    '%s: the top-up lies in it and reaches the reserve, no more',
    (_name, arbitrary, tolerance, stepMs) => {
      let topUps = 0
      fc.assert(
        fc.property(arbitrary, (input) => {
          const event = plannedEvent(input)
          const { topUp, verdict, reserveKwh, releaseAt } = event
          const [came] = follow(input, { events: [event] }, 0, stepMs)
          if (verdict !== 'short') expect(came!.unservedKwh).toBeLessThan(tolerance)
          // A reserve that even a full battery loses by standing still cannot be there.
          const lossKwh = (input.battery.standbyKw * (releaseAt - input.now)) / HOUR
          if (verdict === 'hold' && reserveKwh + lossKwh <= input.battery.capacityKwh)
            expect(came!.atReleaseKwh).toBeGreaterThan(reserveKwh - tolerance)
          if (topUp === null) return
          topUps += 1
          const inside = input.topUpWindows.some(
            ({ start, end }) => topUp.from >= start - 1 && topUp.until <= end + 1,
          )
          expect(inside).toBe(true)
          expect(topUp.from).toBeGreaterThanOrEqual(input.now)
          expect(came!.atReleaseKwh).toBeLessThan(reserveKwh + tolerance)
        }),
        seeded(200),
      )
      expect(topUps).toBeGreaterThan(50)
    },
  )

  it('is never an earlier hold than without one', () => {
    fc.assert(
      fc.property(withWindows(), (input) => {
        const release = plannedEvent(input).releaseAt
        const withWindow = plannedEvent(input).holdBy ?? release
        const without = plannedEvent({ ...input, topUpWindows: [] }).holdBy ?? release
        expect(withWindow).toBeGreaterThanOrEqual(without - 1)
      }),
      seeded(200),
    )
  })
})
