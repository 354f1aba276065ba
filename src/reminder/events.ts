// Events announced, moved and cancelled.

import { DAY_MS, HOUR_MS, type Instant, type Result, type Span, ok, refuse } from '../plan/index.ts'
import type { CommandRefusal } from './commands.ts'
import { upcoming } from './planning.ts'
import type { Household, HouseholdEvent } from './types.ts'

/** Longer than any demand-response event; a typing slip (common practice, no source). */
const LONGEST_HOURS = 24
const FARTHEST_DAYS = 366
/** As many as one plan takes. */
const MOST_EVENTS = 20

export type Changed = Result<{ household: Household; eventId: string }, CommandRefusal>

/** Adds events, all or none. */
export function withEvents(
  household: Household,
  spans: readonly Span[],
  now: Instant,
): Result<{ household: Household; eventIds: readonly string[] }, CommandRefusal> {
  const eventIds: string[] = []
  let next = household
  for (const span of spans) {
    const done = withEvent(next, span, now)
    if (!done.ok) return done
    eventIds.push(done.value.eventId)
    next = done.value.household
  }
  return ok({ household: next, eventIds })
}

/** Adds an event; one that is known already, to the millisecond, stays as it is. */
function withEvent(household: Household, span: Span, now: Instant): Changed {
  const known = household.events.find(
    ({ state, start, end }) => state === 'announced' && start === span.start && end === span.end,
  )
  if (known !== undefined) return ok({ household, eventId: known.id })
  const refusal = whyNot(household, span, null, now)
  if (refusal !== null) return refuse(refusal)
  if (upcoming(household, now).length >= MOST_EVENTS)
    return refuse({ reason: 'too_many_events', limit: MOST_EVENTS })
  const event: HouseholdEvent = {
    id: `e${household.events.length + 1}`,
    start: span.start,
    end: span.end,
    state: 'announced',
    sequence: 0,
    changedAt: now,
    heldAt: null,
    releasedAt: null,
    outcomePct: null,
  }
  return ok({
    household: { ...household, events: [...household.events, event] },
    eventId: event.id,
  })
}

/** Moves an event. What was done stays done: a paused battery stays paused, one that was let run is to be held anew. */
export function withMove(household: Household, eventId: string, span: Span, now: Instant): Changed {
  const found = open(household, eventId, now)
  if (!found.ok) return found
  const event = found.value
  if (event.start === span.start && event.end === span.end) return ok({ household, eventId })
  const refusal = whyNot(household, span, eventId, now)
  if (refusal !== null) return refuse(refusal)
  const released = event.releasedAt !== null && span.start > now
  return ok({
    household: changed(household, {
      ...event,
      start: span.start,
      end: span.end,
      sequence: event.sequence + 1,
      changedAt: now,
      heldAt: released ? null : event.heldAt,
      releasedAt: released ? null : event.releasedAt,
    }),
    eventId,
  })
}

/** Cancels an event. It stays, so that calendars and people can be told. */
export function withCancellation(household: Household, eventId: string, now: Instant): Changed {
  const found = open(household, eventId, now)
  if (!found.ok) return found
  const event = found.value
  return ok({
    household: changed(household, {
      ...event,
      state: 'cancelled',
      sequence: event.sequence + 1,
      changedAt: now,
    }),
    eventId,
  })
}

export const changed = (household: Household, event: HouseholdEvent): Household => ({
  ...household,
  events: household.events.map((each) => (each.id === event.id ? event : each)),
})

function open(
  household: Household,
  eventId: string,
  now: Instant,
): Result<HouseholdEvent, CommandRefusal> {
  const event = household.events.find((each) => each.id === eventId)
  if (event === undefined) return refuse({ reason: 'no_such_event', eventId })
  if (event.state === 'cancelled') return refuse({ reason: 'event_cancelled', eventId })
  if (event.end <= now) return refuse({ reason: 'event_over', end: event.end })
  return ok(event)
}

function whyNot(
  household: Household,
  { start, end }: Span,
  moving: string | null,
  now: Instant,
): CommandRefusal | null {
  if (!(start < end)) return { reason: 'event_reversed', start, end }
  if (end <= now) return { reason: 'event_over', end }
  const hours = (end - start) / HOUR_MS
  if (hours > LONGEST_HOURS) return { reason: 'event_too_long', hours, limitHours: LONGEST_HOURS }
  const days = (start - now) / DAY_MS
  if (days > FARTHEST_DAYS) return { reason: 'event_too_far', days, limitDays: FARTHEST_DAYS }
  const other = household.events.find(
    (each) =>
      each.state === 'announced' && each.id !== moving && each.start < end && start < each.end,
  )
  if (other !== undefined)
    return { reason: 'events_overlap', eventId: other.id, start: other.start, end: other.end }
  return null
}
