// A plan from many days, drawn on the mean of them: what is expected when the advice is followed.

import { cautionsOf } from './cautions.ts'
import { coversOf } from './cover.ts'
import { meanLoad } from './days.ts'
import { followGap } from './gap.ts'
import { type Planned, eventPlan, kwhNow, servedAfter } from './hold.ts'
import { lastKwh } from './line.ts'
import { netLoad } from './net.ts'
import { type Gap, type Reserve, reservesOf } from './reserve.ts'
import { trajectoryOf } from './trajectory.ts'
import type { DaysInput, EventPlan, Plan, PlanInput, Span } from './types.ts'

/** The trajectory under the advice, what is left after each event, and the cautions; the instants and reserves are the advice's. */
export function adviceDrawn(input: DaysInput, advice: readonly EventPlan[]): Plan {
  const mean: PlanInput = { ...input, load: meanLoad(input.days) }
  const net = netLoad(mean.load, mean.solar)
  const covers = coversOf(mean, net)
  const given = advice.map((event) => event.reserveKwh)
  const reserves = reservesOf(mean, net, covers, given)
  const nowKwh = kwhNow(mean, net)
  const planned: Planned[] = []
  let kwh = nowKwh
  for (const [i, cover] of covers.entries()) {
    const reserve = reserves[i] as Reserve
    const { holdBy, topUp, verdict } = advice[i] as EventPlan
    const fill = topUp && { start: topUp.from, end: topUp.until }
    const gap = gapWith(reserve, fill)
    const followed = followGap(mean, net, cover, gap, kwh, holdBy, fill)
    const gapPlan = { ...followed, missed: cover.unreachable && verdict !== 'no-hold' }
    const served = servedAfter(mean, net, cover, gapPlan.endKwh)
    planned.push({ cover, reserve, gapPlan, served })
    kwh = lastKwh(served.line, gapPlan.endKwh)
  }
  return {
    events: planned.map((each) => eventPlan(mean, each)),
    trajectory: trajectoryOf(mean, planned, nowKwh),
    cautions: cautionsOf(mean, net, planned),
  }
}

/** The way through the gap that tops up in this window. */
function gapWith({ before }: Reserve, fill: Span | null): Gap {
  const used = before.find(
    ({ window }) =>
      fill !== null && window !== null && window.start <= fill.start && fill.end <= window.end,
  )
  return used ?? (before[0] as Gap)
}
