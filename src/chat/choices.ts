// Choices that answer a question: each sends a complete message, with its date, that leaves nothing open.

import type { Span } from '../plan/index.ts'
import { MINUTE_MS } from '../plan/index.ts'
import {
  limitOf,
  localDayOf,
  localTimeOf,
  offsetMinutes,
  resolveMinutes,
} from '../announcement/index.ts'
import type {
  ChatContext,
  ChatQuestionWhy,
  Choice,
  ChoiceLabel,
  KnownEvent,
  Question,
} from './intent.ts'
import type { Instant } from '../plan/index.ts'

const two = (value: number) => String(value).padStart(2, '0')

const dayText = (at: Instant, zone: string): string => {
  const { year, month, day } = localTimeOf(at, zone)
  return `${String(year).padStart(4, '0')}-${two(month)}-${two(day)}`
}

const clockText = (at: Instant, zone: string): string => {
  const { hour, minute } = localTimeOf(at, zone)
  return `${two(hour)}:${two(minute)}`
}

function offsetText(at: Instant, zone: string): string {
  const minutes = offsetMinutes(at, zone)
  const size = Math.abs(minutes)
  return `${minutes < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`
}

const timestampText = (at: Instant, zone: string): string =>
  `${dayText(at, zone)}T${clockText(at, zone)}${offsetText(at, zone)}`

// Whether the clock on the wall names this instant and no other.
function isPlain(at: Instant, zone: string): boolean {
  const { hour, minute } = localTimeOf(at, zone)
  return resolveMinutes(localDayOf(at, zone), hour * 60 + minute, zone).kind === 'one'
}

/** `2027-01-14 17:30-18:30`; an ISO 8601 interval with offsets where the clocks show a time twice. */
export function spanText({ start, end }: Span, zone: string): string {
  const days = localDayOf(end, zone) - localDayOf(start, zone)
  const overnight = days === 1 && clockText(end, zone) <= clockText(start, zone)
  return isPlain(start, zone) && isPlain(end, zone) && (days === 0 || overnight)
    ? `${dayText(start, zone)} ${clockText(start, zone)}-${clockText(end, zone)}`
    : `${timestampText(start, zone)}/${timestampText(end, zone)}`
}

/** An ISO 8601 interval with offsets, that means the same whatever the clocks do. */
export const isoSpanText = ({ start, end }: Span, zone: string): string =>
  `${timestampText(start, zone)}/${timestampText(end, zone)}`

/** `2027-01-14 17:30`: an event by its start. */
export const startText = ({ start }: Span, zone: string): string =>
  isPlain(start, zone)
    ? `${dayText(start, zone)} ${clockText(start, zone)}`
    : timestampText(start, zone)

// `yes` where the span would be asked about once more.
const yesFor = (spans: readonly Span[], { now, timeZone }: ChatContext): string =>
  spans.some((span) => limitOf(span, { now, timeZone }) !== null) ? 'yes ' : ''

function clocksOf({ start, end }: Span, zone: string): 'plain' | 'before' | 'after' | 'across' {
  const later = (at: Instant) => {
    const { hour, minute } = localTimeOf(at, zone)
    const resolved = resolveMinutes(localDayOf(at, zone), hour * 60 + minute, zone)
    return resolved.kind === 'fold' ? (at === resolved.second ? 'after' : 'before') : null
  }
  const from = later(start)
  const until = later(end)
  if (from === null && until === null) return 'plain'
  return from === null || until === null || from === until ? (from ?? until ?? 'plain') : 'across'
}

export const spanLabel = (span: Span, zone: string): ChoiceLabel => ({
  kind: 'span',
  span,
  clocks: clocksOf(span, zone),
})

/** One choice a candidate, sent along with what was sure already. */
export const announceChoices = (
  candidates: readonly Span[],
  sure: readonly Span[],
  context: ChatContext,
): readonly Choice[] =>
  candidates.map(({ start, end }) => {
    const spans = [...sure, { start, end }]
    const sends = spans.map((span) => spanText(span, context.timeZone)).join(', ')
    return {
      label: spanLabel({ start, end }, context.timeZone),
      send: `${yesFor(spans, context)}${sends}`,
    }
  })

export const cancelChoices = (events: readonly KnownEvent[], zone: string): readonly Choice[] =>
  events.map((event) => ({
    label: { kind: 'event', event },
    send: `cancel ${startText(event, zone)}`,
  }))

export const moveText = (event: KnownEvent, to: Span, context: ChatContext): string =>
  `${yesFor([to], context)}move ${startText(event, context.timeZone)} to ${spanText(to, context.timeZone)}`

export const moveChoices = (
  event: KnownEvent,
  candidates: readonly Span[],
  context: ChatContext,
): readonly Choice[] =>
  candidates.map(({ start, end }) => ({
    label: spanLabel({ start, end }, context.timeZone),
    send: moveText(event, { start, end }, context),
  }))

export const ask = (why: ChatQuestionWhy, choices: readonly Choice[] = []): Question => ({
  kind: 'question',
  why,
  choices,
})

/** How long an event is, kept when only its start moves. */
export const minutesOfSpan = ({ start, end }: Span): number => (end - start) / MINUTE_MS
