// Why a household refused a command, in words and with the field to change: every reason, in one switch.

import { problemWords as words } from '../../words/en/problems.ts'
import type { CommandRefusal } from './door.ts'
import { notFound, refused } from './problem.ts'
import type { Problem } from './problem.ts'
import { printInstant } from './rfc3339.ts'

/** 404 for what is not there, 422 with a pointer into the request for the rest. */
export function commandProblem(refusal: CommandRefusal): Problem {
  switch (refusal.reason) {
    case 'unknown_event':
      return notFound(words.unknownEvent)
    case 'unknown_reminder':
      return notFound(words.unknownReminder)
    case 'event_cancelled':
      return refused([], words.eventCancelled)
    case 'event_over':
      return refused(['end'], words.eventOver(printInstant(refusal.end), printInstant(refusal.now)))
    case 'event_reversed':
      return refused(['end'], words.spanReversed)
    case 'events_overlap':
      return refused(['start'], words.overlapsAnnounced(refusal.eventId))
    case 'too_many_events':
      return refused([], words.tooManyEvents(refusal.most))
    case 'reading_in_future':
      return refused(
        ['at'],
        words.readingInFuture(printInstant(refusal.at), printInstant(refusal.now)),
      )
    case 'reminder_closed':
      return refused([], words.reminderClosed)
    case 'snooze_too_long':
      return refused(['minutes'], words.snoozeTooLong(printInstant(refusal.uselessAfter)))
  }
}
