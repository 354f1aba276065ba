// What is said of a change, at once and in the conversation: a plan that became another one, a reading, a cancellation, thanks.

import type { EventPlan, Instant, Reading } from '../plan/index.ts'
import { reachWords, reminderWords as say } from '../words/index.ts'
import { withMessage } from './messages.ts'
import {
  isHeld,
  onTheDay,
  planFor,
  plannedEvent,
  replanned,
  sameToAPerson,
  upcoming,
} from './planning.ts'
import { withPlanTold } from './reconcile.ts'
import { eventName, formatOf, planText } from './text.ts'
import type { Household, HouseholdEvent, Reminder } from './types.ts'

/** Tells each plan that became another one to a person; and of `asked`, what it is, even if that is as it was. */
export function told(
  before: Household,
  after: Household,
  asked: readonly string[],
  now: Instant,
  word: (plan: string) => string = (plan) => plan,
): Household {
  const current = { ...after, plan: planFor(after, now) }
  return upcoming(after, now).reduce((state, event) => {
    const old = plannedEvent(before, event.id)
    const plan = plannedEvent(after, event.id)
    const same = old === null || plan === null ? old === plan : sameToAPerson(old, plan)
    if (!same) return withPlanTold(state, event.id, now)
    if (!asked.includes(event.id)) return state
    // Without a plan the first event's reminder asks for a reading now, and says that the event is noted.
    const asks = event === upcoming(after, now)[0] && onTheDay(after, event, now) === null
    if (plan === null && asks) return state
    return withMessage(state, now, 'holdbell', word(planText(current, event, now)))
  }, after)
}

/** A reading that no plan follows from, yet. */
export function noted(household: Household, reading: Reading, now: Instant): Household {
  const f = formatOf(household)
  const wasOutcome = household.reminders.some(
    ({ kind, state, acknowledgedAt }) =>
      kind === 'outcome' && state === 'acknowledged' && acknowledgedAt === now,
  )
  const text = wasOutcome
    ? say.outcomeNoted(f.pct(reading.socPct))
    : say.readingNoted(f.pct(reading.socPct), f.time(reading.at))
  return withMessage(household, now, 'holdbell', text)
}

/** Tells of a cancellation, and of the plans that it changed. */
export function cancelled(
  before: Household,
  after: Household,
  eventId: string,
  now: Instant,
): Household {
  const event = after.events.find((each) => each.id === eventId)
  const cancelledText = event !== undefined && isHeld(event) ? say.cancelledHeld : say.cancelled
  const text = event === undefined ? '' : cancelledText(eventName(after, event))
  return told(before, replanned(withMessage(after, now, 'holdbell', text), now), [], now)
}

const ASKS_FOR_HANDS = new Set<Reminder['kind']>(['hold', 'release', 'overnight'])

/** Thanks, and says what comes next. */
export function answered(household: Household, reminder: Reminder, now: Instant): Household {
  const event = household.events.find((each) => each.id === reminder.eventId)
  const plan = plannedEvent(household, reminder.eventId)
  const next =
    ASKS_FOR_HANDS.has(reminder.kind) && event !== undefined && plan !== null
      ? (thanks(household, reminder, event, plan) ?? planText(household, event, now))
      : say.thanks
  const set = reminder.kind === 'overnight' ? event?.topUp : null
  const text = set ? reachWords.topUpSet(formatOf(household).time(set.until), next) : next
  return withMessage(household, now, 'holdbell', text)
}

/** Where it went as planned: what is next, and no more; `null` where there is more to say. */
function thanks(
  household: Household,
  { kind }: Reminder,
  event: HouseholdEvent,
  plan: EventPlan,
): string | null {
  if (plan.short !== null) return null
  const f = formatOf(household)
  const left = f.kwh(plan.marginLeftKwh)
  if (kind === 'hold' && isHeld(event)) return say.thanksHeld(f.time(plan.releaseAt), left)
  if (kind === 'release' && event.releasedAt !== null)
    return say.thanksRunning(f.time(event.end), left)
  return null
}
