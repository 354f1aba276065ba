// All past days over one row of breakpoints from now to the first event's release, as plain arrays: what a replay asks
// of them thousands of times. Between breakpoints everything is straight; a taper is passed over here.

import { dischargeKw, floorKwh } from './battery.ts'
import { eventPlan, workOut } from './hold.ts'
import { darkFrom } from './likeToday.ts'
import { type Instant, hoursBetween } from './instant.ts'
import { type Line, kwhAt, lastNotUnder, walkForward, HAIR_KWH } from './line.ts'
import { piecesBetween } from './net.ts'
import type { EventPlan, PlanInput } from './types.ts'

export type GridDay = {
  /** Stored energy at the first breakpoint, kWh. */
  readonly startKwh: number
  /** Cumulated to each breakpoint, kWh: what serving the house takes; and the standing loss less what the sun adds. */
  readonly use: Float64Array
  readonly other: Float64Array
  /** The reserve at each breakpoint, once for each way to top up, kWh. */
  readonly reserves: readonly Float64Array[]
  /** The latest safe hold from its own start: now where it is none any more, the release where none is needed. */
  readonly hold: number
  /** Up to when a hold covers the event to the floor, without margin or rule; minus infinity if none does. */
  readonly covers: number
}

export type Grid = {
  readonly times: Float64Array
  /** From when on the sun gives nothing until the event ends. */
  readonly darkFrom: number
  readonly floorKwh: number
  readonly capacityKwh: number
  readonly days: readonly GridDay[]
}

/** A place between breakpoints: `share` of the way from `before` to the next. */
export type Place = { readonly at: number; readonly before: number; readonly share: number }

/** The first event's days; `null` without days or without an event. The inputs differ in their loads alone. */
export function gridOf(inputs: readonly PlanInput[]): Grid | null {
  const worked = inputs.map((input) => ({ input, ...workOut(input) }))
  const [any] = worked
  const first = any?.planned[0]
  if (any === undefined || first === undefined) return null
  const release = first.cover.from
  const { now, battery, solar } = any.input
  const edges = worked.flatMap(({ net }) => net.map(({ start }) => start as number))
  const windows = any.input.topUpWindows.flatMap(({ start, end }) => [start, end] as number[])
  const kinks = worked.flatMap(({ planned }) =>
    (planned[0]?.reserve.before ?? []).flatMap(({ line }) =>
      line.map((leg) => leg.start as number),
    ),
  )
  const within = [...edges, ...windows, ...kinks].filter((at) => at > now && at < release)
  const times = Float64Array.from(new Set([now as number, ...within, release])).sort()
  return {
    times,
    darkFrom: darkFrom(solar, now, first.cover.event.end),
    floorKwh: floorKwh(battery),
    capacityKwh: battery.capacityKwh,
    days: worked.map(({ input, net, nowKwh, planned }) => {
      const [own = first] = planned
      const flows = flowsOf(input, net, times)
      const reserves = own.reserve.before.map(({ line }) => sampled(line, times, release))
      const event = eventPlan(input, own)
      return {
        startKwh: nowKwh,
        ...flows,
        reserves,
        hold: event.holdBy ?? event.releaseAt,
        covers: coversUntil(input, event),
      }
    }),
  }
}

function flowsOf({ battery }: PlanInput, net: PlanInput['load'], times: Float64Array) {
  const use = new Float64Array(times.length)
  const other = new Float64Array(times.length)
  for (let i = 1; i < times.length; i++) {
    const [from, to] = [times[i - 1] as Instant, times[i] as Instant]
    const hours = hoursBetween(from, to)
    const kw = piecesBetween(net, from, to)[0]?.kw ?? 0
    const charge = Math.min(Math.max(0, -kw), battery.maxChargeKw) * battery.chargeEfficiency
    use[i] = (use[i - 1] ?? 0) + (dischargeKw(battery, kw) / battery.dischargeEfficiency) * hours
    other[i] = (other[i - 1] ?? 0) + (battery.standbyKw - charge) * hours
  }
  return { use, other }
}

