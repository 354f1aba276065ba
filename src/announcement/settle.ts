// A day and hours to an event in the household's zone, or to the question that must be asked first.

import type { Span } from '../plan/index.ts'
import { DAY_MS, MINUTE_MS, asInstant } from '../plan/index.ts'
import type { Clock } from './clock.ts'
import type { DayPart, DayWords } from './dayWords.ts'
import type { Assumed, Hours, HoursEnd } from './halves.ts'
import { hoursOf } from './halves.ts'
import type { LimitWhy, SettleContext } from './limits.ts'
import { limitOf, offered } from './limits.ts'
import type { LocalTime, Resolved } from './localTime.ts'
import { localDayOf, offsetMinutes, resolveMinutes } from './localTime.ts'
import type { Placed } from './place.ts'
import { place, spansOf, spansPlaced } from './place.ts'
import type { Range } from './range.ts'
import type { Timestamp } from './timestamp.ts'
import type { ZoneWord } from './zoneWords.ts'

export type FoundEvent = Span & { readonly assumed: readonly Assumed[] }

export type SettleWhy =
  | LimitWhy
  | { readonly reason: 'morning_or_evening' }
  /** `thursday midnight`: the one that begins the day, or the one that ends it. */
  | { readonly reason: 'midnight' }
  | { readonly reason: 'no_day' }
  /** The clocks skip that time; `shows` is what they show instead. */
  | { readonly reason: 'clock_change_gap'; readonly shows: LocalTime }
  /** The clocks show that time twice. */
  | { readonly reason: 'clock_change_fold' }
  | { readonly reason: 'day_or_month' }
  | { readonly reason: 'which_week' }
  | { readonly reason: 'weekday_mismatch' }
  /** A zone is named beside the times, and it is not what the household's clock keeps then. */
  | { readonly reason: 'other_zone'; readonly zone: string }
  /** 31 April */
  | { readonly reason: 'no_such_day' }

export type Settled =
  | { readonly kind: 'event'; readonly event: FoundEvent }
  | { readonly kind: 'question'; readonly why: SettleWhy; readonly candidates: readonly Span[] }
  | { readonly kind: 'nothing' }

/** Beside an ISO date `10:00` is before noon; `7:00` may still be anything. */
export const literal = (clock: Clock, day: DayWords | null): Clock =>
  day?.iso === true && clock.hour >= 10 ? { ...clock, either: false } : clock

function ask(why: SettleWhy, spans: readonly Span[], context: SettleContext): Settled {
  return { kind: 'question', why, candidates: offered(spans, context) }
}

function finish(
  placed: Placed,
  assumed: readonly Assumed[],
  instead: readonly Span[],
  context: SettleContext,
): Settled {
  if (placed.kind === 'gap')
    return ask({ reason: 'clock_change_gap', shows: placed.shows }, placed.spans, context)
  if (placed.kind === 'fold') return ask({ reason: 'clock_change_fold' }, placed.spans, context)
  const limit = limitOf(placed.span, context)
  if (limit === null) return { kind: 'event', event: { ...placed.span, assumed } }
  return ask(limit, [placed.span, ...instead], context)
}

// An interval with its own dates: nothing to choose but repeated or skipped hours.
function settleTimestamps(range: Range, start: Timestamp, context: SettleContext): Settled {
  const resolve = (stamp: Timestamp): Resolved =>
    stamp.offsetMinutes === null
      ? resolveMinutes(stamp.day, stamp.minuteOfDay, context.timeZone)
      : {
          kind: 'one',
          at: asInstant(stamp.day * DAY_MS + (stamp.minuteOfDay - stamp.offsetMinutes) * MINUTE_MS),
        }
  const from = resolve(start)
  const { end } = range
  if (end.kind === 'minutes')
    return finish(spansOf(from, end.minutes, end.minutes), [], [], context)
  if (end.kind === 'timestamp') {
    const until = resolve(end.timestamp)
    const nominal =
      (end.timestamp.day - start.day) * 1440 + end.timestamp.minuteOfDay - start.minuteOfDay
    return finish(spansOf(from, until, nominal), [], [], context)
  }
  const clockMinutes = end.clock.hour * 60 + end.clock.minute
  const over = end.clock.half === 'pm' && end.clock.hour < 12 ? clockMinutes + 720 : clockMinutes
  const minuteOfDay = over > start.minuteOfDay ? over : over + 1440
  const day = end.day?.day ?? start.day
  const until = resolve({ ...start, day, minuteOfDay: end.day === null ? minuteOfDay : over })
  const nominal = minuteOfDay - start.minuteOfDay
  return finish(spansOf(from, until, nominal), [], [], context)
}

