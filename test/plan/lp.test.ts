// The latest safe hold uses as much of the battery before the events as any schedule can: checked against a
// general linear solver (HiGHS, University of Edinburgh, through the `highs` package) on lp.ts's programme.

import * as fc from 'fast-check'
import loadHighs from 'highs'
import { beforeAll, describe, expect, it, vi } from 'vitest'
import type { PlanInput } from '../../src/plan/index.ts'
import { modesOf } from './follow.ts'
import { clock, given, planned, span, steady } from './given.ts'
import { batteries, eventsInRow, instances, seeded, sun } from './instances.ts'
import { programmeOf } from './lp.ts'
import { simulate } from './simulate.ts'

// Other work may share the machine; alone each of these takes under five seconds.
vi.setConfig({ testTimeout: 60_000 })

let highs: Awaited<ReturnType<typeof loadHighs>>
beforeAll(async () => {
  highs = await loadHighs()
})

/** The most that can be used outside the covers; `null` where no schedule serves them with their margins. */
const mostUsedKwh = (input: PlanInput): number | null => {
  const { margin, battery } = input
  const marginKwh =
    'kwh' in margin ? margin.kwh : 'pct' in margin ? (margin.pct / 100) * battery.capacityKwh : NaN
  const covers = planned(input).events.map(({ releaseAt, end }) => ({
    from: releaseAt,
    until: end,
    marginKwh,
  }))
  const solved = highs.solve(programmeOf(input, covers), { output_flag: false })
  return solved.Status === 'Optimal' ? solved.ObjectiveValue : null
}

/** What the house draws from the battery outside the covers when the plan is followed. */
const plannedUseKwh = (input: PlanInput): number => {
  const { events } = planned(input)
  const legs = modesOf(input.now, events)
  let at = input.now
  let startKwh = (input.reading.socPct / 100) * input.battery.capacityKwh
  let usedKwh = 0
  for (const { releaseAt, end } of events) {
    const walk = { input, legs, stepMs: Infinity }
    const before = simulate({ ...walk, from: at, until: releaseAt, startKwh })
    usedKwh += before.usedKwh
    startKwh = simulate({
      ...walk,
      from: releaseAt,
      until: end,
      startKwh: before.energyKwh,
    }).energyKwh
    at = end
  }
  return usedKwh
}

/** Holds are whole milliseconds, rounded down: a millisecond of 4 kW for each event. */
const MILLISECOND_KWH = 4 / 3_600_000

const asMuchAs = (input: PlanInput, most: number) => {
  const gap = most - plannedUseKwh(input)
  const events = input.events.length
  expect(Math.abs(gap)).toBeLessThan(1e-6 * Math.max(1, most) + events * MILLISECOND_KWH)
}

it('the programme itself, by hand: 5.28 kWh down to 2.3523 kWh at 95 %', () => {
  expect(mostUsedKwh(given())).toBeCloseTo((5.28 - 0.96 - 0.48) * 0.95 - (0.8 * 65) / 60, 6)
  expect(mostUsedKwh(given({ load: steady(3.6), events: [span('17:30-21:30')] }))).toBeNull()
})

describe('[H8] [H12] the planner uses what the solver uses', () => {
  it.each([
    ['one event, no standing loss', instances({ battery: batteries(false) })],
    ['one event, standing loss', instances()],
    ['one event, sun', instances({ solar: sun })],
    ['several events', instances({ events: eventsInRow(3) })],
    ['several events, sun', instances({ events: eventsInRow(3), solar: sun })],
  ])('%s', (_name, inputs) => {
    let compared = 0
    const full = inputs.map((input) => ({
      ...input,
      reading: { at: clock('13:00'), socPct: 50 + input.reading.socPct / 2 },
    }))
    fc.assert(
      fc.property(full, (input) => {
        const most = mostUsedKwh(input)
        if (most === null) return
        compared += 1
        asMuchAs(input, most)
      }),
      seeded(200),
    )
    expect(compared).toBeGreaterThan(50)
  })
})
