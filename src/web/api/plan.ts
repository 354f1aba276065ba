// `POST /api/plan`: a plan without an account or any stored state.

import { Hono } from 'hono'
import { type AnyPlan, explained } from '../../ledger/index.ts'
import type { DaysRefusal, Result } from '../../plan/index.ts'
import { daysAsPlanned, planCheapest, planHolds, planOverDays } from '../../plan/index.ts'
import { problemWords } from '../../words/en/problems.ts'
import { format } from '../../words/index.ts'
import { readBody } from './body.ts'
import { planAnswer, withHolds } from './planAnswer.ts'
import { type PlanTask, toPlanTask } from './planInput.ts'
import { planProblem } from './planRefusal.ts'
import { MOST_DAYS_COUNTED, planWorth } from './planWorth.ts'
import { problem } from './problem.ts'
import type { PlanAnswer } from './schemas/answers.ts'
import { PlanRequest } from './schemas/plan.ts'
import { worthAnswer } from './worthAnswer.ts'

export const planRoutes = new Hono().post('/api/plan', async (c) => {
  const request = await readBody(c, PlanRequest)
  if (!request.ok) return problem(c, request.refusal)
  const task = toPlanTask(request.value)
  if (!task.ok) return problem(c, task.refusal)
  const plan = planTask(task.value)
  if (!plan.ok) return problem(c, planProblem(plan.refusal))
  const { now, timeZone } = request.value
  const f = format('en', timeZone ?? 'UTC')
  const worth = planWorth(request.value, task.value, plan.value)
  const answer = planAnswer(plan.value, now, f, explained(plan.value, plannedFrom(task.value), f))
  const { load, reading } = request.value
  const late = 'steps' in load && load.steps.every((step) => step.start > reading.at)
  return c.json({
    ...answer,
    events: 'holds' in plan.value ? withHolds(answer.events, plan.value, now) : answer.events,
    cautions: [
      ...answer.cautions,
      ...(late ? [problemWords.loadStartsLate] : []),
      ...(worth === 'too_far' ? [problemWords.worthTooFar(MOST_DAYS_COUNTED)] : []),
    ],
    worth: worth === null || worth === 'too_far' ? null : worthAnswer(worth),
  } satisfies PlanAnswer)
})

/** What the sums of a plan are made of: past days as they were planned with. */
const plannedFrom = (task: PlanTask) =>
  task.kind === 'days' ? daysAsPlanned(task.input) : task.input

function planTask(task: PlanTask): Result<AnyPlan, DaysRefusal> {
  switch (task.kind) {
    case 'load':
      return planHolds(task.input)
    case 'days':
      return planOverDays(task.input)
    case 'cheapest':
      return planCheapest(task.input, task.rates, task.maxActions)
  }
}
