// From a checked request to the planner's input: defaults between fields, and no limit as Infinity.

import type * as z from 'zod'
import type { Battery, DaysInput, PlanInput, Result, UnitRate } from '../../plan/index.ts'
import { ok, refuse } from '../../plan/index.ts'
import { problemWords } from '../../words/en/problems.ts'
import { daysAhead } from './pastDays.ts'
import { type Problem, refused } from './problem.ts'
import type { Battery as BatteryFields } from './schemas/battery.ts'
import type { PlanRequest } from './schemas/plan.ts'

export const DEFAULT_MARGIN = { pct: 5 } as const

export const toBattery = (fields: z.output<typeof BatteryFields>): Battery => ({
  ...fields,
  maxDischargeKw: fields.maxDischargeKw ?? Infinity,
  maxChargeKw: fields.maxChargeKw ?? Infinity,
})

/** What to plan: the latest hold for one load that is known, for past days that stand in for it, or the cheapest. */
export type PlanTask =
  | { readonly kind: 'load'; readonly input: PlanInput }
  | { readonly kind: 'days'; readonly input: DaysInput }
  | {
      readonly kind: 'cheapest'
      readonly input: PlanInput
      readonly rates: readonly UnitRate[]
      readonly maxActions: number
    }

export function toPlanTask(request: PlanRequest): Result<PlanTask, Problem> {
  const { load } = request
  if ('days' in load)
    return request.cheapest
      ? refuse(refused(['cheapest'], problemWords.cheapestWithDays))
      : daysTask(request, load.days)
  const steps = 'kw' in load ? [{ start: request.reading.at, kw: load.kw }] : load.steps
  const margin = request.margin ?? DEFAULT_MARGIN
  const input = { ...commonInput(request), load: steps, margin }
  return ok(
    request.cheapest
      ? { kind: 'cheapest', input, rates: request.unitRates ?? [], maxActions: request.maxActions }
      : { kind: 'load', input },
  )
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
      ...ahead.value,
      margin: request.margin ?? { kwh: 0 },
      spareMargin: request.margin ?? DEFAULT_MARGIN,
      confidence: request.confidence,
      maxReadings: request.maxReadings,
      calibrated: request.calibrated ?? null,
      before: request.previousReading ?? null,
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
