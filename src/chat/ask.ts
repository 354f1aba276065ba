// A question to its sentence, and a choice to the words on its button: one exhaustive switch each.

import type { LocalTime } from '../announcement/index.ts'
import { CONFIRMED_DAYS, CONFIRMED_HOURS } from '../announcement/index.ts'
import { HOUR_MS } from '../plan/index.ts'
import type { Format } from '../words/index.ts'
import { conversationWords as words } from '../words/index.ts'
import type { ChatQuestionWhy, ChoiceLabel } from './intent.ts'

const clock = ({ hour, minute }: LocalTime): string =>
  `${String(hour).padStart(2, '0')}:${String(minute).padStart(2, '0')}`

/** The sentence that asks. */
export function questionText(why: ChatQuestionWhy, f: Format): string {
  switch (why.reason) {
    case 'morning_or_evening':
      return words.morningOrEvening
    case 'midnight':
      return words.midnight
    case 'no_day':
      return words.noDay
    case 'in_the_past':
      return words.inThePast(`${f.shortDay(why.start)} ${f.range(why.start, why.end)}`)
    case 'too_long':
      return why.hours > CONFIRMED_HOURS
        ? words.muchTooLong(f.duration(why.hours), f.duration(CONFIRMED_HOURS))
        : words.tooLong(f.duration(why.hours))
    case 'too_short':
      return words.tooShort(f.duration(why.minutes / 60))
    case 'too_far':
      return why.days > CONFIRMED_DAYS
        ? words.muchTooFar(String(why.days), String(CONFIRMED_DAYS))
        : words.tooFar(String(why.days))
    case 'clock_change_gap':
      return words.clocksSkip(clock(why.shows))
    case 'clock_change_fold':
      return words.clocksRepeat
    case 'day_or_month':
      return words.dayOrMonth
    case 'which_week':
      return words.whichWeek
    case 'weekday_mismatch':
      return words.weekdayMismatch
    case 'other_zone':
      return words.otherZone(why.zone)
    case 'only_perhaps':
      return words.onlyPerhaps
    case 'no_such_day':
      return words.noSuchDay
    case 'no_end':
      return why.start === null
        ? words.noEnd
        : words.noEndFrom(`${f.shortDay(why.start)} ${f.time(why.start)}`)
    case 'no_time':
      return words.noTime
    case 'repeating':
      return words.repeating
    case 'several_unclear':
      return words.severalUnclear(String(why.count))
    case 'cancelled_and_new':
      return words.cancelledAndNew
    case 'cancelled_without_time':
      return words.cancelledWithoutTime
    case 'moved_without_time':
      return words.movedWithoutTime
    case 'moved_from_or_between':
      return words.movedFromOrBetween
    case 'unknown_zone':
      return words.unknownZone(why.zone)
    case 'which_event':
      return words.whichEvent
    case 'no_such_event':
      return words.noSuchEvent
    case 'no_events':
      return words.noEvents
    case 'how_long':
      return words.howLong
    case 'done_or_seen':
      return words.doneOrSeen
    case 'two_things':
      return words.twoThings
    case 'reading_in_words':
      return words.readingInWords(f.pct(why.socPct))
    case 'reading_out_of_range':
      return words.readingOutOfRange(String(why.value))
    case 'reading_in_future':
      return words.readingInFuture(f.time(why.at))
  }
}

/** What a choice's button shows. */
export function choiceText(label: ChoiceLabel, f: Format): string {
  switch (label.kind) {
    case 'span': {
      const { start, end } = label.span
      const day = f.shortDay(start)
      const times = f.range(start, end)
      const length = f.duration((end - start) / HOUR_MS)
      switch (label.clocks) {
        case 'plain':
          return words.buttonSpan(day, times)
        case 'before':
          return words.buttonSpanBefore(day, times, length)
        case 'after':
          return words.buttonSpanAfter(day, times, length)
        case 'across':
          return words.buttonSpanAcross(day, times, length)
      }
    }
    case 'event':
      return words.buttonEvent(
        f.shortDay(label.event.start),
        f.range(label.event.start, label.event.end),
      )
    case 'minutes':
      return words.buttonMinutes(f.duration(label.minutes / 60))
    case 'reading':
      return words.buttonReading(f.pct(label.socPct))
    case 'done':
      return words.buttonDone
    case 'not-yet':
      return words.buttonNotYet
  }
}
