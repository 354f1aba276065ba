// An announcement in plain text to events, to a question with its candidates, or to nothing. It never
// guesses in silence: what it assumed it says, and what it cannot know it asks.

import type { Instant, Span } from '../plan/index.ts'
import { asInstant } from '../plan/index.ts'
import type { Attached } from './attach.ts'
import { attach } from './attach.ts'
import type { Change } from './change.ts'
import { changeOf, isAsking, sentencesOf } from './change.ts'
import type { Clock } from './clock.ts'
import type { DayWords } from './dayWords.ts'
import { plainDay } from './dayWords.ts'
import { enrolByOf } from './enrolBy.ts'
import { isKnownZone, localDayOf } from './localTime.ts'
import type { Item } from './scan.ts'
import { scan } from './scan.ts'
import type { FoundEvent, SettleContext, Settled, SettleWhy } from './settle.ts'
import { limitOf, settle } from './settle.ts'
import type { Timestamp } from './timestamp.ts'
import type { Token } from './tokens.ts'
import { plainText, textAt, tokensOf } from './tokens.ts'

export type AnnouncementContext = {
  readonly now: Instant
  /** IANA name. */
  readonly timeZone: string
  /** 10/11 is the tenth of November. */
  readonly dayFirst: boolean
  readonly language: 'en'
  /** A person has said yes to what would be asked as too long or too far ahead. */
  readonly confirmed?: boolean
}

export type QuestionWhy =
  | SettleWhy
  | { readonly reason: 'no_end'; readonly start: Instant | null }
  | { readonly reason: 'no_time' }
  | { readonly reason: 'repeating' }
  /** `maybe tomorrow …`, `… or …`, `is there an event …?`: nothing is announced for certain. */
  | { readonly reason: 'only_perhaps' }
  | { readonly reason: 'several_unclear'; readonly count: number }
  | { readonly reason: 'cancelled_and_new' }
  | { readonly reason: 'cancelled_without_time' }
  | { readonly reason: 'moved_without_time' }
  /** `moved from 17:30 to 18:30`: a new start, or the whole of it. */
  | { readonly reason: 'moved_from_or_between' }
  | { readonly reason: 'unknown_zone'; readonly zone: string }

export type AnnouncementReading =
  | { readonly kind: 'nothing' }
  | {
      readonly kind: 'events'
      readonly change: Change
      readonly events: readonly FoundEvent[]
      /** The deadline for saying yes, where one is named without doubt. */
      readonly enrolBy: Instant | null
    }
  | {
      readonly kind: 'question'
      readonly why: QuestionWhy
      readonly candidates: readonly Span[]
      /** What the same text says without doubt. */
      readonly sure: readonly FoundEvent[]
    }

/** A text taken apart: for whoever needs its days and times without its meaning. */
export type Parts = {
  readonly tokens: readonly Token[]
  readonly items: readonly Item[]
  readonly ranges: readonly Attached[]
  readonly sentences: readonly string[]
}

export function partsOf(text: string, context: AnnouncementContext): Parts {
  const tokens = tokensOf(plainText(text))
  const today = localDayOf(context.now, context.timeZone)
  const items = scan({ today, dayFirst: context.dayFirst }, tokens)
  return { tokens, items, ranges: attach(items, tokens), sentences: sentencesOf(tokens) }
}

const nothing: AnnouncementReading = { kind: 'nothing' }

const question = (
  why: QuestionWhy,
  candidates: readonly Span[] = [],
  sure: readonly FoundEvent[] = [],
): AnnouncementReading => ({ kind: 'question', why, candidates, sure })

const EVENT_WORDS =
  /\b(?:events?|sessions?|saving|demand|dispatch|peak|announce[ds]?|save energy)\b/
const HEDGED = /\b(?:maybe|perhaps|possibly|tentative(?:ly)?|provisional(?:ly)?|unconfirmed)\b/
const REPEATING = /\b(?:every|each|daily|nightly|weekly|weekdays|weekends)\b/
const REPLACED = /\b(?:instead|replaced by|new (?:event|session|time|date|one))\b/
const PLAIN_WORDS = new Set(
  "event session saving saver peak battery demand response new next time times window hour please pls the a an is it on at from for and next it's there's there will be this our your pm am local yes confirmed energy grid date when start starts end ends announced announcement".split(
    ' ',
  ),
)

// The tokens of a sentence that belong to no item.
function leftover({ tokens, items }: Parts, sentence: number): readonly Token[] {
  const covered = new Set<number>()
  for (const item of items) for (let i = item.from; i < item.next; i += 1) covered.add(i)
  let current = 0
  return tokens.filter((token, index) => {
    if (token.kind === 'break') current += 1
    return current === sentence && !covered.has(index) && token.kind !== 'break'
  })
}

