// One gap before a cover: until when to run, when to hold, and whether to top up (model §3).

import type { Cover } from './cover.ts'
import { type Instant, type Span, asInstant, later } from './instant.ts'
import {
  type Line,
  kwhAt,
  lastKwh,
  lastNotUnder,
  lineFrom,
  lineUntil,
  walkForward,
} from './line.ts'
import { piecesBetween } from './net.ts'
import { firstReachable, lastReachable } from './reach.ts'
import type { Gap } from './reserve.ts'
import type { Mode, PlanInput, Step } from './types.ts'

/** A stretch of the forecast in one mode. */
export type Stretch = { readonly mode: Mode; readonly line: Line }

/** What to do in a gap. */
export type GapPlan = {
  readonly gap: Gap
  /** The latest safe hold, moved to where hands can reach; `null` when the battery may run up to the release. */
  readonly holdBy: Instant | null
  /** The reserve at the hold, kWh. */
  readonly holdAtKwh: number | null
  readonly fill: (Span & { readonly kwh: number }) | null
  readonly stretches: readonly Stretch[]
  /** Expected at the release, kWh. */
  readonly endKwh: number
  /** A hold is wanted and nobody can reach the inverter for it. */
  readonly missed: boolean
}

/** Plans one gap from the energy at its start, along one reserve line. `held`: the discharge is paused already. */
export function planGap(
  input: PlanInput,
  net: readonly Step[],
  cover: Cover,
  gap: Gap,
  startKwh: number,
  held: boolean,
): GapPlan {
  const { gapStart, from } = cover
  const run = walkForward(input.battery, 'run', piecesBetween(net, gapStart, from), startKwh)
  const safe = held && gapStart < from ? gapStart : lastNotUnder(run, gap.line)
  const holdBy = safe === null || held ? safe : reachableHold(input, cover, safe)
  const followed = followGap(input, net, cover, gap, startKwh, holdBy, undefined, run)
  return { ...followed, missed: holdBy === null && safe !== null }
}

/** What comes of a gap with the discharge paused at `holdBy`, or not at all; `fill` as late as it reaches the line, unless it is given. */
export function followGap(
  input: PlanInput,
  net: readonly Step[],
  { gapStart, from }: Cover,
  gap: Gap,
  startKwh: number,
  holdBy: Instant | null,
  given?: Span | null,
  run: Line = walkForward(input.battery, 'run', piecesBetween(net, gapStart, from), startKwh),
): GapPlan {
  const walk = (mode: Mode, start: Instant, end: Instant, kwh: number): Stretch => ({
    mode,
    line: walkForward(input.battery, mode, piecesBetween(net, start, end), kwh),
  })
  const common = { gap, holdBy, missed: false }
  if (holdBy === null) {
    const stretches: readonly Stretch[] = [{ mode: 'run', line: run }]
    return { ...common, holdAtKwh: null, fill: null, stretches, endKwh: lastKwh(run, startKwh) }
  }
  const before: Stretch = { mode: 'run', line: lineUntil(run, holdBy) }
  const heldKwh = lastKwh(before.line, startKwh)
  const hold = walk('hold', holdBy, from, heldKwh)
  const fillSpan = given === undefined ? topUpSpan(gap, holdBy, hold.line) : given
  const stretches = [before]
  let fill: GapPlan['fill'] = null
  if (fillSpan === null) stretches.push(hold)
  else {
    const waiting = walk('hold', holdBy, fillSpan.start, heldKwh)
    const fromKwh = lastKwh(waiting.line, heldKwh)
    const filling = walk('fill', fillSpan.start, fillSpan.end, fromKwh)
    const untilKwh = lastKwh(filling.line, fromKwh)
    fill = { ...fillSpan, kwh: untilKwh - fromKwh }
    stretches.push(waiting, filling, walk('hold', fillSpan.end, from, untilKwh))
  }
  return {
    ...common,
    holdAtKwh: kwhAt(gap.line, holdBy),
    fill,
    stretches,
    endKwh: stretches.reduce((kwh, stretch) => lastKwh(stretch.line, kwh), startKwh),
  }
}

/** The last reachable instant not later than the latest safe hold; too late rather than never; none if nobody can release. */
export function reachableHold(
  { outOfReach }: Pick<PlanInput, 'outOfReach'>,
  { gapStart, from, unreachable }: Pick<Cover, 'gapStart' | 'from' | 'unreachable'>,
  safe: Instant,
): Instant | null {
  if (unreachable) return null
  const whole = later(gapStart, asInstant(Math.floor(safe)))
  return lastReachable(outOfReach, gapStart, whole) ?? firstReachable(outOfReach, whole, from)
}

/** As late and as short as reaches the reserve: from where the held line would fall under it, to the window's end. */
function topUpSpan({ window, filling }: Gap, holdBy: Instant, held: Line): Span | null {
  if (window === null || window.end <= holdBy) return null
  const latest = lastNotUnder(held, lineFrom(filling, holdBy))
  if (latest === null || latest >= window.end) return null
  return { start: later(latest, later(window.start, holdBy)), end: window.end }
}
