// Why a household refused a command, in words and with the field to change: every reason, in one switch.

import type { CommandRefusal } from '../../reminder/index.ts'
import { problemWords as words } from '../../words/en/problems.ts'
import { notFound, refused } from './problem.ts'
import type { Problem } from './problem.ts'
import { printInstant } from './rfc3339.ts'

/** 404 for what is not there, 422 with a pointer into the request for the rest. */
export function commandProblem(refusal: CommandRefusal): Problem {
  switch (refusal.reason) {
    case 'no_such_event':
      return notFound(words.unknownEvent)
    case 'no_such_reminder':
      return notFound(words.unknownReminder)
    case 'event_cancelled':
      return refused([], words.eventCancelled)
    case 'event_over':
      return refused(['end'], words.eventIsOver(printInstant(refusal.end)))
    case 'event_reversed':
      return refused(['end'], words.spanReversed)
    case 'event_too_long':
      return refused(['end'], words.eventTooLong(refusal.limitHours))
    case 'event_too_far':
      return refused(['start'], words.tooFarAhead(refusal.limitDays))
    case 'events_overlap':
      return refused(['start'], words.overlapsAnnounced(refusal.eventId))
    case 'too_many_events':
      return refused([], words.tooManyEvents(refusal.limit))
    case 'reading_out_of_range':
      return refused(['socPct'], words.socPctRange)
    case 'reading_in_future':
      return refused(['at'], words.readingAhead(printInstant(refusal.at)))
    case 'reading_too_old':
      return refused(['at'], words.readingTooOld(printInstant(refusal.at)))
    case 'reading_superseded':
      return refused(['at'], words.readingSuperseded(printInstant(refusal.newerAt)))
    case 'reminder_closed':
      return refused([], words.reminderClosed(refusal.state))
    case 'snooze_out_of_range':
      return refused(['minutes'], words.snoozeOutOfRange)
    case 'no_such_channel':
      return notFound(words.unknownChannel)
    case 'too_many_channels':
      return refused([], words.tooManyChannels(refusal.limit))
  }
}
