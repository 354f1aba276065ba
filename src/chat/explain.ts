// "plan" and "why": the plan as it stands, and the sums behind it.

import { type LedgerRow, explained } from '../ledger/index.ts'
import type { Instant } from '../plan/index.ts'
import {
  type Household,
  type HouseholdPlan,
  eventName,
  formatOf,
  planFor,
  planText,
  plannedFrom,
  upcoming,
} from '../reminder/index.ts'
import { answerWords, ledgerWords as say } from '../words/index.ts'

/** Every event to come with its plan; one line each. */
export function planAnswer(household: Household, now: Instant): string {
  const current = { ...household, plan: planFor(household, now) }
  const events = upcoming(current, now)
  return events.length === 0
    ? answerWords.noEvent
    : events.map((event) => planText(current, event, now)).join('\n')
}

/** How the next event's figures come about; a line for each. */
export function whyAnswer(household: Household, now: Instant): string {
  const plan = planFor(household, now)
  const event = upcoming(household, now)[0]
  const index = event && plan ? plan.eventIds.indexOf(event.id) : -1
  const rows = plan === null ? undefined : householdLedger(household, plan)[index]
  if (event === undefined || rows === undefined) return planAnswer(household, now)
  const lines = rows.map(({ what, sum, value, unit }) => say.line(what, sum, say.made(value, unit)))
  return [say.of(eventName(household, event)), ...lines].join('\n')
}

/** The ledger of each event of a household's plan, in the plan's order. */
export function householdLedger(
  household: Household,
  { at, plan, why }: HouseholdPlan,
): readonly (readonly LedgerRow[])[] {
  const input = why === undefined ? plannedFrom(household, at) : null
  return why ?? (input === null ? [] : explained(plan, input, formatOf(household)))
}
