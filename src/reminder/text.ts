// The words of a reminder at the moment it is sent, so that they are right even when it comes late.

import type { EventPlan, Instant } from '../plan/index.ts'
import { type Format, format, reminderWords as say } from '../words/index.ts'
import { hasNothingToGive, isHeld, onTheDay, planFor, plannedEvent, takesPct } from './planning.ts'
import { SAME_TIME_MS } from './timing.ts'
import type { Household, HouseholdEvent, Reminder } from './types.ts'

/** The formatters of a household's zone and language. */
export const formatOf = ({ settings }: Household): Format =>
  format(settings.language, settings.timeZone)

/** `Thursday 14 January, 17:30–18:30` */
export const eventName = (household: Household, event: Pick<HouseholdEvent, 'start' | 'end'>) => {
  const f = formatOf(household)
  return `${f.day(event.start)}, ${f.range(event.start, event.end)}`
}

/** The plan of one event in a sentence or two. */
export function planText(household: Household, event: HouseholdEvent, now: Instant): string {
  const f = formatOf(household)
  const on = eventName(household, event)
  const plan = plannedEvent(household, event.id)
  if (plan === null) {
    const askAt = onTheDay(household, event, now)
    const takes = f.pct(takesPct(household, event, now))
    if (askAt === null) return say.planNeedsReading(on, takes)
    return say.planOnTheDay(on, takes, whenText(f, askAt, event.start))
  }
  const release = whenText(f, plan.releaseAt, event.start)
  const left = f.kwh(plan.marginLeftKwh)
  const pct = f.pct(plan.holdAtPct)
  const until = plan.short && f.time(plan.short.coveredUntil)
  if (isHeld(event) && plan.releaseAt > now)
    return until === null ? say.planHeld(on, release, left) : say.planHeldShort(on, release, until)
  if (plan.releaseAt <= now || event.releasedAt !== null)
    return until === null ? say.planServing(on, left) : say.planServingShort(on, until)
  const by = plan.holdBy === null ? null : whenText(f, plan.holdBy, event.start)
  if (hasNothingToGive(plan)) return say.planEmpty(on)
  if (plan.short !== null) {
    const missing = f.kwh(plan.short.kwh)
    const load = f.kw(plan.short.loadKw)
    return by === null || (plan.holdBy ?? now) <= now
      ? say.planShort(on, f.time(plan.short.coveredUntil), missing, load)
      : say.planShortLater(on, by, f.time(plan.short.coveredUntil), missing, load)
  }
  if (by === null) return say.planNoHold(on, pct)
  return plan.verdict === 'hold-now'
    ? say.planHoldNow(on, pct, left, release)
    : say.planHold(on, by, pct, release)
}

/** A time, with its day when that is not the event's. */
const whenText = (f: Format, at: Instant, eventStart: Instant): string =>
  f.isoDay(at) === f.isoDay(eventStart) ? f.time(at) : `${f.time(at)} (${f.shortDay(at)})`

/** What a reminder says when it is sent `now`; `repeat` is 0 the first time. */
export function reminderText(household: Household, reminder: Reminder, now: Instant): string {
  const event = household.events.find((each) => each.id === reminder.eventId)
  // A reminder is derived from its event, and events are never deleted before their reminders.
  if (event === undefined) throw new RangeError(`Cannot word ${reminder.key}: no such event`)
  const f = formatOf(household)
  const plan = plannedEvent(household, event.id)
  const { howToHold, howToRelease } = household.settings
  switch (reminder.kind) {
    case 'plan':
      return planText(household, event, now)
    case 'reading':
      if (plan !== null)
        return say.readingHold(f.pct(plan.holdAtPct), f.time(plan.releaseAt), howToHold)
      return reminder.repeat === 0 && reminder.dueAt === event.changedAt
        ? planText(household, event, now)
        : say.readingFirst(
            eventName(household, event),
            f.pct(takesPct(household, event, now)),
            howToHold,
          )
    case 'hold':
      if (plan === null) throw new RangeError(`Cannot word ${reminder.key}: there is no plan`)
      return holdText(household, reminder, plan, now)
    case 'release':
      return releaseText(household, reminder, event, plan?.releaseAt ?? event.start, now)
    case 'restore':
      if (event.state === 'cancelled') return say.restoreCancelled(howToRelease)
      return event.end > now
        ? say.restoreMoved(eventName(household, event), howToRelease)
        : say.restoreOver(howToRelease)
    case 'outcome':
      return say.outcome(eventName(household, event))
    case 'enrol':
    case 'overnight':
      throw new RangeError(`Cannot word ${reminder.key}: no such reminder is made`)
  }
}

function holdText(household: Household, reminder: Reminder, plan: EventPlan, now: Instant): string {
  const f = formatOf(household)
  const how = household.settings.howToHold
  const holdBy = plan.holdBy ?? now
  const by = f.time(holdBy)
  const pct = f.pct(plan.holdAtPct)
  const release = whenText(f, plan.releaseAt, now)
  if (now < holdBy)
    return reminder.repeat === 0
      ? say.hold(by, pct, release, how)
      : say.holdAgain(by, pct, release, how)
  if (now - holdBy < SAME_TIME_MS) return say.holdNow(pct, release, how)
  // Late: what holding still gives is reckoned anew, from now.
  const anew = { ...household, plan: planFor(household, now) }
  const short = plannedEvent(anew, reminder.eventId)?.short ?? null
  return short === null
    ? say.holdLate(by, release, how)
    : say.holdLateShort(by, f.time(short.coveredUntil), release, how)
}

function releaseText(
  household: Household,
  reminder: Reminder,
  event: HouseholdEvent,
  releaseAt: Instant,
  now: Instant,
): string {
  const f = formatOf(household)
  const how = household.settings.howToRelease
  const end = f.time(event.end)
  if (event.heldAt === null) return say.releaseIfHeld(end, how)
  if (now >= event.start) return say.releaseLate(end, how)
  return reminder.repeat === 0
    ? say.release(f.time(releaseAt), end, how)
    : say.releaseAgain(f.time(event.start), end, how)
}
