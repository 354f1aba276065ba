// The words of a reminder at the moment it is sent, so that they are right even when it comes late.

import { type EventPlan, type Instant, MINUTE_MS, type Span, later } from '../plan/index.ts'
import { type Format, format, reachWords as reach, reminderWords as say } from '../words/index.ts'
import { adviceFor } from './advice.ts'
import { adviceText, whenText, whoCan } from './adviceText.ts'
import { chargeSpan, overnightText, pctAfter } from './chargeText.ts'
import {
  chargesFirst,
  hasNothingToGive,
  isHeld,
  isHeldForAnother,
  onTheDay,
  planFor,
  plannedEvent,
  takesPct,
} from './planning.ts'
import { provenText } from './provenText.ts'
import { outOfReach } from './reach.ts'
import { SAME_TIME_MS } from './timing.ts'
import { chargeWindows } from './topUp.ts'
import type { Household, HouseholdEvent, Reminder } from './types.ts'

/** The formatters of a household's zone and language. */
export const formatOf = ({ settings }: Household): Format =>
  format(settings.language, settings.timeZone)

/** `Thursday 14 January, 17:30–18:30` */
export const eventName = (household: Household, event: Pick<HouseholdEvent, 'start' | 'end'>) => {
  const f = formatOf(household)
  return `${f.day(event.start)}, ${f.range(event.start, event.end)}`
}

/** The plan of one event in a sentence or two, and what is to be known besides; `unsaid`: but what stands in the conversation already, word for word. */
export function planText(
  household: Household,
  event: HouseholdEvent,
  now: Instant,
  unsaid = false,
): string {
  const besides = adviceFor(household, event, now)
    // The sentence says so itself, or the reminder will.
    .filter(({ kind }) => kind !== 'hold-before-gone' && kind !== 'not-when-freezing')
    .map((about) => adviceText(household, about, event, now))
    .filter((known) => !unsaid || !household.messages.some(({ text }) => text.includes(known)))
  const f = formatOf(household)
  const toHold =
    event.heldAt === null && (plannedEvent(household, event.id)?.releaseAt ?? now) > now
  const proven = toHold ? provenText(household, event, (at) => whenText(f, at, event.start)) : []
  return [planSentence(household, event, now), ...proven, ...besides].join(' ')
}

function planSentence(household: Household, event: HouseholdEvent, now: Instant): string {
  const f = formatOf(household)
  const on = eventName(household, event)
  const plan = plannedEvent(household, event.id)
  if (plan === null) {
    const askAt = onTheDay(household, event, now)
    const takes = f.pct(takesPct(household, event, now))
    if (askAt === null) return say.planNeedsReading(on, takes)
    const at = whenText(f, askAt, event.start)
    return chargeWindows(household.settings, [event], now).length === 0
      ? say.planOnTheDay(on, takes, at)
      : reach.planInTheEvening(on, takes, at)
  }
  const release = whenText(f, plan.releaseAt, event.start)
  const left = f.kwh(plan.marginLeftKwh)
  const pct = f.pct(plan.holdAtPct)
  const until = plan.short && f.time(plan.short.coveredUntil)
  if (isHeld(event) && !isHeldForAnother(household, event, now) && plan.releaseAt > now)
    return until === null ? say.planHeld(on, release, left) : say.planHeldShort(on, release, until)
  if (plan.releaseAt <= now || event.releasedAt !== null)
    return until === null ? say.planServing(on, left) : say.planServingShort(on, until)
  const by = plan.holdBy === null ? null : whenText(f, plan.holdBy, event.start)
  if (hasNothingToGive(plan)) return say.planEmpty(on)
  const charge = chargesFirst(event, plan, now)
  if (charge !== null) {
    const [span, to] = [chargeSpan(f, charge), f.pctUp(pctAfter(household, charge))]
    return until === null
      ? reach.planTopUp(on, span, to, release)
      : reach.planTopUpShort(on, span, to, until)
  }
  if (plan.short !== null) {
    const missing = f.kwh(plan.short.kwh)
    const load = f.kw(plan.short.loadKw)
    return by === null || (plan.holdBy ?? now) <= now
      ? say.planShort(on, f.time(plan.short.coveredUntil), missing, load)
      : say.planShortLater(on, by, f.time(plan.short.coveredUntil), missing, load)
  }
  if (by === null) return say.planNoHold(on, pct)
  const gone = goneAfterHold(household, event, now)
  if (gone !== null) {
    const [from, back] = [whenText(f, gone.start, event.start), whenText(f, gone.end, event.start)]
    return reach.planBeforeGone(on, from, back, pct, release)
  }
  return plan.verdict === 'hold-now'
    ? say.planHoldNow(on, pct, left, release)
    : say.planHold(on, by, pct, release)
}

