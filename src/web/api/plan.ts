// `POST /api/plan`: a plan without an account or any stored state.

import { Hono } from 'hono'
import { planHolds } from '../../plan/index.ts'
import { problemWords } from '../../words/en/problems.ts'
import { format } from '../../words/index.ts'
import { readBody } from './body.ts'
import { planAnswer } from './planAnswer.ts'
import { toPlanInput } from './planInput.ts'
import { planProblem } from './planRefusal.ts'
import { problem } from './problem.ts'
import { PlanRequest } from './schemas/plan.ts'

export const planRoutes = new Hono().post('/api/plan', async (c) => {
  const request = await readBody(c, PlanRequest)
  if (!request.ok) return problem(c, request.refusal)
  const input = toPlanInput(request.value)
  if (!input.ok) return problem(c, input.refusal)
  const plan = planHolds(input.value)
  if (!plan.ok) return problem(c, planProblem(plan.refusal))
  const answer = planAnswer(
    plan.value,
    input.value.now,
    format('en', request.value.timeZone ?? 'UTC'),
  )
  const { load, reading } = request.value
  const late = 'steps' in load && load.steps.every((step) => step.start > reading.at)
  return c.json(
    late ? { ...answer, cautions: [...answer.cautions, problemWords.loadStartsLate] } : answer,
  )
})
