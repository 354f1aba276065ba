// One comparable day as today might be: the few answers that a replay asks of it again and again, without
// working out a whole plan each time. Concerns the first event only.

import type { Cover } from './cover.ts'
import { eventPlan, workOut } from './hold.ts'
import { type Instant, asInstant, later } from './instant.ts'
import { type Line, kwhAt, lastNotUnder, walkForward } from './line.ts'
import { type Piece, piecesBetween } from './net.ts'
import type { Battery, EventPlan, PlanInput } from './types.ts'

export type DayCase = {
  readonly battery: Battery
  readonly cover: Cover
  /** Net load from now to the release. */
  readonly pieces: readonly Piece[]
  /** The forecast from now to the release, running. */
  readonly run: Line
  /** The reserve up to the release, once for each way to top up. */
  readonly reserves: readonly Line[]
  /** The latest safe hold from now, had today been this day; minus infinity where now is not early enough. */
  readonly safe: number
  /** The same without margin or rule of thumb: up to when a hold would have covered the event to the floor. */
  readonly covers: number
}

export function dayCase(input: PlanInput): DayCase | null {
  const worked = workOut(input)
  const [first] = worked.planned
  if (first === undefined) return null
  const { battery, now } = input
  const { cover, reserve } = first
  const pieces = piecesBetween(worked.net, now, cover.from)
  const run = walkForward(battery, 'run', pieces, worked.nowKwh)
  const reserves = reserve.before.map((gap) => gap.line)
  const safe = safeUntil(eventPlan(input, worked.net, first))
  const plain = { battery, cover, pieces, run, reserves, safe }
  return { ...plain, covers: coversUntil(input, worked.nowKwh, plain) }
}

/** The latest safe hold as a number that can be ranked: the release where none is needed. */
export const safeUntil = (event: EventPlan): number =>
  event.verdict === 'short' ? -Infinity : (event.holdBy ?? event.releaseAt)

/** The latest safe hold from a reading of `kwh` at `at`, whole ms; `at` if it is under the reserve then, the release if never. */
export function latestHold(day: DayCase, at: Instant, kwh: number): Instant {
  const { battery, cover, pieces, reserves } = day
  const ahead = piecesFrom(pieces, at)
  const run = walkForward(battery, 'run', ahead, kwh)
  let latest = at
  for (const reserve of reserves) {
    const under = lastNotUnder(run, reserve)
    if (under === null) return cover.from
    latest = later(latest, under)
  }
  return asInstant(Math.floor(latest))
}

/** The reserve at an instant of the gap, with the best way to top up, kWh. */
export const reserveAt = (day: DayCase, at: Instant): number =>
  Math.min(...day.reserves.map((reserve) => kwhAt(reserve, at)))

function coversUntil(input: PlanInput, startKwh: number, day: Omit<DayCase, 'covers'>): number {
  const bare = { ...input, margin: { kwh: 0 }, rule: null }
  const { net, planned } = workOut(bare)
  const [first] = planned
  if (first === undefined || eventPlan(bare, net, first).verdict === 'short') return -Infinity
  const reserves = first.reserve.before.map((gap) => gap.line)
  return latestHold({ ...day, reserves, covers: 0 }, input.now, startKwh)
}

function piecesFrom(pieces: readonly Piece[], at: Instant): readonly Piece[] {
  const first = pieces.findIndex((piece) => piece.end > at)
  if (first < 0) return []
  const [head, ...rest] = pieces.slice(first)
  return head === undefined ? [] : [head.start < at ? { ...head, start: at } : head, ...rest]
}
