// `POST /api/plan`: a plan without an account or any stored state.

import { Hono } from 'hono'
import { type AnyPlan, explained } from '../../ledger/index.ts'
import type { DaysRefusal, Result } from '../../plan/index.ts'
import { planCheapest, planHolds, planOverDays } from '../../plan/index.ts'
import { problemWords } from '../../words/en/problems.ts'
import { format } from '../../words/index.ts'
import { readBody } from './body.ts'
import { planAnswer } from './planAnswer.ts'
import { type PlanTask, toPlanTask } from './planInput.ts'
import { planProblem } from './planRefusal.ts'
import { problem } from './problem.ts'
import { PlanRequest } from './schemas/plan.ts'

export const planRoutes = new Hono().post('/api/plan', async (c) => {
  const request = await readBody(c, PlanRequest)
  if (!request.ok) return problem(c, request.refusal)
  const task = toPlanTask(request.value)
  if (!task.ok) return problem(c, task.refusal)
  const plan = planTask(task.value)
  if (!plan.ok) return problem(c, planProblem(plan.refusal))
  const { now, timeZone } = request.value
  const f = format('en', timeZone ?? 'UTC')
  const answer = planAnswer(plan.value, now, f, explained(plan.value, task.value.input, f))
  const { load, reading } = request.value
  const late = 'steps' in load && load.steps.every((step) => step.start > reading.at)
  return c.json(
    late ? { ...answer, cautions: [...answer.cautions, problemWords.loadStartsLate] } : answer,
  )
})

function planTask(task: PlanTask): Result<AnyPlan, DaysRefusal> {
  switch (task.kind) {
    case 'load':
      return planHolds(task.input)
    case 'days':
      return planOverDays(task.input)
    case 'cheapest':
      return planCheapest(task.input, task.rates)
  }
}
