// Which clock wrote the stamps, and whether they stand at the start or the end of their intervals. Decided by the
// file itself: where the household's clocks change, each possibility would have written other stamps; and a file
// begins and ends with whole days more often than not. What is left open after that is asked.

import { DAY_MS, MINUTE_MS } from '../plan/index.ts'
import { isoDate } from './calendar.ts'
import { type Step, ask } from './stop.ts'
import type { Clock, Stamps, WallClock } from './types.ts'
import type { Change, ZoneClock } from './zone.ts'

/** One way in which a file may have been stamped. */
export type Timing = {
  readonly clock: Clock
  readonly stamps: Stamps
  /** Ends written as the start's clock and the interval, though the clock shows another time by then. */
  readonly plainEnds: boolean
}

export type Known = { readonly stamps: Stamps | null; readonly clock: WallClock | null }

const CLOCKS: readonly WallClock[] = ['local', 'utc', 'standard']

const WAYS: readonly Omit<Timing, 'clock'>[] = [
  { stamps: 'start', plainEnds: false },
  { stamps: 'end', plainEnds: false },
  { stamps: 'end', plainEnds: true },
]

/** Decides the timing of stamps without offset: `walls` in minutes as written, in any order. */
export function wallTiming(
  walls: readonly number[],
  minutes: number,
  zone: ZoneClock,
  { header, answers }: { header: Known; answers: Known },
): Step<Timing> {
  const all = CLOCKS.flatMap((clock) =>
    WAYS.filter((way) => clock === 'local' || !way.plainEnds).map((way) => ({ clock, ...way })),
  )
  const byHeader = only(all, header)
  const byChanges = keptByChanges(byHeader, walls, minutes, zone)
  const sorted = [...new Set(walls)].sort((a, b) => a - b)
  const clocks = new Set(byChanges.map(({ clock }) => clock))
  const toLocal =
    clocks.size === 1 && !clocks.has('local')
      ? (wall: number) => zone.wallAt((wall - offsetOf([...clocks][0] ?? 'utc', zone)) * MINUTE_MS)
      : null
  const sides = daySides(sorted, minutes) ?? (toLocal && daySides(sorted.map(toLocal), minutes))
  const byDays = sides === null ? byChanges : only(byChanges, { stamps: sides, clock: null })
  return settled(only(byDays, answers), sorted[0] ?? 0, walls, zone)
}

/** Decides the timing of stamps that are instants; only their side is open. */
export function instantTiming(
  instants: readonly number[],
  minutes: number,
  zone: ZoneClock,
  { header, answers }: { header: Known; answers: Known },
): Step<Timing> {
  const sorted = [...new Set(instants)].sort((a, b) => a - b)
  const walls = sorted.map((at) => zone.wallAt(at))
  const stamps = header.stamps ?? daySides(walls, minutes) ?? answers.stamps
  if (stamps === null) return askStamps(walls[0] ?? 0)
  return { ok: true, value: { clock: 'offset', stamps, plainEnds: false } }
}

/** Those that a header or a person leaves; all, if it leaves none. */
function only(timings: readonly Timing[], { stamps, clock }: Known): readonly Timing[] {
  const left = timings.filter(
    (timing) =>
      (stamps === null || timing.stamps === stamps) && (clock === null || timing.clock === clock),
  )
  return left.length > 0 ? left : timings
}

const offsetOf = (clock: Clock, zone: ZoneClock): number =>
  clock === 'standard' ? zone.standard : 0

/**
 * Those that would have written the stamps around the clock changes just so. An hour that is missing or doubled
 * exactly there is no accident: the local clock. A file that runs through the skipped hour is not of that clock.
 * Running once through the doubled hour says nothing, for many programs lose the second one.
 */
function keptByChanges(
  timings: readonly Timing[],
  walls: readonly number[],
  minutes: number,
  zone: ZoneClock,
): readonly Timing[] {
  const fits = zone.changes.map(({ at, before, after }) => ({
    isForward: after > before,
    fitting: timings.filter((timing) =>
      wouldWrite(timing, walls, minutes, { at, before, after }, zone),
    ),
  }))
  const local = fits
    .map(({ fitting }) => fitting.filter(({ clock }) => clock === 'local'))
    .filter((fitting) => fitting.length > 0)
  const fixed = fits
    .filter(({ isForward, fitting }) => isForward && fitting.length > 0)
    .map(({ fitting }) => fitting)
  const told = local.length > 0 ? local : fixed
  const kept = timings.filter((timing) => told.every((fitting) => fitting.includes(timing)))
  return kept.length > 0 ? kept : timings
}

const NEAR_MINUTES = 240

