// Which of the household's events a message means: by the day, the clock or the range it names.

import type { Clock, DayWords, Item, Timestamp } from '../announcement/index.ts'
import {
  localDayOf,
  literal,
  localTimeOf,
  minutesOf,
  resolveMinutes,
  weekdayOf,
} from '../announcement/index.ts'
import { DAY_MS, MINUTE_MS } from '../plan/index.ts'
import type { ChatContext, KnownEvent } from './intent.ts'

const onDay = (event: KnownEvent, { day, others, byWeekday }: DayWords, zone: string): boolean => {
  const on = localDayOf(event.start, zone)
  return byWeekday ? weekdayOf(on) === weekdayOf(day) : on === day || others.includes(on)
}

function atClock(event: KnownEvent, clock: Clock, zone: string): boolean {
  const { hour, minute } = localTimeOf(event.start, zone)
  return minutesOf(clock).some((minutes) => minutes % 1440 === hour * 60 + minute)
}

function atTimestamp(event: KnownEvent, stamp: Timestamp, zone: string): boolean {
  if (stamp.offsetMinutes !== null)
    return (
      event.start === stamp.day * DAY_MS + (stamp.minuteOfDay - stamp.offsetMinutes) * MINUTE_MS
    )
  const resolved = resolveMinutes(stamp.day, stamp.minuteOfDay, zone)
  return resolved.kind === 'fold'
    ? event.start === resolved.first || event.start === resolved.second
    : event.start === resolved.at
}

/** The events that fit all that the items name; all of them when they name nothing. */
export function eventsNamed(items: readonly Item[], context: ChatContext): readonly KnownEvent[] {
  const { events, now, timeZone } = context
  const days = items.flatMap((item) =>
    item.kind === 'day' && !item.deadline
      ? [item.day]
      : item.kind === 'range' && item.range.day !== null
        ? [item.range.day]
        : [],
  )
  const starts = items.flatMap((item) =>
    item.kind === 'clock' && !item.deadline
      ? [literal(item.clock, days[0] ?? null)]
      : item.kind === 'timestamp'
        ? [item.timestamp]
        : item.kind === 'range'
          ? [
              'minuteOfDay' in item.range.start
                ? item.range.start
                : literal(item.range.start, days[0] ?? null),
            ]
          : [],
  )
  return events
    .filter((event) => event.end > now)
    .filter((event) => days.length === 0 || days.some((day) => onDay(event, day, timeZone)))
    .filter(
      (event) =>
        starts.length === 0 ||
        starts.some((start) =>
          'minuteOfDay' in start
            ? atTimestamp(event, start, timeZone)
            : atClock(event, start, timeZone),
        ),
    )
    .sort((a, b) => a.start - b.start)
}
