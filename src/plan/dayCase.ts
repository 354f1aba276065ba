// One comparable day as today might be: the few answers that a replay asks of it again and again, without
// working out a whole plan each time. Concerns the first event only.

import { floorKwh } from './battery.ts'
import type { Cover } from './cover.ts'
import { eventPlan, workOut } from './hold.ts'
import { type Instant, asInstant, later } from './instant.ts'
import { type Line, kwhAt, lastNotUnder, walkForward, HAIR_KWH } from './line.ts'
import { type Piece, piecesBetween } from './net.ts'
import type { Battery, EventPlan, PlanInput } from './types.ts'

/** When a day would be held: `safe` is minus infinity where that is not early enough. */
export type DayHold = { readonly safe: number; readonly hold: Instant }

export type DayCase = DayHold & {
  readonly battery: Battery
  readonly cover: Cover
  /** Net load from now to the release. */
  readonly pieces: readonly Piece[]
  /** The forecast from now to the release, running. */
  readonly run: Line
  /** The reserve up to the release, once for each way to top up. */
  readonly reserves: readonly Line[]
  /** The event takes more than the battery can hold. */
  readonly beyond: boolean
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
  const event = eventPlan(input, first)
  const hold = event.holdBy ?? event.releaseAt
  const beyond = floorKwh(battery) + cover.needKwh > battery.capacityKwh + HAIR_KWH
  const plain = { battery, cover, pieces, run, reserves, safe: safeUntil(event), hold, beyond }
  return { ...plain, covers: coversUntil(input, worked.nowKwh, plain) }
}

/** The latest safe hold as a number that can be ranked: the release where none is needed. */
export const safeUntil = (event: EventPlan): number =>
  event.verdict === 'short' ? -Infinity : (event.holdBy ?? event.releaseAt)

/** The latest safe hold from a reading of `kwh` at `at`. */
export function holdFrom(day: DayCase, at: Instant, kwh: number): DayHold {
  const hold = latestHold(day, at, kwh)
  const short = day.beyond || reserveAt(day, at) - kwh > HAIR_KWH
  return { hold, safe: short ? -Infinity : hold }
}

/** Whole ms; `at` if it is under the reserve then, the release if never. */
function latestHold(
  day: Pick<DayCase, 'battery' | 'cover' | 'pieces' | 'reserves'>,
  at: Instant,
  kwh: number,
): Instant {
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
  const [first] = workOut(bare).planned
  if (first === undefined || eventPlan(bare, first).verdict === 'short') return -Infinity
  const reserves = first.reserve.before.map((gap) => gap.line)
  return latestHold({ ...day, reserves }, input.now, startKwh)
}

function piecesFrom(pieces: readonly Piece[], at: Instant): readonly Piece[] {
  const first = pieces.findIndex((piece) => piece.end > at)
  if (first < 0) return []
  const [head, ...rest] = pieces.slice(first)
  return head === undefined ? [] : [head.start < at ? { ...head, start: at } : head, ...rest]
}
