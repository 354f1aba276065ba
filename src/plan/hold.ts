// The plan: for each event the latest safe hold, the release and the verdict (model §3). Several events are
// one problem: the reserve comes from all later ones, the forecast from all earlier ones.

import { floorKwh } from './battery.ts'
import { cautionsOf } from './cautions.ts'
import { checkInput } from './check.ts'
import { type Cover, coversOf } from './cover.ts'
import { type GapPlan, type Stretch, planGap } from './gap.ts'
import { type Instant, asInstant, hoursBetween, later } from './instant.ts'
import { type Line, lastKwh, walkForward, HAIR_KWH } from './line.ts'
import { netLoad, piecesBetween } from './net.ts'
import { type Reserve, reservesOf } from './reserve.ts'
import { type Result, ok } from './result.ts'
import { trajectoryOf } from './trajectory.ts'
import type { Battery, EventPlan, Plan, PlanInput, PlanRefusal, Short, Step } from './types.ts'

/** A cover with what was planned for it: the material of the answer and of the trajectory. */
export type Planned = {
  readonly cover: Cover
  readonly reserve: Reserve
  readonly gapPlan: GapPlan
  readonly served: Stretch
}

/** All that is known about the covers once they are planned. */
export type Worked = {
  readonly net: readonly Step[]
  readonly nowKwh: number
  readonly planned: readonly Planned[]
}

/**
 * Plans the holds for all events. Energies in the answer are stored energy, kWh; instants are whole
 * milliseconds, never later than the exact one. Source: the model, §1-3; the rules are in README.md beside this file.
 */
export function planHolds(input: PlanInput): Result<Plan, PlanRefusal> {
  const checked = checkInput(input)
  if (!checked.ok) return checked
  const { net, nowKwh, planned } = workOut(input)
  return ok({
    events: planned.map((each) => eventPlan(input, each)),
    trajectory: trajectoryOf(input, planned, nowKwh),
    cautions: cautionsOf(input, net, planned),
  })
}

/** Plans the covers of an input that is checked already; the first gap as `given`, where it is. */
export function workOut(input: PlanInput, given: GapPlan | null = null): Worked {
  const net = netLoad(input.load, input.solar)
  const covers = coversOf(input, net)
  const reserves = reservesOf(input, net, covers)
  const planned: Planned[] = []
  const nowKwh = kwhNow(input, net)
  let kwh = nowKwh
  for (const [i, cover] of covers.entries()) {
    const reserve = reserves[i] as Reserve
    const held = i === 0 && input.heldSince !== null
    const first = i === 0 ? given : null
    const gapPlan = first ?? bestGap(input, net, cover, reserve, kwh, held)
    const served = servedAfter(input, net, cover, gapPlan.endKwh)
    planned.push({ cover, reserve, gapPlan, served })
    kwh = lastKwh(served.line, gapPlan.endKwh)
  }
  return { net, nowKwh, planned }
}

/** The battery through a cover, from the energy at the release. */
export const servedAfter = (
  input: PlanInput,
  net: readonly Step[],
  { from, event }: Cover,
  kwh: number,
): Stretch => ({
  mode: 'run',
  line: walkForward(input.battery, 'run', piecesBetween(net, from, event.end), kwh),
})

/** The energy now: the reading walked forward, in the mode the battery has been in since. */
export function kwhNow(
  { battery, reading, heldSince, now }: PlanInput,
  net: readonly Step[],
): number {
  const read = Math.min(100, Math.max(0, reading.socPct)) * (battery.capacityKwh / 100)
  const pausedAt = heldSince === null || heldSince > now ? now : later(reading.at, heldSince)
  const running = walkForward(battery, 'run', piecesBetween(net, reading.at, pausedAt), read)
  const pausedKwh = lastKwh(running, read)
  const paused = walkForward(battery, 'hold', piecesBetween(net, pausedAt, now), pausedKwh)
  return lastKwh(paused, pausedKwh)
}

/** The way to use the gap that covers the event, lets the battery run longest, and tops up least; then the latest window. */
function bestGap(
  input: PlanInput,
  net: readonly Step[],
  cover: Cover,
  reserve: Reserve,
  kwh: number,
  held: boolean,
): GapPlan {
  const plans = reserve.before.map((gap) => planGap(input, net, cover, gap, kwh, held))
  const missing = (plan: GapPlan) => missingKwh(input.battery, cover, plan.endKwh)
  const better = (a: GapPlan, b: GapPlan): GapPlan => {
    const order =
      missing(a) - missing(b) ||
      (b.holdBy ?? Infinity) - (a.holdBy ?? Infinity) ||
      (a.fill?.kwh ?? 0) - (b.fill?.kwh ?? 0)
    return order > 0 ? b : a
  }
  return plans.reduce(better)
}

/** How much the energy at the release lacks of covering the event to the floor, kWh; 0 when it is enough. */
function missingKwh(battery: Battery, cover: Cover, kwh: number): number {
  const missing = floorKwh(battery) + cover.needKwh - kwh
  return missing > HAIR_KWH ? missing : 0
}

/** What a person is told about a planned cover. */
export function eventPlan(input: PlanInput, planned: Planned): EventPlan {
  const { cover, reserve, gapPlan, served } = planned
  const { battery, now } = input
  const { event, from } = cover
  const share = (kwh: number) => (100 * kwh) / battery.capacityKwh
  const missing = missingKwh(input.battery, cover, gapPlan.endKwh)
  const holdBy = gapPlan.holdBy
  return {
    start: event.start,
    end: event.end,
    verdict:
      missing > 0 ? 'short' : holdBy === null ? 'no-hold' : holdBy <= now ? 'hold-now' : 'hold',
    needKwh: cover.needKwh,
    reserveKwh: reserve.atReleaseKwh,
    reservePct: share(reserve.atReleaseKwh),
    holdBy,
    holdAtPct: wholeUp(share(gapPlan.holdAtKwh ?? reserve.atReleaseKwh)),
    releaseAt: from,
    marginLeftKwh: Math.max(0, lastKwh(served.line, gapPlan.endKwh) - floorKwh(battery)),
    topUp: gapPlan.fill && {
      from: asInstant(Math.floor(gapPlan.fill.start)),
      until: gapPlan.fill.end,
      kwh: gapPlan.fill.kwh,
    },
    short: missing > 0 ? shortOf(input, cover, served.line, gapPlan.endKwh, missing) : null,
  }
}

/** The display shows whole per cent, so a reserve is rounded up, never down. */
export const wholeUp = (pct: number): number => Math.min(100, Math.ceil(pct - 1e-9))

function shortOf(
  { battery }: PlanInput,
  { event, from }: Cover,
  served: Line,
  kwh: number,
  missing: number,
): Short {
  const floor = floorKwh(battery)
  const spent: Instant = served.find((leg) => leg.kwh <= floor)?.start ?? event.end
  const hours = hoursBetween(from, event.end)
  const spareKw = Math.max(0, kwh - floor) / hours - battery.standbyKw
  return {
    kwh: missing,
    coveredUntil: asInstant(Math.floor(spent)),
    loadKw: Math.max(0, spareKw) * battery.dischargeEfficiency,
  }
}
