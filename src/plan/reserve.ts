// The reserve line (model §2): the least energy that must be there so that every later event is covered.
// It is walked back from the last event's end, through covers and the gaps between them.

import { floorKwh } from './battery.ts'
import { type Cover, reserveWithin, ruleOfThumbPct } from './cover.ts'
import { type Instant, type Span, asInstant, earlier, later } from './instant.ts'
import { type Line, kwhAt, walkBack } from './line.ts'
import { piecesBetween } from './net.ts'
import type { PlanInput, Step } from './types.ts'

/** One event's part of the reserve line. */
export type Reserve = {
  /** To have at the release: need, margin, floor, and what later events ask for; at most the capacity, kWh. */
  readonly atReleaseKwh: number
  /** From the release to the event's end. */
  readonly within: Line
  /** From the gap's start to the release, once for each way to top up. */
  readonly before: readonly Gap[]
}

/** The reserve line through a gap in which at most this one window tops up. */
export type Gap = {
  readonly window: Span | null
  readonly line: Line
  /** The reserve line in the window, were there no floor: where filling has to begin at the latest. */
  readonly filling: Line
}

/** The reserve of every cover, in the same order; at the releases as computed, or as `given`, kWh. */
export function reservesOf(
  input: PlanInput,
  net: readonly Step[],
  covers: readonly Cover[],
  given: readonly number[] = [],
): readonly Reserve[] {
  const { battery } = input
  const reserves: Reserve[] = []
  let leftKwh = floorKwh(battery)
  for (const [i, cover] of [...covers.entries()].toReversed()) {
    const within = reserveWithin(battery, net, cover, leftKwh)
    const atReleaseKwh = Math.min(
      battery.capacityKwh,
      given[i] ??
        (input.rule === null
          ? kwhAt(within, cover.from) + cover.marginKwh
          : ruleKwh(input, cover, leftKwh)),
    )
    const before = windowsWithin(input, cover.gapStart, cover.from).map((window) => ({
      window,
      ...gapLine(input, net, cover, window, atReleaseKwh),
    }))
    reserves.push({ atReleaseKwh, within, before })
    leftKwh = Math.min(...before.map((gap) => startKwh(gap.line, atReleaseKwh)))
  }
  return reserves.toReversed()
}

function ruleKwh({ battery, rule }: PlanInput, cover: Cover, leftKwh: number): number {
  if (rule === null) return 0
  const pct = ruleOfThumbPct(rule, cover.event, battery.outageReservePct)
  return (pct / 100) * battery.capacityKwh + (leftKwh - floorKwh(battery))
}

/** No top-up first, then each allowed window that reaches into the gap, the latest first. */
function windowsWithin(input: PlanInput, from: Instant, to: Instant): readonly (Span | null)[] {
  const windows = input.topUpWindows
    .map(({ start, end }) => ({ start: later(start, from), end: earlier(end, to) }))
    .filter((window) => window.start < window.end)
    .toSorted((a, b) => b.end - a.end)
  return [null, ...windows]
}

function gapLine(
  { battery }: PlanInput,
  net: readonly Step[],
  { gapStart, from }: Cover,
  window: Span | null,
  atReleaseKwh: number,
): Omit<Gap, 'window'> {
  const back = (use: 'hold' | 'fill', start: Instant, end: Instant, kwh: number) =>
    walkBack(battery, use, piecesBetween(net, start, end), kwh, battery.capacityKwh)
  if (window === null) return { line: back('hold', gapStart, from, atReleaseKwh), filling: [] }
  const after = back('hold', window.end, from, atReleaseKwh)
  const toKwh = startKwh(after, atReleaseKwh)
  const filled = back('fill', window.start, window.end, toKwh)
  const until = asInstant(window.start)
  const before = back('hold', gapStart, until, startKwh(filled, atReleaseKwh))
  const pieces = piecesBetween(net, window.start, window.end)
  const filling = walkBack(battery, 'fill', pieces, toKwh, battery.capacityKwh, 0)
  return { line: [...before, ...filled, ...after], filling }
}

const startKwh = (line: Line, otherwise: number): number => line[0]?.kwh ?? otherwise
