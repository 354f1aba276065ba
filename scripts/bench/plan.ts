// One plan of 48 half-hours beside a general linear solver on the same instance, and two weeks with 20 events.

import loadHighs from 'highs'
import { type PlanInput, asInstant, planHolds } from '../../src/plan/index.ts'
import { programmeOf } from '../../test/plan/lp.ts'
import { battery } from './battery.ts'
import { type Row, inTime, microseconds } from './table.ts'

const START = asInstant(Date.UTC(2031, 0, 14, 0))
const HOUR = 3_600_000
const LEAST_RATIO = 100

/** Uneven half-hours without chance, higher in the evening. */
const halfHours = (days: number) =>
  Array.from({ length: 48 * days }, (_, i) => ({
    start: asInstant(START + (i * HOUR) / 2),
    kw: 0.3 + ((i * 37) % 11) / 40 + (i % 48 >= 32 && i % 48 < 44 ? 0.9 : 0),
  }))

const evening = (day: number, hour: number) => ({
  start: asInstant(START + (24 * day + hour) * HOUR),
  end: asInstant(START + (24 * day + hour + 1) * HOUR),
})

const oneDay: PlanInput = {
  now: START,
  battery: { ...battery, standbyKw: 0.02 },
  reading: { at: START, socPct: 95 },
  load: halfHours(1),
  solar: [],
  events: [evening(0, 23)],
  margin: { kwh: 0.48 },
  rule: null,
  releaseLeadMinutes: 5,
  topUpWindows: [],
  outOfReach: [],
  heldSince: null,
}

const twoWeeks: PlanInput = {
  ...oneDay,
  load: halfHours(14),
  events: Array.from({ length: 20 }, (_, i) =>
    evening(Math.floor((i * 14) / 20), 8 + (i % 2) * 9.5),
  ),
}

export async function benchPlan(): Promise<Row[]> {
  const planned = planHolds(oneDay)
  const event = planned.ok ? planned.value.events[0] : undefined
  if (event === undefined) throw new TypeError('Plan of one day must not be refused')
  const highs = await loadHighs()
  const covers = [{ from: event.releaseAt, until: event.end, marginKwh: 0.48 }]
  const solver = highs.createModel({ format: 'lp', data: programmeOf(oneDay, covers) })
  solver.options.set({ output_flag: false })
  // Both from the same input to an answer.
  const planUs = microseconds(() => planHolds(oneDay), 20, 300)
  const solvedUs = microseconds(
    () => highs.solve(programmeOf(oneDay, covers), { output_flag: false }),
    1,
    150,
  )
  // The solver alone: its model is built and parsed already.
  const solverUs = microseconds(() => {
    solver.clearSolver()
    solver.run()
  }, 1)
  solver.dispose()
  const fortnightUs = microseconds(() => planHolds(twoWeeks), 1)
  const ratio = solvedUs / planUs
  return [
    {
      what: 'one plan, 48 half-hours, one event',
      result: inTime(planUs),
    },
    {
      what: 'the same by a general linear solver (HiGHS)',
      result: inTime(solvedUs),
    },
    { what: '  of which the solver alone, model in memory', result: inTime(solverUs) },
    {
      what: `solver time / plan time, at least ${LEAST_RATIO}`,
      result: ratio.toFixed(0),
      failed: ratio < LEAST_RATIO,
    },
    { what: 'one plan, 14 days of half-hours, 20 events', result: inTime(fortnightUs) },
  ]
}
