// Why something was not done, in a sentence that says what to do: every reason, in one switch.

import type { Instant } from '../plan/index.ts'
import { type CommandRefusal, type Household, eventName, formatOf } from '../reminder/index.ts'
import { answerWords } from '../words/index.ts'

const words = answerWords.refused

export function refusalText(household: Household, refusal: CommandRefusal): string {
  const f = formatOf(household)
  const when = (at: Instant) => `${f.time(at)}, ${f.shortDay(at)}`
  switch (refusal.reason) {
    case 'event_reversed':
      return words.event_reversed
    case 'event_over':
      return words.event_over(when(refusal.end))
    case 'event_too_long':
      return words.event_too_long(f.duration(refusal.hours), f.duration(refusal.limitHours))
    case 'event_too_far':
      return words.event_too_far(refusal.limitDays)
    case 'events_overlap':
      return words.events_overlap(eventName(household, refusal))
    case 'too_many_events':
      return words.too_many_events(refusal.limit)
    case 'no_such_event':
      return words.no_such_event
    case 'event_cancelled':
      return words.event_cancelled
    case 'reading_out_of_range':
      return words.reading_out_of_range(refusal.socPct)
    case 'reading_in_future':
      return words.reading_in_future(when(refusal.at))
    case 'reading_too_old':
      return words.reading_too_old
    case 'reading_superseded':
      return words.reading_superseded(when(refusal.newerAt))
    case 'no_such_reminder':
      return words.no_such_reminder
    case 'reminder_closed':
      return words.reminder_closed
    case 'snooze_out_of_range':
      return words.snooze_out_of_range
    case 'no_such_channel':
      return words.no_such_channel
    case 'too_many_channels':
      return words.too_many_channels(refusal.limit)
  }
}
