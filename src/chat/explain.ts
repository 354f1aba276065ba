// "plan" and "why": the plan as it stands, and the sum behind it.

import { type EventPlan, HOUR_MS, type Instant } from '../plan/index.ts'
import {
  type Household,
  formatOf,
  heldSince,
  lastTold,
  planFor,
  planText,
  plannedEvent,
  upcoming,
} from '../reminder/index.ts'
import { answerWords as say } from '../words/index.ts'

/** Every event to come with its plan; one line each. */
export function planAnswer(household: Household, now: Instant): string {
  const current = { ...household, plan: planFor(household, now) }
  const events = upcoming(current, now)
  return events.length === 0
    ? say.noEvent
    : events.map((event) => planText(current, event, now)).join('\n')
}

/** How the next event's figures come about. */
export function whyAnswer(household: Household, now: Instant): string {
  const current = { ...household, plan: planFor(household, now) }
  const event = upcoming(current, now)[0]
  const plan = event && plannedEvent(current, event.id)
  if (event === undefined || !plan) return planAnswer(household, now)
  const f = formatOf(household)
  const { settings } = household
  const { capacityKwh, outageReservePct } = settings.battery
  const floor = (capacityKwh * outageReservePct) / 100
  const sum = say.why(
    f.kwh(plan.needKwh),
    f.kwh(Math.max(0, plan.reserveKwh - plan.needKwh - floor)),
    f.kwh(floor),
    f.kwh(plan.reserveKwh),
    f.pct(plan.holdAtPct),
    f.kw(settings.loadKw),
    f.duration((event.end - plan.releaseAt) / HOUR_MS),
  )
  const course = courseText(household, plan, now)
  return course === null ? sum : `${sum}\n${course}`
}

/** How the time of the hold comes about; `null` where it is behind, or nobody said what the battery shows. */
function courseText(household: Household, plan: EventPlan, now: Instant): string | null {
  const f = formatOf(household)
  const when = (at: Instant) => `${f.time(at)} (${f.shortDay(at)})`
  const held = heldSince(household, now)
  if (held !== null) return say.whyHeld(f.time(held))
  const reading = lastTold(household)
  if (reading === undefined || plan.releaseAt <= now) return null
  const shown = f.pct(reading.socPct)
  const at = when(reading.at)
  if (plan.holdBy === null) return say.whyNoHold(shown, at)
  const { loadKw, nightCharge } = household.settings
  const why = nightCharge === null ? say.whyReading : say.whyCharged
  return why(shown, at, f.kw(loadKw), when(plan.holdBy))
}