const sampled = (line: Line, times: Float64Array, release: Instant): Float64Array =>
  times.map((at) => kwhAt(line, at < release ? (at as Instant) : release))

function coversUntil(input: PlanInput, planned: EventPlan): number {
  const { margin, rule } = input
  const plain = rule === null && 'kwh' in margin && margin.kwh === 0
  if (plain) return planned.verdict === 'short' ? -Infinity : (planned.holdBy ?? planned.releaseAt)
  const bare = { ...input, margin: { kwh: 0 }, rule: null }
  const { net, nowKwh, planned: covered } = workOut(bare)
  const [first] = covered
  if (first === undefined || eventPlan(bare, first).verdict === 'short') return -Infinity
  const { from } = first.cover
  const run = walkForward(input.battery, 'run', piecesBetween(net, input.now, from), nowKwh)
  const untils = first.reserve.before.map(({ line }) => lastNotUnder(run, line) ?? from)
  return Math.max(input.now, ...untils)
}

export function placeOf({ times }: Grid, at: number): Place {
  let before = 0
  while (before < times.length - 2 && (times[before + 1] ?? Infinity) <= at) before++
  const [from, to] = [times[before] ?? at, times[before + 1] ?? at]
  return { at, before, share: to > from ? (at - from) / (to - from) : 0 }
}

export const valueAtPlace = (values: Float64Array, { before, share }: Place): number => {
  const value = values[before] ?? 0
  return value + share * ((values[before + 1] ?? value) - value)
}

/** The energy of a running day at a place, kWh: never under the floor for serving, never over the capacity. */
export function kwhAtPlace(grid: Grid, day: GridDay, place: Place): number {
  let kwh = day.startKwh
  for (let i = 0; i <= place.before; i++) {
    const share = i < place.before ? 1 : place.share
    const use = share * ((day.use[i + 1] ?? 0) - (day.use[i] ?? 0))
    const other = share * ((day.other[i + 1] ?? 0) - (day.other[i] ?? 0))
    kwh = served(grid, Math.min(grid.capacityKwh, kwh - other), use)
  }
  return kwh
}

const served = ({ floorKwh: floor }: Grid, kwh: number, use: number): number =>
  kwh - Math.min(use, Math.max(0, kwh - floor))

/**
 * The latest safe hold on a day from an energy at a place, its use made `factor` and its need `needFactor` times as
 * large: `from` itself if that is under the reserve, the last breakpoint if it never is.
 */
export function holdFrom(
  grid: Grid,
  day: GridDay,
  from: Place,
  kwh: number,
  factor: number,
  needFactor: number,
): number {
  let latest = from.at
  for (const reserve of day.reserves)
    latest = Math.max(latest, untilUnder(grid, day, reserve, from, kwh, factor, needFactor))
  return latest
}

function untilUnder(
  grid: Grid,
  { use, other }: GridDay,
  reserve: Float64Array,
  from: Place,
  kwh: number,
  factor: number,
  needFactor: number,
): number {
  const { times, floorKwh: floor, capacityKwh } = grid
  const need = (value: number) => floor + (value - floor) * needFactor
  let at = from.at
  let over = kwh - need(valueAtPlace(reserve, from))
  let used = valueAtPlace(use, from)
  let lost = valueAtPlace(other, from)
  let left = kwh
  if (over < -HAIR_KWH) return at
  for (let i = from.before + 1; i < times.length; i++) {
    const next = times[i] ?? at
    const taken = factor * ((use[i] ?? 0) - used)
    const kept = Math.min(capacityKwh, left - ((other[i] ?? 0) - lost))
    const needed = need(reserve[i] ?? 0)
    const under = kept - taken - needed
    // At the floor it gives no more, and a reserve at the floor asks for no more.
    if (under < -HAIR_KWH && needed > floor + HAIR_KWH)
      return at + ((next - at) * Math.max(0, over)) / (over - under)
    left = served(grid, kept, taken)
    used = use[i] ?? 0
    lost = other[i] ?? 0
    over = left - needed
    at = next
  }
  return at
}
