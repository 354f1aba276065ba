// `I'm away tomorrow 9 to 17`, `we are out until 6 pm on Friday`, `asleep 22:30 to 7`: who cannot reach the battery, and
// when. Not who it is among the people listed: that is people.ts.

import type { Clock, DayWords, Item, Parts, Token } from '../announcement/index.ts'
import {
  localDayOf,
  localTimeOf,
  minutesOf,
  resolveMinutes,
  settle,
} from '../announcement/index.ts'
import { type Instant, type Span, later } from '../plan/index.ts'
import type { ChatContext, Intent, Who } from './intent.ts'

const DAY_MINUTES = 24 * 60

/** Longer is no absence but a removal. */
const LONGEST_DAYS = 366

const SUBJECT =
  /^(?:(?<me>i will be|i'll be|i am|i'm|i|me)|(?<all>all of us are|all of us|we will be|we'll be|we are|we're|we|everybody is|everyone is))\s+/
const STATE =
  /^(?:(?:is|are|am|be|will|both|all|also)\s+)*(?<state>away|out of the house|out|not (?:at )?home|not in|not there|gone|at work|travelling|traveling|on holiday|on vacation|abroad|(?<night>asleep|sleeping|sleep|in bed|not to be disturbed|do not disturb|don't disturb))\b/

/** What a message says of somebody's absence or sleep; `null` when it says nothing of them. */
export function presence(said: string, parts: Parts, context: ChatContext): Intent | null {
  const text = said.trim().toLowerCase().replace(/\s+/g, ' ')
  const found = subjectOf(text, context.people ?? [])
  const state = STATE.exec(found.rest)
  if (state === null) return null
  const night = state.groups?.['night'] !== undefined
  const bare = found.who === null
  if (bare && parts.items.length === 0) return null
  const who = found.who ?? { kind: 'me' }
  const dayless = parts.items.every(({ kind }) => kind !== 'day')
  if (night && dayless) {
    const hours = nightOf(parts)
    return hours === null
      ? { kind: 'presence-unclear', about: 'night' }
      : { kind: 'asleep', who, ...hours }
  }
  const span = spanOf(parts, context)
  return span === null ? { kind: 'presence-unclear', about: 'away' } : { kind: 'away', who, span }
}

function subjectOf(text: string, people: readonly string[]): { who: Who | null; rest: string } {
  const named = people
    .toSorted((a, b) => b.length - a.length)
    .find((name) => text.startsWith(`${name.toLowerCase()} `))
  if (named !== undefined)
    return { who: { kind: 'named', name: named }, rest: text.slice(named.length + 1) }
  const subject = SUBJECT.exec(text)
  if (subject === null) return { who: null, rest: text }
  const kind = subject.groups?.['me'] === undefined ? 'all' : 'me'
  return { who: { kind }, rest: text.slice(subject[0].length) }
}

const TO = new Set(['to', '-', 'until', 'till', 'til', 'through', 'and'])
const UNTIL = new Set(['until', 'till', 'til', 'back', 'before', 'by'])

/** The one span that is named: hours on a day, until a time, or whole days; `null` where it is not one. */
function spanOf(parts: Parts, context: ChatContext): Span | null {
  const { ranges, items, tokens } = parts
  const days = items.filter((item) => item.kind === 'day')
  const clocks = items.filter((item) => item.kind === 'clock')
  if (days.some(({ day }) => day.unsure !== null)) return null
  const [range] = ranges
  if (range !== undefined)
    return ranges.length > 1
      ? null
      : soundOrNull(rangeSpan(range.item.range, range.days, context), context)
  const [clock, otherClock] = clocks
  const [first, second] = days
  if (clock !== undefined) {
    if (otherClock !== undefined || second !== undefined || !after(UNTIL, tokens, clock))
      return null
    return soundOrNull(untilClock(clock.clock, first?.day ?? null, context), context)
  }
  if (first === undefined || days.length > 2 || after(UNTIL, tokens, first)) return null
  if (second !== undefined && !after(TO, tokens, second)) return null
  const zone = context.timeZone
  const start = wallStart(first.day.day, 0, zone)
  const end = wallEnd((second ?? first).day.day + 1, 0, zone)
  return soundOrNull({ start: later(start, context.now), end }, context)
}

function soundOrNull(span: Span | null, { now }: ChatContext): Span | null {
  if (span === null || span.end <= now || span.end <= span.start) return null
  return span.end - span.start > LONGEST_DAYS * DAY_MINUTES * 60_000 ? null : span
}

/** Whether one of these words stands before an item, `on`, `the` and `,` aside. */
function after(words: ReadonlySet<string>, tokens: readonly Token[], { from }: Item): boolean {
  let at = from - 1
  while (['on', 'the', 'at', ',', 'about', 'around'].includes(tokens[at]?.text ?? '')) at -= 1
  return words.has(tokens[at]?.text ?? '')
}

type Range = Parts['ranges'][number]['item']['range']

function rangeSpan(range: Range, days: readonly DayWords[], context: ChatContext): Span | null {
  const { start, end } = range
  const [day] = days
  if (days.length > 1) return null
  if ('minuteOfDay' in start || end.kind !== 'clock') {
    const settled = settle(range, day ?? null, null, { ...context, anyTime: true })
    return settled.kind === 'event' ? settled.event : null
  }
  const zone = context.timeZone
  const base = day?.day ?? localDayOf(context.now, zone)
  const from = minuteMeant(start, day ?? null)
  const endDay = end.day?.day ?? base
  const until = endAfter(endDay === base ? from : -1, end.clock)
  const span = { start: wallStart(base, from, zone), end: wallEnd(endDay, until, zone) }
  // "9 to 17" said in the evening is of tomorrow, or of nothing that is known.
  return day === undefined && span.start < context.now - 60 * 60_000 ? null : span
}

function untilClock(clock: Clock, day: DayWords | null, context: ChatContext): Span {
  const { now, timeZone: zone } = context
  const today = localDayOf(now, zone)
  const { hour, minute } = localTimeOf(now, zone)
  const until =
    day === null || day.day === today
      ? endAfter(hour * 60 + minute, clock)
      : minuteMeant(clock, day)
  return { start: now, end: wallEnd(day?.day ?? today, until, zone) }
}

/** Of an hour without a half: from 7 to 12 as it is written, earlier ones of the afternoon; later where the evening is named (common practice, no source). */
function minuteMeant(clock: Clock, day: DayWords | null): number {
  const [early = 0, late = early] = minutesOf(clock)
  const isLate = day?.part === 'evening' || day?.part === 'night' || early < 7 * 60
  return day?.iso !== true && isLate ? late : early
}

/** The first time after a start that the clock may mean, on the day after where there is none. */
function endAfter(start: number, clock: Clock): number {
  const options = minutesOf(clock)
  const [first = 0] = options
  return options.find((minute) => minute > start) ?? first + DAY_MINUTES
}

function wallStart(day: number, minutes: number, zone: string): Instant {
  const found = resolveMinutes(day, minutes, zone)
  return found.kind === 'fold' ? found.first : found.at
}

function wallEnd(day: number, minutes: number, zone: string): Instant {
  const found = resolveMinutes(day, minutes, zone)
  return found.kind === 'fold' ? found.second : found.at
}

/** From when to when somebody sleeps: an hour without a half is of the evening where it begins, of the morning where it ends. */
function nightOf({ ranges }: Parts): { readonly from: string; readonly until: string } | null {
  const [range, another] = ranges
  if (range === undefined || another !== undefined) return null
  const { start, end } = range.item.range
  if ('minuteOfDay' in start || end.kind !== 'clock') return null
  const [early = 0, late = early] = minutesOf(start)
  const from = early >= 7 * 60 && early < 12 * 60 ? late : early % DAY_MINUTES
  const [until = 0] = minutesOf(end.clock)
  return from === until ? null : { from: clockText(from), until: clockText(until % DAY_MINUTES) }
}

const two = (value: number) => String(value).padStart(2, '0')
const clockText = (minutes: number) => `${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`

const WHO_IS_THERE =
  /^(?:who(?:'s| is| are|se)? (?:at |is )?(?:home|in|there|around|awake|away|out)|who can reach (?:it|the battery)|is (?:any|some)(?:body|one) (?:at )?(?:home|in|there)|people|who)$/
const PRICES =
  /^(?:(?:the |my |our |show )?(?:prices?|rates?|tariffs?|unit rates?)|what (?:does|is) (?:the |a )?(?:power|electricity|kwh|price|rate|tariff)(?: cost)?(?: now)?|how much is (?:power|electricity|a kwh))$/

/** A short question after the people or the prices; `null` when it is neither. */
export function askedAfter(said: string): Intent | null {
  const text = said
    .trim()
    .toLowerCase()
    .replace(/[?!. ]+$/, '')
    .replace(/\s+/g, ' ')
  if (WHO_IS_THERE.test(text)) return { kind: 'who-is-there' }
  return PRICES.test(text) ? { kind: 'prices' } : null
}
