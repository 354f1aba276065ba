// From a checked request to the planner's input: defaults between fields, and no limit as Infinity.

import type * as z from 'zod'
import type { Battery, PlanInput, Result } from '../../plan/index.ts'
import { ok, refuse } from '../../plan/index.ts'
import { problemWords } from '../../words/en/problems.ts'
import type { Problem } from './problem.ts'
import { pointer } from './problem.ts'
import type { Battery as BatteryFields } from './schemas/battery.ts'
import type { PlanRequest } from './schemas/plan.ts'

export const DEFAULT_MARGIN = { pct: 5 } as const

export const toBattery = (fields: z.output<typeof BatteryFields>): Battery => ({
  ...fields,
  maxDischargeKw: fields.maxDischargeKw ?? Infinity,
  maxChargeKw: fields.maxChargeKw ?? Infinity,
})

/** The planner's input; what the planner cannot do yet is refused here and nowhere else. */
export function toPlanInput(request: PlanRequest): Result<PlanInput, Problem> {
  const { load } = request
  if ('days' in load) return refuse(notYet(['load', 'days'], problemWords.notYetDays))
  if (request.cheapest) return refuse(notYet(['cheapest'], problemWords.notYetCheapest))
  return ok({
    now: request.now,
    battery: toBattery(request.battery),
    reading: request.reading,
    load: 'kw' in load ? [{ start: request.reading.at, kw: load.kw }] : load.steps,
    solar: request.solar?.steps ?? [],
    events: request.events,
    margin: request.margin ?? DEFAULT_MARGIN,
    rule: request.rule ?? null,
    releaseLeadMinutes: request.releaseLeadMinutes,
    topUpWindows: request.topUp?.windows ?? [],
    outOfReach: request.outOfReach ?? [],
    heldSince: null,
  })
}

const notYet = (path: readonly string[], detail: string): Problem => ({
  type: 'not-yet',
  status: 422,
  detail,
  errors: [{ pointer: pointer(path), detail }],
})
