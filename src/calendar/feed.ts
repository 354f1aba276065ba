// The two calendar files of a household. The feed is a display and never a delivery: clients fetch it
// hours apart and should strip its alarms (RFC 7986 §7, RFC 9074 §9).

import type { Instant } from '../plan/index.ts'
import type { Household } from '../reminder/index.ts'
import { calendarWords } from '../words/index.ts'
import { entriesOf, eventsToShow } from './entries.ts'
import { writeCalendar } from './ical.ts'

const HOUR_S = 3600

/**
 * The feed to subscribe to: text/calendar. Past events stay 60 days, cancelled ones 14 days after
 * their end. `page` is a link that everybody who has the feed may see.
 */
export function renderFeed(
  household: Household,
  options: { readonly now: Instant; readonly page: string; readonly ttlSeconds?: number },
): string {
  return writeCalendar(
    calendarWords.feedName(household.settings.name),
    entriesOf(household, eventsToShow(household, options.now), options.page),
    { alarms: household.settings.calendarAlarms, ttlSeconds: options.ttlSeconds ?? HOUR_S },
  )
}

/**
 * One event's plan as a file to import once, always with alarms, with the feed's own UIDs; `null` when
 * there is no such event.
 */
export function renderPlanFile(
  household: Household,
  eventId: string,
  options: { readonly page: string },
): string | null {
  const event = household.events.find(({ id }) => id === eventId)
  if (event === undefined) return null
  return writeCalendar(
    calendarWords.feedName(household.settings.name),
    entriesOf(household, [event], options.page),
    { alarms: true, ttlSeconds: null },
  )
}
