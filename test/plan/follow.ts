// Follows a plan by hand in the simulation: the modes a person sets, event by event, and what came of it.

import type { EventPlan, Instant, Plan, PlanInput } from '../../src/plan/index.ts'
import { floorKwh, ms } from './given.ts'
import { type Leg, simulate } from './simulate.ts'

export type Followed = {
  readonly atReleaseKwh: number
  readonly lowestBeforeKwh: number
  readonly atEndKwh: number
  readonly unservedKwh: number
  readonly emptyAt: Instant | null
}

/** The modes of a plan: run until each hold, hold (and fill) until the release, then run. */
export const modesOf = (now: Instant, events: readonly EventPlan[]): Leg[] => {
  const legs: Leg[] = [{ from: now, mode: 'run' }]
  for (const { holdBy, topUp, releaseAt } of events) {
    if (holdBy !== null) legs.push({ from: holdBy, mode: 'hold' })
    if (topUp !== null && topUp.until > topUp.from)
      legs.push({ from: topUp.from, mode: 'fill' }, { from: topUp.until, mode: 'hold' })
    legs.push({ from: releaseAt, mode: 'run' })
  }
  return legs
}

/** What comes of each event when the plan is followed, `lateMs` late at every hold. */
export const follow = (
  input: PlanInput,
  plan: Pick<Plan, 'events'>,
  lateMs = 0,
  stepMs = 1000,
): Followed[] => {
  const events = plan.events.map((event) =>
    event.holdBy === null ? event : { ...event, holdBy: ms(event.holdBy + lateMs) },
  )
  const legs = modesOf(input.now, events)
  let at = input.now
  let startKwh = (input.reading.socPct / 100) * input.battery.capacityKwh
  return events.map((event) => {
    const release = ms(Math.max(event.releaseAt, input.now))
    const before = simulate({ input, from: at, until: release, startKwh, legs, stepMs })
    const during = simulate({
      input,
      from: release,
      until: event.end,
      startKwh: before.energyKwh,
      legs,
      stepMs,
    })
    at = event.end
    startKwh = during.energyKwh
    return {
      atReleaseKwh: before.energyKwh,
      lowestBeforeKwh: before.lowestKwh,
      atEndKwh: during.energyKwh,
      unservedKwh: during.unservedKwh,
      emptyAt: during.emptyAt,
    }
  })
}

/**
 * The least energy at the start of a cover with which it never goes under the floor, by bisection on the
 * simulation; `Infinity` if even a full battery does not do.
 */
export const leastKwh = (input: PlanInput, from: Instant, until: Instant): number => {
  const stepMs = input.battery.taper === null ? Infinity : 5000
  const floor = floorKwh(input.battery)
  const legs: Leg[] = [{ from, mode: 'run' }]
  const enough = (startKwh: number) =>
    simulate({ input, from, until, startKwh, legs, stepMs, noFloor: true }).lowestKwh >= floor
  let low = floor
  let high = input.battery.capacityKwh
  if (enough(low)) return low
  if (!enough(high)) return Infinity
  while (high - low > 1e-9) {
    const middle = (low + high) / 2
    if (enough(middle)) high = middle
    else low = middle
  }
  return high
}
