// Who can touch the inverter when: away, on a journey, asleep. The household is out of reach only while all its people
// are; with nobody listed, somebody always can.

import { DAY_MS, type Instant, type Span, asInstant, earlier, later } from '../plan/index.ts'
import {
  EVERY_DAY,
  commonSpans,
  mergedSpans,
  spanAt,
  spansWithin,
  weeklySpans,
} from '../schedule/index.ts'
import type { Person } from './habits.ts'
import type { Settings } from './types.ts'

type Reachers = Pick<Settings, 'people' | 'timeZone'>

/** So far before an event a hold may have to be done: each pattern of the week has come round once by then. */
const BEFORE_MS = 8 * DAY_MS

/** When nobody can reach the battery around some events, from an instant on; merged and in time order. */
export function outOfReach(
  { people, timeZone }: Reachers,
  events: readonly Span[],
  from: Instant = asInstant(-Infinity),
): readonly Span[] {
  if (people.length === 0) return []
  const windows = mergedSpans(events.map((event) => around(people, event, from)))
  return windows.flatMap((window) => commonWithin(people, timeZone, window))
}

// The same people are asked after for the same few events again and again, and are never changed in place.
const known = new WeakMap<readonly Person[], Map<string, readonly Span[]>>()

function commonWithin(people: readonly Person[], timeZone: string, within: Span): readonly Span[] {
  const key = `${timeZone} ${within.start} ${within.end}`
  const found =
    known.get(people)?.get(key) ??
    commonSpans(people.map((person) => outOfReachOf(person, timeZone, within)))
  // `now` makes other windows all the time: only as many are kept as one decision asks for.
  const kept = known.get(people) ?? new Map<string, readonly Span[]>()
  if (kept.size > MOST_KNOWN) kept.clear()
  known.set(people, kept.set(key, found))
  return found
}

const MOST_KNOWN = 50

/** The time before an event and the day after; a journey that reaches into it is seen whole. */
function around(people: readonly Person[], event: Span, from: Instant): Span {
  const start = asInstant(event.start - BEFORE_MS)
  const end = asInstant(event.end + DAY_MS)
  const journeys = people
    .flatMap(({ absences }) => absences)
    .filter((absence) => absence.start < end && absence.end > start)
    .map((absence) => asInstant(absence.start - BEFORE_MS))
  return { start: later(from, journeys.reduce(earlier, start)), end }
}

/** When one person cannot, within a span. */
const outOfReachOf = (
  { away, quiet, absences }: Person,
  timeZone: string,
  within: Span,
): readonly Span[] => {
  const asleep = quiet === null ? [] : [{ days: EVERY_DAY, ...quiet }]
  const weekly = weeklySpans([...away, ...asleep], timeZone, within)
  return mergedSpans([...weekly, ...spansWithin(absences, within)])
}

/** Who can reach it at an instant; nobody where nobody is listed. */
export const whoReaches = ({ people, timeZone }: Reachers, at: Instant): readonly string[] => {
  const within = { start: at, end: asInstant(at + 1) }
  return people
    .filter((person) => spanAt(outOfReachOf(person, timeZone, within), at) === null)
    .map(({ name }) => name)
}
