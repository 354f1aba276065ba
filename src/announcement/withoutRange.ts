// Texts that name no range: a start alone, a day alone, or nothing that concerns us.

import type { Clock } from './clock.ts'
import type { DayWords } from './dayWords.ts'
import type { SettleContext } from './limits.ts'
import type { Parts } from './parts.ts'
import { hasFigure, isBare } from './parts.ts'
import type { AnnouncementReading } from './reading.ts'
import { nothing, question } from './reading.ts'
import { settle } from './settle.ts'
import type { Timestamp } from './timestamp.ts'
import { textAt } from './tokens.ts'

const EVENT_WORDS =
  /\b(?:events?|sessions?|saving|demand|dispatch|peak|announce[ds]?|save energy)\b/

function withoutEnd(
  clock: Clock | Timestamp,
  day: DayWords | null,
  context: SettleContext,
): AnnouncementReading {
  const settled = [60, 120, 180].map((minutes) =>
    settle(
      {
        start: clock,
        day: null,
        end: { kind: 'minutes', minutes },
        weak: false,
        from: false,
        zone: null,
      },
      day,
      null,
      context,
    ),
  )
  const spans = settled.flatMap((one) =>
    one.kind === 'event' ? [one.event] : one.kind === 'question' ? one.candidates : [],
  )
  const candidates = spans.map(({ start, end }) => ({ start, end }))
  const starts = new Set(candidates.map((span) => span.start))
  const [start] = starts
  return question(
    { reason: 'no_end', start: starts.size === 1 && start !== undefined ? start : null },
    candidates.slice(0, 6),
  )
}

/** Reads a text without a range: asks for the end, or for the times, where it is about an event. */
export function withoutRange(
  parts: Parts,
  text: string,
  context: SettleContext,
): AnnouncementReading {
  const { items, tokens } = parts
  const days = items.filter((item) => item.kind === 'day' && !item.deadline)
  const about = EVENT_WORDS.test(text)
  const clock = items.find(
    (item) =>
      item.kind === 'clock' &&
      !item.deadline &&
      (!item.clock.weak || ['at', 'from', '@'].includes(textAt(tokens, item.from - 1))) &&
      !item.clock.short &&
      (about ||
        isBare(parts, item.sentence) ||
        (days.some((d) => d.sentence === item.sentence) && !hasFigure(parts, item.sentence))),
  )
  const day = days.find((item) => item.sentence === clock?.sentence) ?? days[0]
  const stamp = items.find((item) => item.kind === 'timestamp')
  if (stamp !== undefined) return withoutEnd(stamp.timestamp, null, context)
  const words = day?.kind === 'day' ? day.day : null
  if (clock?.kind === 'clock' && (words !== null || about || isBare(parts, 0)))
    return withoutEnd(clock.clock, words, context)
  return words !== null && (about || isBare(parts, 0)) ? question({ reason: 'no_time' }) : nothing
}
