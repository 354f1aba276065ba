// The cheapest one and two holds of a day beside a general mixed-integer solver on the same instance: both from the same
// input to an answer, and to the same one.

import loadHighs from 'highs'
import { type PlanInput, type UnitRate, asInstant, planCheapest } from '../../src/plan/index.ts'
import { asked, savedBy } from '../../test/plan/asked.ts'
import { programmeOf } from '../../test/plan/milp.ts'
import { battery } from './battery.ts'
import { type Row, inTime, microseconds } from './table.ts'

const START = asInstant(Date.UTC(2031, 0, 14, 0))
const HOUR = 3_600_000
const LEAST_RATIO = 50

const hour = (i: number) => asInstant(START + i * HOUR)

/** A day of half-hours, uneven without chance: load and rate are higher in the morning and the evening. */
const busy = (i: number) => (i >= 14 && i < 18) || (i >= 32 && i < 44)
const halfHours = Array.from({ length: 48 }, (_, i) => ({
  start: hour(i / 2),
  kw: 0.3 + ((i * 37) % 11) / 40 + (busy(i) ? 0.9 : 0),
}))
const rates: readonly UnitRate[] = Array.from({ length: 48 }, (_, i) => ({
  start: hour(i / 2),
  perKwh: 0.12 + ((i * 29) % 13) / 200 + (busy(i) ? 0.15 : 0),
}))

const day: PlanInput = {
  now: START,
  battery,
  reading: { at: START, socPct: 95 },
  load: halfHours,
  solar: [],
  events: [{ start: hour(18), end: hour(19) }],
  margin: { kwh: 0.48 },
  rule: null,
  releaseLeadMinutes: 5,
  topUpWindows: [],
  outOfReach: [],
  heldSince: null,
}

export async function benchCheapest(): Promise<Row[]> {
  const highs = await loadHighs()
  const solve = (holds: number) =>
    highs.solve(programmeOf(asked(day, rates), holds), { output_flag: false, mip_rel_gap: 1e-7 })
  return [1, 2].flatMap((many): Row[] => {
    const plan = () => planCheapest(day, rates, 2 * many)
    const answer = plan()
    const holds = answer.ok ? answer.value.holds : []
    const apart = savedBy(asked(day, rates), holds) - solve(many).ObjectiveValue
    const planUs = microseconds(plan, 5, 90)
    const solvedUs = microseconds(() => solve(many), 1, 3)
    const ratio = solvedUs / planUs
    const what = many === 1 ? 'the cheapest hold' : `the cheapest ${many} holds`
    return [
      { what: `${what}, 48 half-hours of load and rates`, result: inTime(planUs) },
      {
        what: '  the same by a general mixed-integer solver (HiGHS)',
        result: inTime(solvedUs),
        failed: holds.length !== many || Math.abs(apart) > 1e-5,
      },
      {
        what: `  solver time / plan time, at least ${LEAST_RATIO}`,
        result: ratio.toFixed(0),
        failed: !(ratio >= LEAST_RATIO),
      },
    ]
  })
}
