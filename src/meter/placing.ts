// Figures with their times as written to figures with the instants their intervals start at.

import { MINUTE_MS } from '../plan/index.ts'
import type { Layout } from './layout.ts'
import type { Figure } from './rows.ts'
import { stepOf } from './settle.ts'
import { type Step, excerpt } from './stop.ts'
import { type Known, type Timing, instantTiming, placer, wallTiming } from './timing.ts'
import type { Asked, SkippedRow } from './types.ts'
import { type ZoneClock, zoneClock } from './zone.ts'

type Start = { readonly at: number; readonly value: number; readonly line: number }

type Starts = {
  readonly minutes: number
  readonly timing: Timing
  readonly starts: readonly Start[]
  readonly skipped: readonly SkippedRow[]
}

export function placedFigures(
  figures: readonly Figure[],
  skipped: readonly SkippedRow[],
  { time, stamps, clock }: Layout,
  asked: Asked,
): Step<Starts> {
  const length = time.kind === 'day-row' || time.kind === 'date-period' ? time.minutes : null
  const rough = figures.map(({ written }) => roughMinute(written, length ?? 0))
  const step: Step<number> = stepOf(rough)
  if (!step.ok) return step
  const minutes = length ?? step.value
  const low = rough.reduce((a, b) => Math.min(a, b), Infinity)
  const high = rough.reduce((a, b) => Math.max(a, b), -Infinity)
  const zone = zoneClock(asked.timeZone, low * MINUTE_MS, high * MINUTE_MS)
  // The last minute of an interval, as in 00:29, means its end.
  const lastMinute = minutes > 1 && mostly(rough, (at) => at % minutes === minutes - 1)
  const written = figures.map((figure) => (lastMinute ? aMinuteOn(figure) : figure))
  const isInstant = mostly(written, (figure) => 'at' in figure.written)
  const days = elapsedDays(written, minutes, zone)
  const header: Known = {
    stamps: length !== null ? 'start' : lastMinute ? 'end' : stamps,
    clock: days.size > 0 ? 'local' : clock,
  }
  const answers: Known = {
    stamps: asked.answers?.stamps ?? null,
    clock: asked.answers?.clock ?? null,
  }
  const walls = written
    .map((figure) => wallOf(figure, minutes))
    .filter((wall): wall is number => wall !== null)
  const timing = isInstant
    ? instantTiming(
        written.flatMap((figure) => ('at' in figure.written ? [figure.written.at] : [])),
        minutes,
        zone,
        { header, answers },
      )
    : wallTiming(walls, minutes, zone, { header, answers })
  if (!timing.ok) return timing
  const startOf = placer(timing.value, minutes, zone)
  const back = timing.value.stamps === 'end' ? minutes * MINUTE_MS : 0
  const left: SkippedRow[] = [...skipped]
  const starts: Start[] = []
  const startAt = (figure: Figure): number | null => {
    if ('at' in figure.written) return isInstant ? figure.written.at - back : null
    if (isInstant) return null
    if ('nth' in figure.written) {
      const midnight = days.get(figure.written.day)
      if (midnight !== undefined) return midnight + figure.written.nth * minutes * MINUTE_MS
    }
    const wall = wallOf(figure, minutes)
    return wall === null ? null : startOf(wall)
  }
  for (const figure of written) {
    const { line, value } = figure
    const at = startAt(figure)
    if (at === null) {
      const isUnplaced = isInstant || wallOf(figure, minutes) === null
      const reason = isUnplaced ? 'no-time' : 'skipped-hour'
      left.push({ line, reason, text: excerpt(String(value)) })
    } else starts.push({ at, value, line })
  }
  return { ok: true, value: { minutes, timing: timing.value, starts, skipped: left } }
}

const mostly = <T>(items: readonly T[], test: (item: T) => boolean): boolean =>
  items.filter(test).length > items.length / 2

const roughMinute = (written: Figure['written'], minutes: number): number =>
  'at' in written
    ? written.at / MINUTE_MS
    : 'wall' in written
      ? written.wall
      : written.day * 1440 + written.nth * minutes

const aMinuteOn = (figure: Figure): Figure => {
  const { written } = figure
  if ('at' in written) return { ...figure, written: { at: written.at + MINUTE_MS } }
  return 'wall' in written ? { ...figure, written: { wall: written.wall + 1 } } : figure
}

/** What the clock says at a stamp; `null` for an instant, and beyond the 24 hours of a clock. */
const wallOf = ({ written }: Figure, minutes: number): number | null =>
  'at' in written
    ? null
    : 'wall' in written
      ? written.wall
      : written.nth * minutes < 1440
        ? written.day * 1440 + written.nth * minutes
        : null

/** The days of 23 or 25 hours whose intervals are counted through as they passed: the instant each began. */
function elapsedDays(
  figures: readonly Figure[],
  minutes: number,
  zone: ZoneClock,
): ReadonlyMap<number, number> {
  const counts = new Map<number, { count: number; last: number }>()
  for (const { written } of figures) {
    if (!('nth' in written)) continue
    const { count, last } = counts.get(written.day) ?? { count: 0, last: -1 }
    counts.set(written.day, { count: count + 1, last: Math.max(last, written.nth) })
  }
  const days = new Map<number, number>()
  for (const { at, after } of zone.changes) {
    const day = Math.floor((at / MINUTE_MS + after) / 1440)
    const [begins] = zone.instantsOf(day * 1440)
    const [ends] = zone.instantsOf((day + 1) * 1440)
    const seen = counts.get(day)
    if (begins === undefined || ends === undefined || seen === undefined) continue
    const length = (ends - begins) / MINUTE_MS / minutes
    if (length !== 1440 / minutes && seen.count === length && seen.last === length - 1)
      days.set(day, begins)
  }
  return days
}
