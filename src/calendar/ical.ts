// Entries → iCalendar text (RFC 5545), every time in UTC: no TZID, so no zone rules to carry or to
// get wrong. ical-generator writes it; what it prints unescaped is made safe before.

import ical, { ICalAlarmType, ICalEventStatus, ICalEventTransparency, escape } from 'ical-generator'
import { DateTime } from 'luxon'
import type { Instant } from '../plan/index.ts'
import type { Entry } from './entries.ts'
import { oneLine } from './text.ts'

/**
 * One calendar object with CRLF line ends, folded to at most 75 octets (RFC 5545 §3.1). No METHOD: it
 * is a copy to look at, not an invitation (RFC 5546). `ttlSeconds` is how often to fetch it again.
 */
export function writeCalendar(
  name: string,
  entries: readonly Entry[],
  options: { readonly alarms: boolean; readonly ttlSeconds: number | null },
): string {
  const calendar = ical({
    // ical-generator prints the name as it comes.
    name: escape(oneLine(name), false),
    prodId: '//Holdbell//Calendar//EN',
    ttl: options.ttlSeconds,
    events: entries.map((entry) => ({
      id: entry.uid,
      sequence: entry.sequence,
      stamp: utc(entry.changedAt),
      lastModified: utc(entry.changedAt),
      start: utc(entry.start),
      end: entry.end === null ? null : utc(entry.end),
      summary: entry.title,
      description: entry.detail,
      url: entry.page,
      status: entry.cancelled ? ICalEventStatus.CANCELLED : ICalEventStatus.CONFIRMED,
      // Nobody is busy because of it.
      transparency: ICalEventTransparency.TRANSPARENT,
      alarms:
        options.alarms && !entry.cancelled
          ? entry.alarms.map((minutes) => ({
              type: ICalAlarmType.display,
              triggerBefore: minutes * 60,
            }))
          : [],
    })),
  })
  // The last line needs its line end, too.
  return `${calendar.toString()}\r\n`
}

// Whole seconds, and never later than planned.
const utc = (at: Instant) => DateTime.fromMillis(Math.floor(at / 1000) * 1000, { zone: 'utc' })
