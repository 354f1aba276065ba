// A household's own data as the planner's input, and the plan that follows. Replanning with the same data
// is the same plan.

import {
  type DaysEventPlan,
  type DaysInput,
  type EventPlan,
  type Instant,
  type PlanInput,
  asInstant,
  daysAsPlanned,
  earlier,
  later,
  ok,
  planHolds,
} from '../plan/index.ts'
import { spansWithout } from '../schedule/index.ts'
import { chosenPlan, isCheapest, withChosenRelease } from './cheapest.ts'
import { nightCharges } from './night.ts'
import { daysInput, planFromDays, withCalibration } from './pastDays.ts'
import { outOfReach } from './reach.ts'
import { sumOfSteps } from './steps.ts'
import { sunAhead } from './sun.ts'
import {
  HOLD_AHEAD_MS,
  OLDEST_READING_MS,
  RELEASE_AHEAD_MS,
  SAME_DAY_MS,
  SAME_STRETCH_MS,
  SAME_TIME_MS,
  WORTH_CHARGING_MS,
} from './timing.ts'
import { chargesAsSurplus, topUpSpans } from './topUp.ts'
import type { Household, HouseholdEvent, HouseholdPlan, HouseholdReading, TopUp } from './types.ts'
import { isNear, whenPlanned } from './whenPlanned.ts'

/** The events still to be covered, in time order. */
export const upcoming = (household: Household, now: Instant): readonly HouseholdEvent[] =>
  household.events
    .filter((event) => event.state === 'announced' && event.end > now)
    .toSorted((a, b) => a.start - b.start)

/** Whether people said that they paused the battery for this event, and not yet that it runs again. */
export const isHeld = (event: HouseholdEvent): boolean =>
  event.heldAt !== null && event.releasedAt === null

/**
 * Since when the battery is paused for an event to come; `null` otherwise. Of one paused for an event that is over,
 * cancelled or moved to another day it is not known: it is asked to be let run, and the forecast takes it as running.
 */
export const heldSince = (household: Household, now: Instant): Instant | null =>
  upcoming(household, now).find(
    (event) => isHeld(event) && !isHeldForAnother(household, event, now),
  )?.heldAt ?? null

/** It was paused for another day than its event is on by now. */
export const isHeldForAnother = (
  { settings }: Household,
  event: HouseholdEvent,
  now: Instant,
): boolean =>
  event.sequence > 0 &&
  event.heldAt !== null &&
  event.heldAt <= event.changedAt &&
  !isNear(settings, event, now)

/**
 * The events that can be planned now, from what was told last: all where the nightly charge is known. Where it is
 * not, those of one day, once its reading is there (R14, R16, R18).
 */
function plannable(household: Household, now: Instant): readonly HouseholdEvent[] {
  const events = upcoming(household, now)
  const first = events[0]
  if (first === undefined || household.settings.nightCharge !== null) return events
  const { readingSince } = whenPlanned(household.settings, first)
  const ofAnotherDay = (lastTold(household)?.at ?? -Infinity) < readingSince
  if (ofAnotherDay && heldSince(household, now) === null) return []
  const next = events.findIndex(
    (event, i) => event.start - (events[i - 1]?.end ?? event.start) > SAME_DAY_MS,
  )
  return next === -1 ? events : events.slice(0, next)
}

/** The newest reading that a person told. */
export const lastTold = ({ readings }: Household): HouseholdReading | undefined =>
  readings.findLast((reading) => !reading.reckoned)

/** For an event that is planned on its day: when a reading will be asked for. `null` for any other, and from then on. */
export function onTheDay(
  household: Household,
  event: HouseholdEvent,
  now: Instant,
): Instant | null {
  if (household.settings.nightCharge !== null || plannedEvent(household, event.id) !== null)
    return null
  const { askAt } = whenPlanned(household.settings, event)
  return askAt > now ? askAt : null
}

/** What one event takes, whatever the battery holds: the display's whole per cent to keep for it. */
export function takesPct(household: Household, event: HouseholdEvent, now: Instant): number {
  const full = { at: now, socPct: 100, reckoned: true }
  const input = planInput({ ...household, readings: [full] }, [event], now)
  const planned = input && planHolds({ ...input, topUpWindows: [], outOfReach: [] })
  return (planned?.ok ? planned.value.events[0]?.holdAtPct : undefined) ?? 100
}