/** The time in which nobody can reach it, where the hold has to come before that; `null` otherwise. */
function goneAfterHold(household: Household, event: HouseholdEvent, now: Instant): Span | null {
  const early = adviceFor(household, event, now).find(({ kind }) => kind === 'hold-before-gone')
  return early?.kind === 'hold-before-gone' ? early.gone : null
}

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
      return planText(household, event, now, true)
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
      return [
        holdText(household, reminder, event, plan, now),
        ...whoCan(household, later(now, plan.holdBy ?? now)),
      ]
        .join(' ')
        .concat(say.atHome(howToHold))
    case 'release':
      return [
        releaseText(household, reminder, event, plan?.releaseAt ?? event.start, now),
        ...whoCan(household, later(now, plan?.releaseAt ?? now)),
      ]
        .join(' ')
        .concat(say.atHome(howToRelease))
    case 'overnight':
      if (!plan?.topUp)
        throw new RangeError(`Cannot word ${reminder.key}: there is nothing to charge`)
      return overnightText(household, reminder, plan.topUp, plan.releaseAt, now)
    case 'restore':
      if (event.state === 'cancelled') return say.restoreCancelled(howToRelease)
      return event.end > now
        ? say.restoreMoved(eventName(household, event), howToRelease)
        : say.restoreOver(howToRelease)
    case 'outcome':
      return say.outcome(eventName(household, event))
    case 'enrol':
      throw new RangeError(`Cannot word ${reminder.key}: no such reminder is made`)
  }
}

function holdText(
  household: Household,
  reminder: Reminder,
  event: HouseholdEvent,
  plan: EventPlan,
  now: Instant,
): string {
  const f = formatOf(household)
  const holdBy = plan.holdBy ?? now
  const by = f.time(holdBy)
  const pct = f.pct(plan.holdAtPct)
  const release = whenText(f, plan.releaseAt, now)
  const gone = goneAfterHold(household, event, now)
  if (gone !== null) {
    const [from, back] = [whenText(f, gone.start, now), whenText(f, gone.end, now)]
    return reminder.repeat === 0
      ? reach.hold(from, pct, back, release)
      : reach.holdAgain(from, release)
  }
  if (now < holdBy)
    return reminder.repeat === 0 ? say.hold(by, pct, release) : say.holdAgain(by, pct, release)
  if (now - holdBy < SAME_TIME_MS) return say.holdNow(pct, release)
  // Late: what holding still gives is reckoned anew, from now.
  const anew = { ...household, plan: planFor(household, now) }
  const short = plannedEvent(anew, reminder.eventId)?.short ?? null
  return short === null
    ? say.holdLate(by, release)
    : say.holdLateShort(by, f.time(short.coveredUntil), release)
}

function releaseText(
  household: Household,
  reminder: Reminder,
  event: HouseholdEvent,
  releaseAt: Instant,
  now: Instant,
): string {
  const f = formatOf(household)
  const end = f.time(event.end)
  if (event.heldAt === null) return say.releaseIfHeld(end)
  if (now >= event.start) return say.releaseLate(Math.floor((now - event.start) / MINUTE_MS), end)
  if (reminder.repeat > 0) return say.releaseAgain(f.time(event.start), end)
  if (now - releaseAt >= SAME_TIME_MS) return say.releaseNow(f.time(event.start), end)
  const gone = outOfReach(household.settings, [event]).find(({ start }) => start - 1 === releaseAt)
  return gone === undefined || now >= gone.start
    ? say.release(f.time(releaseAt), end)
    : reach.release(whenText(f, gone.start, now), end)
}
