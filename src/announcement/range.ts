// When an event begins and ends, as written: two clocks, a clock and a duration, or an ISO 8601 interval.

import type { Clock, Found } from './clock.ts'
import { clockAt, hourWordAt } from './clock.ts'
import type { DayContext, DayWords } from './dayWords.ts'
import { dayAt } from './day.ts'
import { durationAt } from './duration.ts'
import type { Timestamp } from './timestamp.ts'
import { timestampAt } from './timestamp.ts'
import type { Token } from './tokens.ts'
import { isGlued, textAt } from './tokens.ts'
import type { ZoneWord } from './zoneWords.ts'
import { zoneAt } from './zoneWords.ts'

export type RangeEnd =
  | { readonly kind: 'clock'; readonly clock: Clock; readonly day: DayWords | null }
  | { readonly kind: 'minutes'; readonly minutes: number }
  | { readonly kind: 'timestamp'; readonly timestamp: Timestamp }

export type Range = {
  readonly start: Clock | Timestamp
  readonly day: DayWords | null
  readonly end: RangeEnd
  /** Nothing but bare numbers: a range only where the text around it says so. */
  readonly weak: boolean
  /** Written `from … to`: beside `moved` it may be an old and a new start. */
  readonly from: boolean
  /** A zone written beside it. */
  readonly zone: ZoneWord | null
}

const LINKS = new Set(['-', 'to', 'till', 'til', 'until', 'through', '→', '~'])
// `starts at 17:30 and ends at 18:30`, `Start: 17:30 / End: 18:30`
const ENDS = new Set('end ends ending finish finishes finishing until till'.split(' '))
const FILLERS = new Set(
  'and it the event session will time at is : , / ( - start starts starting from by'.split(' '),
)

const LEADS = new Map([
  ['from', 'from'],
  ['between', 'between'],
  ['btw', 'between'],
])

// Past the words between a start and its end, or null when nothing links the two.
function linkAt(tokens: readonly Token[], index: number, between: boolean): number | null {
  const text = textAt(tokens, index)
  if (text === '-' && textAt(tokens, index + 1) === '>') return index + 2
  if (text === 'and' && between) return index + 1
  if (LINKS.has(text))
    return ['about', ':'].includes(textAt(tokens, index + 1)) ? index + 2 : index + 1
  let ended = false
  let at = index
  while (at < index + 8) {
    const token = tokens[at]
    if (token === undefined) break
    if (ENDS.has(token.text)) ended = true
    else if (!FILLERS.has(token.text) && token.kind !== 'break') break
    at += 1
  }
  return ended ? at : null
}

function endAt(
  context: DayContext,
  tokens: readonly Token[],
  index: number,
): Found<RangeEnd> | null {
  const before = dayAt(context, tokens, index)
  const at = before === null ? index : before.next
  const skip = before !== null && [',', 'at'].includes(textAt(tokens, at)) ? at + 1 : at
  const clock = clockAt(tokens, skip, true) ?? hourWordAt(tokens, skip)
  if (clock === null) return null
  const day = before?.value ?? null
  return { value: { kind: 'clock', clock: clock.value, day }, next: clock.next }
}

// `for 90 min`, `(1 h)`, `, 2 hours`, `+ 90 min`, `x 1h`
function lengthAt(tokens: readonly Token[], index: number): Found<RangeEnd> | null {
  const comma =
    textAt(tokens, index) === ',' && ['for', 'lasting'].includes(textAt(tokens, index + 1))
  if (comma) return lengthAt(tokens, index + 1)
  const lead = textAt(tokens, index)
  if (!['for', '(', ',', '+', '/', 'lasting', 'lasts', 'x'].includes(lead)) return null
  const filler = ['about', 'around'].includes(textAt(tokens, index + 1)) ? 2 : 1
  const found = durationAt(tokens, index + filler)
  return found === null
    ? null
    : { value: { kind: 'minutes', minutes: found.value }, next: found.next }
}

function fromTimestamp(
  context: DayContext,
  tokens: readonly Token[],
  index: number,
): Found<Range> | null {
  const start = timestampAt(tokens, index)
  if (start === null) return null
  const link = textAt(tokens, index + 1) === '/' ? index + 2 : linkAt(tokens, index + 1, true)
  const done = (end: RangeEnd, next: number): Found<Range> => ({
    value: { start, day: null, end, weak: false, from: false, zone: null },
    next,
  })
  if (link !== null) {
    const other = timestampAt(tokens, link)
    // `move A to B/C`: the interval is the second one
    if (other !== null && textAt(tokens, link + 1) === '/') return null
    if (other !== null) return done({ kind: 'timestamp', timestamp: other }, link + 1)
    const length = durationAt(tokens, link)
    if (length !== null) return done({ kind: 'minutes', minutes: length.value }, length.next)
    const clock = endAt(context, tokens, link)
    // `move A to 2027-01-14 18:00-19:00`, likewise
    if (clock !== null && !isChained(tokens, clock.next)) return done(clock.value, clock.next)
    if (clock !== null) return null
  }
  const length = lengthAt(tokens, index + 1)
  return length === null ? null : done(length.value, length.next)
}