/** Plans the events that can be planned; `null` without one, or without a reading. */
export function planFor(household: Household, now: Instant): HouseholdPlan | null {
  const events = plannable(household, now)
  const [first] = events
  const input = planInput(household, events, now)
  if (input === null || first === undefined) return null
  // Where it is held where that costs least, one load is reckoned with: that of the settings.
  const fromDays = isCheapest(household.settings)
    ? null
    : planFromDays(household, events, input, chargesFor(household, events, input))
  const planned = fromDays === null ? chosenPlan(household, events, input) : ok(fromDays)
  // Events are checked when they are announced; one that slips through would be a bug here.
  if (!planned.ok) throw new RangeError(`Cannot plan: ${planned.refusal.reason}`)
  const eventIds = events.map((event) => event.id)
  const plan = withChosenRelease(household, first, input, planned.value)
  return withCalibration({ at: now, eventIds, plan }, household, events[0], input)
}

/** What the plan at an instant is made from, days as they were planned with; `null` without a plan. */
export function plannedFrom(household: Household, now: Instant): PlanInput | DaysInput | null {
  const events = plannable(household, now)
  const input = planInput(household, events, now)
  if (input === null || events.length === 0) return null
  const days = isCheapest(household.settings)
    ? null
    : daysInput(household, events, input, chargesFor(household, events, input))
  return days === null ? input : daysAsPlanned(days)
}

/** What the battery holds now by the forecast, per cent; `null` without a reading. */
export function reckonedPct(household: Household, now: Instant): number | null {
  const input = planInput(household, [], now)
  const planned = input && planHolds(input)
  return planned?.ok ? (planned.value.trajectory[0]?.socPct ?? null) : null
}

/** Keeps the plan that was there when a person would see no difference, so that nothing is written or sent again. */
export function replanned(household: Household, now: Instant): Household {
  const plan = planFor(household, now)
  const same =
    plan === null
      ? household.plan === null
      : samePlan(household.plan, plan) && household.plan?.calibratedFor === plan.calibratedFor
  return same ? household : { ...household, plan }
}

/** Whether the time has come to plan what could not be planned before. */
export const isUnplanned = (household: Household, now: Instant): boolean =>
  upcoming(household, now).length > 0 &&
  !upcoming(household, now).some((event) => household.plan?.eventIds.includes(event.id))

/** The planned event of an id. */
export function plannedEvent(household: Household, eventId: string): EventPlan | null {
  const index = household.plan?.eventIds.indexOf(eventId) ?? -1
  return household.plan?.plan.events[index] ?? null
}

/** Whether the battery is at its floor when the event begins (R15). */
export const hasNothingToGive = ({ short, start }: EventPlan): boolean =>
  short !== null && short.coveredUntil <= start

/** Whether pausing gives anything. */
export const isWorthHolding = (plan: EventPlan): boolean =>
  plan.holdBy !== null && !hasNothingToGive(plan)

/** The charge by hand in a plan, if it is long enough to be worth the walk. */
const chargeIn = ({ topUp }: EventPlan): TopUp | null =>
  topUp !== null && topUp.until - topUp.from >= WORTH_CHARGING_MS ? topUp : null

/** The charge by hand that a plan asks for and nobody has said to be set yet; `null` once it is over. */
export function chargeToSet(event: HouseholdEvent, plan: EventPlan, now: Instant): TopUp | null {
  const charge = chargeIn(plan)
  return charge !== null && !event.topUp && now < charge.until ? charge : null
}

/** Whether the charge by hand comes before there is anything to hold: then it is what is asked for, and the pause after it. */
export function chargesFirst(event: HouseholdEvent, plan: EventPlan, now: Instant): TopUp | null {
  const charge = chargeToSet(event, plan, now)
  const target = isWorthHolding(plan) ? (plan.holdBy ?? plan.releaseAt) : plan.releaseAt
  return charge !== null && target >= charge.from - HOLD_AHEAD_MS ? charge : null
}

