// From a checked request to the planner's input: defaults between fields, and no limit as Infinity.

import type * as z from 'zod'
import type { Battery, DaysInput, PlanInput, Result } from '../../plan/index.ts'
import { ok, refuse } from '../../plan/index.ts'
import { problemWords } from '../../words/en/problems.ts'
import { daysAhead } from './pastDays.ts'
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

/** What to plan: one load that is known, or past days that stand in for it. */
export type PlanTask =
  | { readonly kind: 'load'; readonly input: PlanInput }
  | { readonly kind: 'days'; readonly input: DaysInput }

export function toPlanTask(request: PlanRequest): Result<PlanTask, Problem> {
  const { load } = request
  if (request.cheapest) return refuse(notYet(['cheapest'], problemWords.notYetCheapest))
  if ('days' in load) return daysTask(request, load.days)
  const steps = 'kw' in load ? [{ start: request.reading.at, kw: load.kw }] : load.steps
  const margin = request.margin ?? DEFAULT_MARGIN
  return ok({ kind: 'load', input: { ...commonInput(request), load: steps, margin } })
}

function daysTask(
  request: PlanRequest,
  days: Parameters<typeof daysAhead>[0],
): Result<PlanTask, Problem> {
  const ahead = daysAhead(days, request, request.timeZone ?? 'UTC')
  if (!ahead.ok) return ahead
  return ok({
    kind: 'days',
    input: {
      ...commonInput(request),
      days: ahead.value,
      margin: request.margin ?? { kwh: 0 },
      spareMargin: request.margin ?? DEFAULT_MARGIN,
      confidence: request.confidence,
      maxReadings: request.maxReadings,
      stage: null,
    },
  })
}

const commonInput = (request: PlanRequest): Omit<PlanInput, 'load' | 'margin'> => ({
  now: request.now,
  battery: toBattery(request.battery),
  reading: request.reading,
  solar: request.solar?.steps ?? [],
  events: request.events,
  rule: request.rule ?? null,
  releaseLeadMinutes: request.releaseLeadMinutes,
  topUpWindows: request.topUp?.windows ?? [],
  outOfReach: request.outOfReach ?? [],
  heldSince: null,
})

const notYet = (path: readonly string[], detail: string): Problem => ({
  type: 'not-yet',
  status: 422,
  detail,
  errors: [{ pointer: pointer(path), detail }],
})