// `90 min from 17:30`
function fromLength(
  context: DayContext,
  tokens: readonly Token[],
  index: number,
): Found<Range> | null {
  const length = durationAt(tokens, index)
  if (length === null) return null
  const link = textAt(tokens, length.next)
  if (!['from', 'at', 'starting'].includes(link)) return null
  const at = length.next + (textAt(tokens, length.next + 1) === 'at' ? 2 : 1)
  const day = dayAt(context, tokens, at)
  const clock = clockAt(tokens, day?.next ?? at)
  if (clock === null || linkAt(tokens, clock.next, false) !== null) return null
  const zone = zoneAt(tokens, clock.next)
  return {
    value: {
      start: clock.value,
      day: day?.value ?? null,
      end: { kind: 'minutes', minutes: length.value },
      weak: false,
      from: false,
      zone: zone?.value ?? null,
    },
    next: zone?.next ?? clock.next,
  }
}

// `now for one hour`, `in 10 minutes for 1 hour`, `now until 14:00`: a range only where nothing else is said
function fromNow(
  context: DayContext,
  tokens: readonly Token[],
  index: number,
): Found<Range> | null {
  const word = textAt(tokens, index)
  const wait = word === 'in' ? durationAt(tokens, index + 1) : null
  if (word !== 'now' && wait === null) return null
  const begun = wait?.next ?? index + 1
  const length = lengthAt(tokens, textAt(tokens, begun) === 'and' ? begun + 1 : begun)
  const until = ['until', 'till', 'til', 'to'].includes(textAt(tokens, begun))
  const end = length ?? (until ? endAt(context, tokens, begun + 1) : null)
  if (end === null) return null
  const minute = context.minuteOfDay + Math.round(wait?.value ?? 0)
  const over = Math.floor(minute / 1440)
  const start = {
    day: context.today + over,
    minuteOfDay: minute - over * 1440,
    offsetMinutes: null,
  }
  return {
    value: { start, day: null, end: end.value, weak: true, from: false, zone: null },
    next: end.next,
  }
}

// `5-7-9`, `902-555-0142`: not two times
const isChained = (tokens: readonly Token[], next: number): boolean =>
  textAt(tokens, next) === '-' && isGlued(tokens, next) && tokens[next + 1]?.kind === 'number'

// What follows a start: a link and an end, or a duration.
function fromClock(
  context: DayContext,
  tokens: readonly Token[],
  start: Found<Clock> | null,
  lead: string,
): Found<Range> | null {
  if (start === null) return null
  const zoned = zoneAt(tokens, start.next)
  const begun = zoned?.next ?? start.next
  const on = textAt(tokens, begun) === 'on' ? begun + 1 : begun
  const day = dayAt(context, tokens, on)
  const after = day?.next ?? begun
  const link = linkAt(tokens, after, lead === 'between')
  const end = (link === null ? null : endAt(context, tokens, link)) ?? lengthAt(tokens, after)
  if (end === null) return null
  if (isChained(tokens, end.next)) return null
  const closing = end.value.kind === 'clock' ? end.value.clock : null
  if (start.value.short && (closing === null || closing.half === null)) return null
  if (closing?.short === true && start.value.half === null) return null
  const weak = closing !== null && start.value.weak && closing.weak && lead === ''
  const value = { start: start.value, day: day?.value ?? null, end: end.value, weak }
  const zone = zoneAt(tokens, end.next) ?? zoned
  const next = Math.max(end.next, zone?.next ?? 0)
  return { value: { ...value, from: lead === 'from', zone: zone?.value ?? null }, next }
}

/** The range that begins at a token, if one does. */
export function rangeAt(
  context: DayContext,
  tokens: readonly Token[],
  index: number,
): Found<Range> | null {
  const exact =
    fromTimestamp(context, tokens, index) ??
    fromLength(context, tokens, index) ??
    fromNow(context, tokens, index)
  if (exact !== null) return exact
  const lead = LEADS.get(textAt(tokens, index)) ?? ''
  const at = lead === '' ? index : index + 1
  // `from 5 Jan 7-9pm`: the 5 is a date
  if (dayAt(context, tokens, at) !== null) return null
  // `from five to seven` is a range; without `from` it is five minutes before seven.
  const word = hourWordAt(tokens, at)
  const led = lead === '' ? null : fromClock(context, tokens, word, lead)
  return led ?? fromClock(context, tokens, clockAt(tokens, at) ?? word, lead)
}