function settleClocks(
  range: Range,
  day: DayWords | null,
  part: DayPart | null,
  context: SettleContext,
): Settled {
  const { end, start } = range
  if ('minuteOfDay' in start || end.kind === 'timestamp') return { kind: 'nothing' }
  const today = localDayOf(context.now, context.timeZone)
  const base = day?.day ?? today
  const hoursEnd: HoursEnd =
    end.kind === 'minutes'
      ? end
      : {
          kind: 'clock',
          clock: literal(end.clock, end.day ?? day),
          dayOffset: end.day === null || day === null ? null : end.day.day - base,
        }
  const length = end.kind === 'minutes' ? end.minutes : null
  const read = hoursOf(literal(start, day), hoursEnd, day?.part ?? part)
  if (read.kind === 'none') return { kind: 'nothing' }
  const on = (at: number, hours: Hours) => place(at, hours, length, context.timeZone)
  const days = day === null ? [today] : [day.day, ...day.others]
  const everywhere = (options: readonly Hours[], from: readonly number[]) =>
    from.flatMap((at) => options.flatMap((hours) => spansPlaced(on(at, hours))))
  const unsure = day?.unsure ?? null
  if (unsure === 'no_such_day' || (unsure === 'no_day' && days.length === 1))
    return ask({ reason: unsure }, [], context)
  if (read.kind === 'ask') {
    const among = unsure === null ? days.slice(0, 1) : days
    const found = offered(everywhere(read.options, among), context)
    const later = day === null || day.byWeekday ? base + (day === null ? 1 : 7) : base
    const candidates =
      found.length > 0 ? found : offered(everywhere(read.options, [later]), context)
    return { kind: 'question', why: { reason: read.reason }, candidates }
  }
  const { hours } = read
  if (unsure !== null) return ask({ reason: unsure }, everywhere([hours], days), context)
  const placed = on(base, hours)
  if (day === null) {
    const ahead = spansPlaced(placed).every((span) => span.start >= context.now)
    if (!ahead && context.anyTime !== true)
      return ask({ reason: 'no_day' }, everywhere([hours], [today, today + 1]), context)
    return finish(placed, [...hours.assumed, 'today'], [], context)
  }
  const others = everywhere([hours], day.others)
  const limit = placed.kind === 'one' ? limitOf(placed.span, context) : null
  const swapped = others.some((span) => limitOf(span, context) === null)
  if (limit !== null && swapped)
    return ask({ reason: 'day_or_month' }, [...spansPlaced(placed), ...others], context)
  // The same hours on a day that is left, where the day named is over.
  const again = day.byWeekday ? [base + 7] : [today, today + 1]
  const past = limit?.reason === 'in_the_past' ? everywhere([hours], again) : []
  const assumed: Assumed[] = [...hours.assumed]
  if (day.byWeekday && base === today) assumed.push('today')
  return finish(placed, assumed, [...others, ...past], context)
}

// The same clock in the zone that is named.
function inZone(span: Span, zone: ZoneWord, context: SettleContext): readonly Span[] {
  const own = offsetMinutes(span.start, context.timeZone)
  if (zone.offsets.includes(own)) return []
  const shift = (offset: number) => (own - offset) * MINUTE_MS
  return zone.offsets.map((offset) => ({
    start: asInstant(span.start + shift(offset)),
    end: asInstant(span.end + shift(offset)),
  }))
}

/** Settles a range on a day; `day` null means that none was named. */
export function settle(
  range: Range,
  day: DayWords | null,
  part: DayPart | null,
  context: SettleContext,
): Settled {
  const settled =
    'minuteOfDay' in range.start
      ? settleTimestamps(range, range.start, context)
      : settleClocks(range, day, part, context)
  // `0.28-0.31` is no event of three minutes.
  if (settled.kind === 'question' && settled.why.reason === 'too_short' && range.weak)
    return { kind: 'nothing' }
  if (settled.kind !== 'event' || range.zone === null) return settled
  const { start, end } = settled.event
  const elsewhere = inZone({ start, end }, range.zone, context)
  return elsewhere.length === 0
    ? settled
    : ask({ reason: 'other_zone', zone: range.zone.name }, [{ start, end }, ...elsewhere], context)
}
