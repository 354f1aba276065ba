// The question that a cheapest plan answers, in the tests' own words (section 6 of the model: one event, no sun, charge
// windows only after it), and what any holds save by the simulation.

import type { PlanInput, Span, UnitRate } from '../../src/plan/index.ts'
import { planCheapest, planHolds } from '../../src/plan/index.ts'
import { HOUR, clock, ms } from './given.ts'
import { type Question, edgesOf, rateAt } from './milp.ts'
import { type Leg, simulate } from './simulate.ts'

/** '00:00=0.1 16:00=0.5' */
export const rates = (text: string): UnitRate[] =>
  text.split(' ').map((each) => {
    const [start = '', perKwh] = each.split('=')
    return { start: clock(start), perKwh: Number(perKwh) }
  })

export const cheapest = (input: PlanInput, unitRates: readonly UnitRate[], maxActions?: number) => {
  const result = planCheapest(input, unitRates, maxActions)
  if (!result.ok) throw new TypeError(`Plan must not be refused: ${JSON.stringify(result.refusal)}`)
  const [event] = result.value.events
  if (event === undefined) throw new TypeError('Plan must have an event')
  return { plan: result.value, event, holds: result.value.holds }
}

/** The latest plan, if there is anything to choose. */
export const choosable = (input: PlanInput): boolean => {
  const base = planHolds(input)
  return base.ok && base.value.events.every(({ verdict }) => /^(hold|no-hold)$/.test(verdict))
}

export const modesOf = (input: PlanInput, holds: readonly Span[]): Leg[] => [
  { from: input.now, mode: 'run' },
  ...holds.flatMap(({ start, end }): Leg[] => [
    { from: start, mode: 'hold' },
    { from: end, mode: 'run' },
  ]),
]

/** What a plan's battery saves up to the horizon, with the worth of what is left: stretch by stretch in the simulation. */
export const savedBy = (question: Question, holds: readonly Span[]): number => {
  const { input } = question
  const legs = modesOf(input, holds)
  let startKwh = (input.reading.socPct / 100) * input.battery.capacityKwh
  let saved = 0
  const edges = edgesOf(question)
  edges.slice(1).forEach((until, i) => {
    const from = ms(edges[i] ?? until)
    const walked = simulate({ input, from, until: ms(until), startKwh, legs, stepMs: Infinity })
    saved += walked.usedKwh * rateAt(question.rates, from)
    startKwh = walked.energyKwh
  })
  return saved + question.worth * startKwh
}

export const asked = (input: PlanInput, unitRates: readonly UnitRate[]): Question => {
  const [event] = input.events
  const planned = planHolds(input)
  const base = planned.ok ? planned.value.events[0] : undefined
  if (event === undefined || base === undefined) throw new TypeError('Input must have an event')
  const inForce = ({ start, end }: { readonly start: number; readonly end: number }) =>
    [rateAt(unitRates, start)].concat(
      unitRates.filter((rate) => rate.start > start && rate.start < end).map((rate) => rate.perKwh),
    )
  const day = input.now + 24 * HOUR
  const until = Math.max(event.end, Math.min(day, ...input.topUpWindows.map(({ start }) => start)))
  const ahead = inForce({ start: input.now, end: Math.max(until, day) })
  const refill = input.topUpWindows.length > 0 ? input.topUpWindows.flatMap(inForce) : ahead
  const { chargeEfficiency, dischargeEfficiency } = input.battery
  const worth = Math.min(
    Math.min(...refill) / chargeEfficiency,
    Math.max(...ahead) * dischargeEfficiency,
  )
  return {
    input,
    rates: unitRates,
    releaseAt: base.releaseAt,
    until,
    reserveKwh: base.reserveKwh,
    worth,
  }
}