/** Whether a file would show exactly these stamps within four hours of a change, each as often as it does. */
function wouldWrite(
  { clock, stamps, plainEnds }: Timing,
  walls: readonly number[],
  minutes: number,
  { at, before, after }: Change,
  zone: ZoneClock,
): boolean {
  const middle = at / MINUTE_MS + before
  const isNear = (wall: number) => Math.abs(wall - middle) <= NEAR_MINUTES
  const seen = walls.filter(isNear)
  const phase = (((seen[0] ?? 0) % minutes) + minutes) % minutes
  const expected: number[] = []
  if (clock === 'local') {
    const length = minutes * MINUTE_MS
    const wallAfter = at / MINUTE_MS + after
    const first = at + ((((phase - wallAfter) % minutes) + minutes) % minutes) * MINUTE_MS
    const steps = Math.ceil((3 * NEAR_MINUTES) / minutes)
    for (let k = -steps; k <= steps; k += 1) {
      const start = first + k * length
      const wall =
        stamps === 'start'
          ? zone.wallAt(start)
          : plainEnds
            ? zone.wallAt(start) + minutes
            : zone.wallAt(start + length)
      if (isNear(wall)) expected.push(wall)
    }
  } else {
    const low = middle - NEAR_MINUTES
    const first = low + ((((phase - low) % minutes) + minutes) % minutes)
    for (let wall = first; isNear(wall); wall += minutes) expected.push(wall)
  }
  if (seen.length !== expected.length) return false
  const inOrder = seen.toSorted((a, b) => a - b)
  return expected.toSorted((a, b) => a - b).every((wall, i) => wall === inOrder[i])
}

const minuteOf = (wall: number): number => ((wall % 1440) + 1440) % 1440

/** A hole shorter than this is no sign of where the days begin. */
const HOLE_MINUTES = 180

/** Whether the stretches of a file begin and end with days as starts or as ends would; `null` if neither or both. */
function daySides(sorted: readonly number[], minutes: number): Stamps | null {
  let starts = 0
  let ends = 0
  for (const [i, wall] of sorted.entries()) {
    const before = sorted[i - 1]
    const next = sorted[i + 1]
    if (before === undefined || wall - before > HOLE_MINUTES) {
      if (minuteOf(wall) === 0) starts += 1
      if (minuteOf(wall) === minutes) ends += 1
    }
    if (next === undefined || next - wall > HOLE_MINUTES) {
      if (minuteOf(wall) === 1440 - minutes) starts += 1
      if (minuteOf(wall) === 0) ends += 1
    }
  }
  return starts > 0 && ends === 0 ? 'start' : ends > 0 && starts === 0 ? 'end' : null
}

function settled(
  timings: readonly Timing[],
  first: number,
  walls: readonly number[],
  zone: ZoneClock,
): Step<Timing> {
  const [timing] = timings
  if (timing === undefined || timings.some(({ stamps }) => stamps !== timing.stamps))
    return askStamps(first)
  const clocks = timings
    .map(({ clock }) => clock)
    .filter((clock): clock is WallClock => clock !== 'offset')
  const distinct = clocks.filter(
    (clock, i) => clocks.findIndex((other) => isSame(clock, other, walls, zone)) === i,
  )
  if (distinct.length > 1)
    return ask({ about: 'clock', choices: distinct.map((clock) => ({ clock })) })
  return { ok: true, value: timing }
}

const askStamps = (wall: number): Step<never> =>
  ask({
    about: 'stamps',
    first: `${isoDate(Math.floor(wall / 1440))} ${clockText(minuteOf(wall))}`,
    choices: [{ stamps: 'start' }, { stamps: 'end' }],
  })

const clockText = (minute: number): string =>
  `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`

/** Whether two clocks show the same over all of a file. */
function isSame(a: WallClock, b: WallClock, walls: readonly number[], zone: ZoneClock): boolean {
  if (a === b) return true
  const ends = walls.reduce(
    ({ low, high }, wall) => ({ low: Math.min(low, wall), high: Math.max(high, wall) }),
    { low: Infinity, high: -Infinity },
  )
  const offsets = (clock: WallClock): readonly number[] =>
    clock === 'local'
      ? [
          zone.offsetAt(ends.low * MINUTE_MS),
          zone.offsetAt(ends.high * MINUTE_MS),
          ...zone.changes
            .filter(
              ({ at }) => at > ends.low * MINUTE_MS - DAY_MS && at < ends.high * MINUTE_MS + DAY_MS,
            )
            .flatMap(({ before, after }) => [before, after]),
        ]
      : [offsetOf(clock, zone)]
  return new Set([...offsets(a), ...offsets(b)]).size === 1
}

/** Gives the start of an interval from its stamp, or `null` where that clock never showed it; remembers hours shown twice. */
export function placer(
  { clock, stamps, plainEnds }: Timing,
  minutes: number,
  zone: ZoneClock,
): (wall: number) => number | null {
  const back = stamps === 'end' ? minutes : 0
  if (clock !== 'local') {
    const offset = offsetOf(clock, zone)
    return (wall) => (wall - back - offset) * MINUTE_MS
  }
  const seen = new Set<number>()
  return (wall) => {
    const shown = plainEnds ? wall - back : wall
    const [first, second] = zone.instantsOf(shown)
    if (first === undefined) return null
    const again = second !== undefined && seen.has(shown)
    if (second !== undefined) seen.add(shown)
    return (again ? second : first) - (plainEnds ? 0 : back * MINUTE_MS)
  }
}
