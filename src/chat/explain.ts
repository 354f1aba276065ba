// "plan" and "why": the plan as it stands, and the sum behind it.

import { HOUR_MS, type Instant } from '../plan/index.ts'
import {
  type Household,
  formatOf,
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
  const { settings, readings } = household
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
  const reading = readings.findLast((each) => !each.reckoned)
  if (reading === undefined) return sum
  const shown = [
    f.pct(reading.socPct),
    `${f.time(reading.at)} (${f.shortDay(reading.at)})`,
  ] as const
  const course =
    plan.holdBy === null
      ? say.whyNoHold(...shown)
      : say.whyReading(
          ...shown,
          f.kw(settings.loadKw),
          `${f.time(plan.holdBy)} (${f.shortDay(plan.holdBy)})`,
        )
  return `${sum}\n${course}`
}
