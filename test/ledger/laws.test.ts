// Whoever redoes the arithmetic of a ledger with the printed figures gets the printed results, whatever the household.

import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { LedgerRow } from '../../src/ledger/index.ts'
import type { PlanInput } from '../../src/plan/index.ts'
import { planHolds } from '../../src/plan/index.ts'
import { HOUR, clock, ms, span } from '../plan/given.ts'
import {
  batteries,
  chargeWindows,
  eventsInRow,
  hundredths,
  instances,
  seeded,
  sun,
  tenths,
  withTaper,
} from '../plan/instances.ts'
import { givenDays, halfHoursOf } from '../plan/manyDays.ts'
import { missedBy } from './calculator.ts'
import { type Told, ledgerOf, ledgerOfCheapest, ledgerOfDays } from './given.ts'

const steadyLoads = hundredths(0.05, 4).map((kw) => [{ start: clock('00:00'), kw }])

const rules = fc.option(
  fc.record({ pctPerHour: fc.integer({ min: 0, max: 40 }), extraHours: tenths(0, 2) }),
)

/** More about a household than the planner's own instances: a rule, a hold already made, hands away, an older reading. */
const more = (base: fc.Arbitrary<PlanInput>): fc.Arbitrary<PlanInput> =>
  fc
    .record({
      base,
      rule: rules,
      readMinutes: fc.constantFrom(0, 0, 7, 95),
      held: fc.constantFrom(null, null, 30),
      away: fc.constantFrom([], [span('15:00-17:00')], [span('13:00-23:00')]),
      hours: fc.option(tenths(0, 2)),
    })
    .map(({ base: input, rule, readMinutes, held, away, hours }) => ({
      ...input,
      rule,
      reading: { ...input.reading, at: ms(input.now - readMinutes * 60_000) },
      heldSince: held === null ? null : ms(input.now - held * 60_000),
      outOfReach: away,
      margin: hours === null ? input.margin : { hours },
    }))

/** A sum comes out within its last digit, and figures are written as they can be keyed in. */
function comesOut(told: Told): void {
  for (const rows of told.events)
    for (const row of rows) {
      const missed = missedBy(row)
      if (missed !== null && missed > 1.01)
        throw new Error(
          `${row.id}: ${row.sum} is not ${row.value}: ${JSON.stringify(rows, null, 1)}`,
        )
      expect(row.sum + row.value).toMatch(/^[-0-9.:+−×÷ hmin]*$/)
    }
}

const ids = (rows: readonly LedgerRow[]) => rows.map((row) => row.id)

describe('redone with the figures as printed, every sum comes out', () => {
  it.each<[string, fc.Arbitrary<PlanInput>]>([
    ['one event, a steady load', instances({ load: steadyLoads })],
    ['one event, half-hours', instances()],
    ['sun', instances({ solar: sun })],
    ['several events', instances({ events: eventsInRow(4) })],
    ['top-up', instances({ topUpWindows: chargeWindows, battery: batteries().chain(withTaper) })],
    [
      'all of it',
      more(instances({ events: eventsInRow(3), solar: sun, topUpWindows: chargeWindows })),
    ],
    ['a rule, a hold already made, hands away', more(instances({ load: steadyLoads }))],
  ])('%s', (_name, inputs) => {
    fc.assert(
      fc.property(inputs, (input) => {
        fc.pre(planHolds(input).ok)
        comesOut(ledgerOf(input))
      }),
      seeded(300),
    )
  })

  it('past days', () => {
    const days = fc.array(fc.array(tenths(0, 3), { minLength: 24, maxLength: 24 }), {
      minLength: 1,
      maxLength: 30,
    })
    fc.assert(
      fc.property(
        fc.record({
          days,
          battery: batteries(),
          socPct: tenths(5, 100),
          maxReadings: fc.constantFrom(0, 2),
          confidence: fc.constantFrom(0.8, 0.9, 0.95),
          events: fc.oneof(fc.constant([span('17:30-18:30')]), eventsInRow(2)),
          rule: rules,
        }),
        ({ days: kw, socPct, ...rest }) => {
          const reading = { at: clock('13:00'), socPct }
          comesOut(ledgerOfDays(givenDays({ ...rest, reading, days: kw.map(halfHoursOf) })))
        },
      ),
      seeded(100),
    )
  })

  it('the cheapest hold', () => {
    let severalHolds = false
    const rates = fc.array(tenths(0.1, 0.9), { minLength: 10, maxLength: 10 })
    fc.assert(
      fc.property(instances(), rates, fc.constantFrom(2, 4), (input, perKwh, maxActions) => {
        const steps = perKwh.map((price, i) => ({
          start: ms(clock('13:00') + i * HOUR),
          perKwh: price,
        }))
        const told = ledgerOfCheapest(input, steps, maxActions)
        comesOut(told)
        const ends = told.events[0]?.filter((row) => row.id === 'holdEnds').length ?? 0
        severalHolds ||= ends > 1
      }),
      seeded(100),
    )
    expect(severalHolds).toBe(true)
  })
})

describe('what a ledger is about', () => {
  it('gives the plan’s own figures, and an arithmetic for each on a plain evening', () => {
    let holds = 0
    fc.assert(
      fc.property(instances({ load: steadyLoads }), (input) => {
        const { plan, events } = ledgerOf(input)
        const [rows = []] = events
        const [event] = plan.events
        const exact = (id: string) => rows.find((row) => row.id === id)?.exact
        expect(exact('need')).toBe(event?.needKwh)
        expect(exact('reserve')).toBe(event?.reserveKwh)
        expect(exact('display')).toBe(event?.holdAtPct)
        expect(exact('release') ?? event?.releaseAt).toBe(event?.releaseAt)
        if (event?.verdict !== 'hold') return
        holds++
        expect(exact('hold')).toBe(event.holdBy)
        expect(ids(rows).slice(-3)).toEqual(['drain', 'lasts', 'hold'])
        const given = rows.filter((row) => row.sum === '' && row.id !== 'margin')
        expect(ids(given).filter((id) => id !== 'release' && id !== 'reserve')).toEqual([])
      }),
      seeded(600),
    )
    expect(holds).toBeGreaterThan(50)
  })

  it('tells every figure of the plan, whatever the verdict', () => {
    const seen = new Set<string>()
    const inputs = more(instances({ events: eventsInRow(2), topUpWindows: chargeWindows }))
    fc.assert(
      fc.property(inputs, (input) => {
        fc.pre(planHolds(input).ok)
        const { plan, events } = ledgerOf(input)
        plan.events.forEach((event, i) => {
          const exact = (id: string) => events[i]?.find((row) => row.id === id)?.exact ?? null
          seen.add(event.verdict)
          expect(exact('need')).toBe(event.needKwh)
          expect(exact('reserve')).toBe(event.reserveKwh)
          expect(exact('display')).toBe(event.holdAtPct)
          expect(exact('missing')).toBe(event.short?.kwh ?? null)
          expect(exact('until')).toBe(event.short?.coveredUntil ?? null)
          expect(exact('load')).toBe(event.short?.loadKw ?? null)
          if (event.short === null) expect(exact('left')).toBe(event.marginLeftKwh)
          if (event.topUp !== null && event.topUp.until > event.topUp.from)
            expect(exact('topUp')).toBe(event.topUp.kwh)
          if (input.heldSince === null || i > 0) expect(exact('hold')).toBe(event.holdBy)
        })
      }),
      seeded(300),
    )
    expect([...seen].toSorted()).toEqual(['hold', 'hold-now', 'no-hold', 'short'])
  })
})
