// What the plan of a request is worth, where unit rates are given. Past days count by their mean, as in the trajectory:
// what is expected, where the hold is early enough on most of them.

import type { AnyPlan } from '../../ledger/index.ts'
import { DAY_MS, asInstant, meanLoad, worthOf } from '../../plan/index.ts'
import type { PlanInput, Worth } from '../../plan/index.ts'
import { laidAhead } from './pastDays.ts'
import type { PlanTask } from './planInput.ts'
import type { PlanRequest } from './schemas/plan.ts'

/** So far ahead a plan is counted, or two centuries of half-hours could be asked for. */
export const MOST_DAYS_COUNTED = 31

/** Both sides of the plan of this request; `null` without unit rates. */
export function planWorth(
  request: PlanRequest,
  task: PlanTask,
  plan: AnyPlan,
): Worth | null | 'too_far' {
  const { unitRates, reward = null, now, events } = request
  if (unitRates === undefined) return null
  if (events.some(({ end }) => end > now + MOST_DAYS_COUNTED * DAY_MS)) return 'too_far'
  const worth = worthOf({ input: expected(request, task), plan, rates: unitRates, reward })
  // It was planned, so it can be counted.
  if (!worth.ok) throw new RangeError(`Cannot count: ${worth.refusal.reason}`)
  return worth.value
}

/** The input with the load that is expected up to the horizon. */
function expected({ load, ...request }: PlanRequest, task: PlanTask): PlanInput {
  if (task.kind !== 'days') return task.input
  if (!('days' in load)) throw new RangeError('Cannot lay days over a load that is none')
  const ends = request.events.map(({ end }) => end)
  const until = asInstant(Math.max(request.now + DAY_MS, ...ends))
  const zone = request.timeZone ?? 'UTC'
  return {
    ...task.input,
    load: meanLoad(laidAhead(load.days, { ...request, load }, zone, until).days),
  }
}
