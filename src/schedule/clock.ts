// The clock on a wall as stretches of one offset each, so that a pattern of the week is arithmetic; it never stands for
// one instant: a time that the clocks skip or show twice is part of a pattern, not a question (that is announcement's).

import { IANAZone } from 'luxon'
import { DAY_MS, type Instant, type Span, asInstant } from '../plan/index.ts'

/** The clock shows UTC plus the offset, ms. */
export type Stretch = Span & { readonly offsetMs: number }

/** A time on the clock as if it were UTC, epoch ms: `2027-01-14 17:30` is that of 17:30Z. */
export type Wall = number

/** The zone's offsets over a span and two days or more on either side, in time order, without gaps. The zone must be known. */
export function stretchesOf(timeZone: string, { start, end }: Span): readonly Stretch[] {
  const offset = offsetsOf(timeZone)
  const first = (Math.floor(start / DAY_MS) - 2) * DAY_MS
  const last = (Math.ceil(end / DAY_MS) + 2) * DAY_MS
  const stretches: Stretch[] = []
  let from = first
  for (let at = first; at < last; at += DAY_MS) {
    if (offset(at + DAY_MS) === offset(at)) continue
    // No zone changes its clocks twice in a day.
    const change = changeBetween(offset, at, at + DAY_MS)
    stretches.push({ start: asInstant(from), end: asInstant(change), offsetMs: offset(at) })
    from = change
  }
  return [...stretches, { start: asInstant(from), end: asInstant(last), offsetMs: offset(last) }]
}

// Intl is slow to say an offset, and one plan asks for the same few days again and again.
const known = new Map<string, Map<number, number>>()
const MOST_KNOWN = 2000

/** The zone's offset at an instant, ms. */
function offsetsOf(timeZone: string): (at: number) => number {
  const zone = IANAZone.create(timeZone)
  const offsets = known.get(timeZone) ?? new Map<number, number>()
  if (offsets.size > MOST_KNOWN) offsets.clear()
  known.set(timeZone, offsets)
  return (at) => {
    const found = offsets.get(at) ?? zone.offset(at) * 60_000
    offsets.set(at, found)
    return found
  }
}

/** The first instant with the offset of `after`, to the second, by halving. */
function changeBetween(offset: (at: number) => number, before: number, after: number): number {
  const there = offset(after)
  let [old, young] = [Math.floor(before / 1000), Math.ceil(after / 1000)]
  while (young - old > 1) {
    const middle = Math.floor((old + young) / 2)
    if (offset(middle * 1000) === there) young = middle
    else old = middle
  }
  return young * 1000
}

/** The first instant from which the clock has come to a time; where it skips the time, when it goes on. */
export function firstAt(stretches: readonly Stretch[], wall: Wall): Instant {
  const reached = stretches.find(({ end, offsetMs }) => wall - offsetMs < end)
  const at = wall - (reached ?? stretches.at(-1) ?? UTC).offsetMs
  return asInstant(Math.max(at, reached?.start ?? at))
}

/** The last instant at which the clock comes to a time; where it shows the time twice, the second. */
export function lastAt(stretches: readonly Stretch[], wall: Wall): Instant {
  const reached = stretches.findLast(({ start, offsetMs }) => wall - offsetMs > start)
  const at = wall - (reached ?? stretches[0] ?? UTC).offsetMs
  return asInstant(Math.min(at, reached?.end ?? at))
}

/** What the clock shows at an instant of the stretches. */
export const wallAt = (stretches: readonly Stretch[], at: Instant): Wall =>
  at + (stretches.findLast(({ start }) => start <= at) ?? stretches[0] ?? UTC).offsetMs

const UTC = { offsetMs: 0 }