/** The event whose planned charge went by without a word, if there is one: the plan that counts on it is none any more. */
export const missedCharge = (household: Household, now: Instant): HouseholdEvent | undefined =>
  upcoming(household, now).find((event) => {
    const plan = plannedEvent(household, event.id)
    const charge = plan && chargeIn(plan)
    return plan && charge && charge.until <= now && now < plan.releaseAt - RELEASE_AHEAD_MS
  })

export function samePlan(a: HouseholdPlan | null, b: HouseholdPlan): boolean {
  if (a === null || a.eventIds.join() !== b.eventIds.join()) return false
  return b.plan.events.every((event, i) => {
    const before = a.plan.events[i]
    return before !== undefined && sameToAPerson(before, event)
  })
}

const close = (x: Instant | null, y: Instant | null): boolean =>
  x === y || (x !== null && y !== null && Math.abs(x - y) < SAME_TIME_MS)

/** When a plan from past days would have somebody look; `null` for any other. */
export function lookAt(event: EventPlan): Instant | null {
  const look = 'nextReadingAt' in event ? (event as DaysEventPlan).nextReadingAt : null
  // So near the hold it asks for that as well, and comes when the hold would have.
  return look === null || event.holdBy === null
    ? look
    : earlier(look, asInstant(event.holdBy - HOLD_AHEAD_MS))
}

export function sameToAPerson(a: EventPlan, b: EventPlan): boolean {
  return (
    a.verdict === b.verdict &&
    a.start === b.start &&
    a.end === b.end &&
    a.holdAtPct === b.holdAtPct &&
    close(a.holdBy, b.holdBy) &&
    close(a.releaseAt, b.releaseAt) &&
    close(lookAt(a), lookAt(b)) &&
    close(a.topUp?.from ?? null, b.topUp?.from ?? null) &&
    close(a.topUp?.until ?? null, b.topUp?.until ?? null) &&
    close(a.short?.coveredUntil ?? null, b.short?.coveredUntil ?? null)
  )
}

/** From before the reading on: what charged it in the hours before tells whether it tells of the load. */
const chargingTimes = (reading: Instant, events: readonly HouseholdEvent[], now: Instant) =>
  [asInstant(reading - SAME_STRETCH_MS), events.at(-1)?.end ?? now] as const

/** What charges it besides the sun: its own night, and what somebody set by hand. */
const chargesAhead = (
  { settings, events }: Pick<Household, 'settings' | 'events'>,
  since: Instant,
  until: Instant,
) => sumOfSteps([nightCharges(settings, since, until), chargesAsSurplus(settings, events)])

/** What charges it, for a plan that is made from past days. */
const chargesFor = (
  household: Household,
  events: readonly HouseholdEvent[],
  { reading, now }: PlanInput,
) => chargesAhead(household, ...chargingTimes(reading.at, events, now))

/** A household's data as the planner's input; `null` without a reading. */
export function planInput(
  { settings, readings, ...household }: Household,
  events: readonly HouseholdEvent[],
  now: Instant,
): PlanInput | null {
  const last = readings.at(-1)
  if (last === undefined) return null
  // A week of nights has made any older reading worth nothing, and walking them all costs.
  const from = later(last.at, asInstant(now - OLDEST_READING_MS))
  // Under its floor it gives nothing, held or not: it is planned as at its floor, or it would be held for nothing.
  const socPct = Math.max(last.socPct, settings.battery.outageReservePct)
  const reading = { at: from, socPct }
  const windows = topUpSpans(settings, events, now)
  const [since, until] = chargingTimes(from, events, now)
  const sun = sunAhead(settings, since, until)
  return {
    now,
    battery: settings.battery,
    reading,
    load: [{ start: from, kw: settings.loadKw }],
    solar: sumOfSteps([chargesAhead({ settings, events: household.events }, since, until), sun]),
    events,
    margin: settings.margin,
    rule: settings.rule,
    releaseLeadMinutes: settings.releaseLeadMinutes,
    topUpWindows: windows,
    // A charge can be set beforehand, and the pause after it with it.
    outOfReach: spansWithout(outOfReach(settings, events, now), windows),
    heldSince: heldSince({ settings, readings, ...household }, now),
  }
}
