// The cheapest holds of a household (R19): which plan it has chosen, when it runs in between, how often hands have been
// asked already.

import {
  type CheapestPlan,
  DAY_MS,
  type Instant,
  MINUTE_MS,
  type Plan,
  type PlanInput,
  type Result,
  asInstant,
  later,
  planCheapest,
  planHolds,
} from '../plan/index.ts'
import { unitRateSteps } from '../schedule/index.ts'
import { RELEASE_AHEAD_MS, RUNS_BETWEEN_MS } from './timing.ts'
import type { Household, HouseholdEvent, Settings } from './types.ts'

/** Whether it is held where that costs least. */
export const isCheapest = ({ cheapest, unitRates }: Settings): boolean =>
  cheapest && unitRates !== null

/** The plan of the kind that the household has chosen: the latest hold, or the cheapest with the actions that are left. */
export function chosenPlan(
  household: Household,
  events: readonly HouseholdEvent[],
  input: PlanInput,
): Result<Plan | CheapestPlan, { readonly reason: string }> {
  const { unitRates, timeZone, maxActions } = household.settings
  const [first] = events
  const left = first === undefined ? maxActions : maxActions - touched(household, first)
  if (!isCheapest(household.settings) || unitRates === null) return planHolds(input)
  // Once held, the plan is the latest whatever is left; before, a hold needs two.
  if (left < 2 && input.heldSince === null) return planHolds(input)
  // The cost of the first event's hold is counted over a day at most, or to the event's end.
  const end = asInstant(later(input.now, first?.end ?? input.now) + DAY_MS)
  const rates = unitRateSteps(unitRates, timeZone, { start: input.now, end })
  const planned = planCheapest(input, rates, Math.max(2, left))
  return planned.ok ? { ok: true, value: firstReleaseFirst(planned.value) } : planned
}

/** How often hands have held it and let it run for an event as it is now. */
const touched = ({ reminders }: Household, event: HouseholdEvent): number =>
  reminders.filter(
    ({ kind, eventId, acknowledgedAt }) =>
      eventId === event.id &&
      (kind === 'hold' || kind === 'release') &&
      (acknowledgedAt ?? -Infinity) >= event.changedAt,
  ).length

/** Of several holds the first is what is asked for next, with its own release. */
function firstReleaseFirst(plan: CheapestPlan): CheapestPlan {
  const [first, ...others] = plan.events
  const [hold, another] = plan.holds
  if (first === undefined || hold === undefined || another === undefined) return plan
  return { ...plan, events: [{ ...first, releaseAt: hold.end }, ...others] }
}

/** Once it is held, a release that was chosen for its price stays, as long as it may run from then on. */
export function withChosenRelease(
  household: Household,
  event: HouseholdEvent,
  input: PlanInput,
  plan: Plan,
): Plan {
  const before = household.plan
  const [first, ...others] = plan.events
  const told = before?.plan.events[before.eventIds.indexOf(event.id)]
  const chosen = before !== null && 'holds' in before.plan
  if (first === undefined || told === undefined || !chosen || input.heldSince === null) return plan
  if (told.releaseAt >= first.releaseAt || told.start !== first.start) return plan
  const at = later(told.releaseAt, input.now)
  const held = planHolds({ ...input, now: at, events: [] })
  const socPct = held.ok ? (held.value.trajectory[0]?.socPct ?? 0) : 0
  const running = planHolds({ ...input, now: at, reading: { at, socPct }, heldSince: null })
  const [next] = running.ok ? running.value.events : []
  // With a hold still to come, it may run until that one.
  const another = household.settings.maxActions - touched(household, event) >= 3
  const suffices = next?.verdict === 'no-hold' || (another && next?.verdict === 'hold')
  return suffices ? { ...plan, events: [{ ...first, releaseAt: told.releaseAt }, ...others] } : plan
}

/** Whether a release at an instant is one in between: well before the event's own, and it may be held again. */
export const runsInBetween = (settings: Settings, event: HouseholdEvent, at: Instant): boolean =>
  isCheapest(settings) &&
  at < event.start - settings.releaseLeadMinutes * MINUTE_MS - RUNS_BETWEEN_MS

/** The event whose chosen hold went by unused, if there is one: there may be another hold for it, and it needs a plan. */
export function outrun(
  { plan, events, settings }: Household,
  now: Instant,
): HouseholdEvent | undefined {
  const first = plan !== null && 'holds' in plan.plan ? plan.plan.events[0] : undefined
  // One that is short was not chosen.
  if (plan === null || !first?.holdBy || first.verdict === 'short') return undefined
  const releaseDue = first.releaseAt - RELEASE_AHEAD_MS
  // One that is planned so late goes by with nothing after it.
  if (now < releaseDue || plan.at >= releaseDue) return undefined
  return events.find(
    (event) =>
      event.id === plan.eventIds[0] &&
      event.heldAt === null &&
      event.start > now &&
      runsInBetween(settings, event, first.releaseAt),
  )
}
