// The part of a household that a chart needs. Its own words, since the chart stands below the household.

import type { Instant, Plan } from '../plan/index.ts'
import type { Done } from './marks.ts'

/** A plan with the events it is for, in the same order. */
export type HouseholdPlanLike = {
  readonly at: Instant
  readonly eventIds: readonly string[]
  readonly plan: Plan
}

/** What was done for each event of the plan, in the plan's order. */
export const doneInOrder = (
  plan: HouseholdPlanLike,
  events: readonly Done[],
): (Done | undefined)[] => plan.eventIds.map((id) => events.find((event) => event.id === id))