/** Whether a sentence says nothing besides its times. */
const isBare = (parts: Parts, sentence: number): boolean =>
  leftover(parts, sentence).every(({ kind, text }) =>
    kind === 'mark' ? !/[£$€#%]/.test(text) : PLAIN_WORDS.has(text),
  )

const hasFigure = (parts: Parts, sentence: number): boolean =>
  leftover(parts, sentence).some(({ kind }) => kind === 'number')

// A weak range (`5-7`) counts beside a day, or where nothing else is said.
const counts = (parts: Parts, { item, near }: Attached): boolean =>
  !item.range.weak || near || isBare(parts, item.sentence)

const settleAll = (
  parts: Parts,
  attached: Attached,
  context: SettleContext,
): readonly Settled[] => {
  // `on the 32nd`: a figure that was not understood may have been the day.
  const unread = attached.days.length === 0 && hasFigure(parts, attached.item.sentence)
  const today = localDayOf(context.now, context.timeZone)
  const days = unread
    ? [{ ...plainDay(today), others: [today + 1], unsure: 'no_day' as const }]
    : attached.days
  return (days.length === 0 ? [null] : days).map((day) =>
    settle(attached.item.range, day, attached.part, context),
  )
}

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

// No range at all: a start alone, or a day alone, or nothing that concerns us.
function withoutRange(parts: Parts, text: string, context: SettleContext): AnnouncementReading {
  const { items, tokens } = parts
  const days = items.filter((item) => item.kind === 'day' && !item.deadline)
  const about = EVENT_WORDS.test(text)
  const clock = items.find(
    (item) =>
      item.kind === 'clock' &&
      !item.deadline &&
      (!item.clock.weak || ['at', 'from', '@'].includes(textAt(tokens, item.from - 1))) &&
      !item.clock.short &&
      (about || isBare(parts, item.sentence) || days.some((d) => d.sentence === item.sentence)),
  )
  const day = days.find((item) => item.sentence === clock?.sentence) ?? days[0]
  const stamp = items.find((item) => item.kind === 'timestamp')
  if (stamp !== undefined) return withoutEnd(stamp.timestamp, null, context)
  const words = day?.kind === 'day' ? day.day : null
  if (clock?.kind === 'clock' && (words !== null || about || isBare(parts, 0)))
    return withoutEnd(clock.clock, words, context)
  return words !== null && (about || isBare(parts, 0)) ? question({ reason: 'no_time' }) : nothing
}

const MOVES = new Set('moved changed shifted rescheduled postponed forward back'.split(' '))
const OLD = new Set([
  'instead',
  'rather',
  'not',
  'was',
  'previously',
  'originally',
  'old',
  'formerly',
])

/** Of several ranges in a change of time, the new one: not the one called old, and the last. */
export function newRange({ tokens }: Parts, ranges: readonly Attached[]): Attached | undefined {
  const isOld = ({ item }: Attached) =>
    (item.range.from && MOVES.has(textAt(tokens, item.from - 1))) ||
    [1, 2, 3].some((back) => OLD.has(textAt(tokens, item.from - back)))
  const fresh = ranges.filter((one) => !isOld(one))
  return (fresh.length > 0 ? fresh : ranges).at(-1)
}

function conclude(change: Change, settled: readonly Settled[]): AnnouncementReading {
  const events = settled.flatMap((one) => (one.kind === 'event' ? [one.event] : []))
  const distinct = [
    ...new Map(events.map((event) => [`${event.start} ${event.end}`, event])).values(),
  ]
  const unclear = settled.filter((one) => one.kind === 'question')
  const [first] = unclear
  if (unclear.length > 1)
    return question({ reason: 'several_unclear', count: unclear.length }, [], distinct)
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
    return conclude(
      'cancelled',
      ranges.flatMap((one) => settleAll(parts, one, anyTime)),
    )
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
  if (REPEATING.test(plain)) return question({ reason: 'repeating' })
  const reading = conclude(
    'new',
    ranges.flatMap((attached) => settleAll(parts, attached, context)),
  )
  if (reading.kind !== 'events') return reading
  const hedged = ranges.some(({ item }) => {
    const sentence = parts.sentences[item.sentence] ?? ''
    const other = [1, 2].some((back) => textAt(parts.tokens, item.from - back) === 'or')
    return other || HEDGED.test(sentence) || isAsking(sentence)
  })
  if (hedged) return question({ reason: 'only_perhaps' }, spansIn(reading))
  return { ...reading, enrolBy: enrolByOf(parts.items, parts.sentences, context.timeZone) }
}
