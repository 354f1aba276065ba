// An announcement in plain text to events, to a question with its candidates, or to nothing. It never
// guesses in silence: what it assumed it says, and what it cannot know it asks.

import type { Span } from '../plan/index.ts'
import { asInstant } from '../plan/index.ts'
import type { Attached } from './attach.ts'
import type { Change } from './change.ts'
import { changeOf, isAsking } from './change.ts'
import { plainDay } from './dayWords.ts'
import { enrolByOf } from './enrolBy.ts'
import type { SettleContext } from './limits.ts'
import { limitOf, offered } from './limits.ts'
import { isKnownZone, localDayOf } from './localTime.ts'
import type { AnnouncementContext, Parts } from './parts.ts'
import { hasFigure, hasUnreadDay, isBare, newRange, partsOf } from './parts.ts'
import type { AnnouncementReading } from './reading.ts'
import { nothing, question } from './reading.ts'
import type { Item } from './scan.ts'
import type { Settled } from './settle.ts'
import { settle } from './settle.ts'
import { textAt } from './tokens.ts'
import { withoutRange } from './withoutRange.ts'

const HEDGED = /\b(?:maybe|perhaps|possibly|tentative(?:ly)?|provisional(?:ly)?|unconfirmed)\b/
const REPEATING =
  /\b(?:(?:every|each) (?:day|night|evening|morning|afternoon|week|month|mon|tue|wed|thu|fri|sat|sun)|daily|nightly|weekly|weekdays|weekends|(?:mon|tues|wednes|thurs|fri|satur|sun)days\b)/
const REPLACED = /\b(?:instead|replaced by|new (?:event|session|time|date|one))\b/
// A weak range (`5-7`) counts beside a day, or where nothing else is said.
const counts = (parts: Parts, { item, near }: Attached): boolean =>
  !item.range.weak || near || isBare(parts, item.sentence)

const settleAll = (
  parts: Parts,
  attached: Attached,
  context: SettleContext,
): readonly Settled[] => {
  // `on the 32nd`, `lundi`: what was not understood may have been the day.
  const { item } = attached
  const odd = hasFigure(parts, item.sentence) || hasUnreadDay(parts, item)
  const unread = attached.days.length === 0 && odd
  const today = localDayOf(context.now, context.timeZone)
  const days = unread
    ? [{ ...plainDay(today), others: [today + 1], unsure: 'no_day' as const }]
    : attached.days
  return (days.length === 0 ? [null] : days).map((day) =>
    settle(attached.item.range, day, attached.part, context),
  )
}

function conclude(change: Change, settled: readonly Settled[]): AnnouncementReading {
  const events = settled.flatMap((one) => (one.kind === 'event' ? [one.event] : []))
  const distinct = [
    ...new Map(events.map((event) => [`${event.start} ${event.end}`, event])).values(),
  ]
  const unclear = settled.filter((one) => one.kind === 'question')
  const [first] = unclear
  if (unclear.length > 1)
    return question(
      { reason: 'several_unclear', count: unclear.length },
      unclear.flatMap((one) => one.candidates),
      distinct,
    )
  if (first !== undefined) return question(first.why, first.candidates, distinct)
  return distinct.length === 0
    ? nothing
    : { kind: 'events', change, events: distinct, enrolBy: null }
}

const spansIn = (reading: AnnouncementReading): readonly Span[] =>
  reading.kind === 'events'
    ? reading.events.map(({ start, end }) => ({ start, end }))
    : reading.kind === 'question'
      ? reading.candidates
      : []

// A cancellation never makes an event: one that stands beside it is asked about.
function readCancelled(
  parts: Parts,
  changes: readonly Change[],
  ranges: readonly Attached[],
  context: SettleContext,
): AnnouncementReading {
  const { items, sentences } = parts
  const inCancelled = (item: Item) => changes[item.sentence] === 'cancelled'
  if (ranges.length === 0) return question({ reason: 'cancelled_without_time' })
  const outside = ranges.filter(({ item }) => !inCancelled(item))
  const replaced = sentences.some((text, i) => changes[i] === 'cancelled' && REPLACED.test(text))
  const named = items.some(
    (item) => (item.kind === 'day' || item.kind === 'range') && inCancelled(item),
  )
  if (!replaced && (outside.length === 0 || !named)) {
    const anyTime = { ...context, anyTime: true }
    const reading = conclude(
      'cancelled',
      ranges.flatMap((one) => settleAll(parts, one, anyTime)),
    )
    // What is called off may be past or long, but nothing such is offered to choose from.
    const candidates = reading.kind === 'question' ? offered(reading.candidates, context) : []
    return reading.kind === 'question' ? { ...reading, candidates } : reading
  }
  const last = newRange(parts, ranges)
  const fresh = outside.length > 0 ? outside : last === undefined ? [] : [last]
  const reading = conclude(
    'new',
    fresh.flatMap((one) => settleAll(parts, one, context)),
  )
  return question({ reason: 'cancelled_and_new' }, spansIn(reading))
}

function readMoved(
  parts: Parts,
  ranges: readonly Attached[],
  context: SettleContext,
): AnnouncementReading {
  const target = newRange(parts, ranges)
  if (target === undefined)
    return parts.items.length > 0 ? question({ reason: 'moved_without_time' }) : nothing
  const reading = conclude('moved', settleAll(parts, target, context))
  const shifted = target.item.range.from
  if (!shifted || reading.kind !== 'events') return reading
  const spans = spansIn(reading).flatMap(({ start, end }) => [
    { start: end, end: asInstant(end + (end - start)) },
    { start, end },
  ])
  return question(
    { reason: 'moved_from_or_between' },
    spans.filter((span) => limitOf(span, context) === null),
  )
}

/**
 * Reads what a text announces. Spans are in the household's zone; an event in the past, longer than 6 hours,
 * more than 21 days ahead, or at a time that the clocks skip or repeat comes back as a question.
 */
export function readAnnouncement(text: string, context: AnnouncementContext): AnnouncementReading {
  if (!isKnownZone(context.timeZone))
    return question({ reason: 'unknown_zone', zone: context.timeZone })
  const parts = partsOf(text, context)
  const changes = parts.sentences.map(changeOf)
  const plain = parts.sentences.join('\n')
  const ranges = parts.ranges.filter((attached) => counts(parts, attached))
  if (changes.includes('cancelled')) return readCancelled(parts, changes, ranges, context)
  if (changes.includes('moved')) return readMoved(parts, ranges, context)
  if (ranges.length === 0) return withoutRange(parts, plain, context)
  const sentenceOf = ({ item }: Attached) => parts.sentences[item.sentence] ?? ''
  if (ranges.some((one) => REPEATING.test(sentenceOf(one))))
    return question({ reason: 'repeating' })
  const reading = conclude(
    'new',
    ranges.flatMap((attached) => settleAll(parts, attached, context)),
  )
  if (reading.kind !== 'events') return reading
  const hedged = ranges.some((one) => {
    const sentence = sentenceOf(one)
    const other = [1, 2].some((back) => textAt(parts.tokens, one.item.from - back) === 'or')
    return other || HEDGED.test(sentence) || isAsking(sentence)
  })
  if (hedged) return question({ reason: 'only_perhaps' }, spansIn(reading))
  return { ...reading, enrolBy: enrolByOf(parts.items, parts.sentences, context.timeZone) }
}
