// A second, independent reckoning of a battery's day, straight from section 1 of the model: small steps
// forward in time, no closed forms for the taper, nothing shared with src/plan but the types.
// Steps end at every change of load, sun or mode; inside a step the floor is met exactly.

import type { Battery, Instant, Mode, PlanInput, Step } from '../../src/plan/index.ts'
import { HOUR, SECOND, floorKwh } from './given.ts'

export type Leg = { readonly from: Instant; readonly mode: Mode }

export type Walk = {
  readonly input: Pick<PlanInput, 'battery' | 'load' | 'solar'>
  readonly from: Instant
  readonly until: Instant
  readonly startKwh: number
  readonly legs: readonly Leg[]
  readonly stepMs?: number
  /** Goes on serving under the floor: to find what would have been needed. */
  readonly noFloor?: boolean
}

export type Walked = {
  readonly energyKwh: number
  readonly lowestKwh: number
  /** Discharged to the house, on the AC side. */
  readonly usedKwh: number
  /** Wanted from the battery in `run`, within its power limit, and not there. */
  readonly unservedKwh: number
  readonly emptyAt: Instant | null
}

const valueAt = <Item extends { readonly from: Instant }>(items: readonly Item[], at: number) =>
  items.findLast(({ from }) => from <= at) ?? items[0]

const kwAt = (steps: readonly Step[], at: number) =>
  (steps.findLast(({ start }) => start <= at) ?? steps[0])?.kw ?? 0

/** Section 1: flat to the taper start, then linear in the energy to the taper end at full. */
const chargeLimitKw = ({ maxChargeKw, taper, capacityKwh }: Battery, energyKwh: number) => {
  if (taper === null) return maxChargeKw
  const fromKwh = (taper.fromPct / 100) * capacityKwh
  if (energyKwh <= fromKwh || fromKwh >= capacityKwh) return maxChargeKw
  const share = Math.min(1, (energyKwh - fromKwh) / (capacityKwh - fromKwh))
  return maxChargeKw + share * (taper.toKw - maxChargeKw)
}

export const simulate = (walk: Walk): Walked => {
  const { input, from, until, legs, stepMs = SECOND, noFloor = false } = walk
  const { battery, load, solar } = input
  const floor = noFloor ? -Infinity : floorKwh(battery)
  const edges = [...load, ...solar]
    .map(({ start }) => start)
    .concat(legs.map((leg) => leg.from))
    .filter((at) => at > from && at < until)
    .sort((a, b) => a - b)
    .concat(until)

  let energyKwh = walk.startKwh
  let lowestKwh = energyKwh
  let usedKwh = 0
  let unservedKwh = 0
  let emptyAt: Instant | null = null
  let at: number = from

  for (const edge of edges) {
    const netKw = kwAt(load, at) - kwAt(solar, at)
    const mode = valueAt(legs, at)?.mode ?? 'run'
    while (at < edge) {
      const wantedKw = mode === 'run' ? Math.min(Math.max(netKw, 0), battery.maxDischargeKw) : 0
      const servedKw = energyKwh > floor ? wantedKw : 0
      const limitKw = chargeLimitKw(battery, energyKwh)
      const chargedKw = mode === 'fill' ? limitKw : Math.min(Math.max(-netKw, 0), limitKw)
      const outKw = servedKw / battery.dischargeEfficiency
      const rateKw = chargedKw * battery.chargeEfficiency - outKw - battery.standbyKw
      let stepHours = Math.min(stepMs, edge - at) / HOUR
      const meetsFloor = servedKw > 0 && energyKwh + rateKw * stepHours <= floor
      if (meetsFloor) stepHours = (energyKwh - floor) / -rateKw
      if (wantedKw > servedKw && emptyAt === null) emptyAt = at as Instant
      usedKwh += servedKw * stepHours
      unservedKwh += (wantedKw - servedKw) * stepHours
      const moved = Math.min(battery.capacityKwh, energyKwh + rateKw * stepHours)
      energyKwh = meetsFloor ? floor : noFloor ? moved : Math.max(0, moved)
      lowestKwh = Math.min(lowestKwh, energyKwh)
      at = meetsFloor ? at + stepHours * HOUR : Math.min(edge, at + stepMs)
      if (edge - at < 1e-6) at = edge
    }
  }
  return { energyKwh, lowestKwh, usedKwh, unservedKwh, emptyAt }
}
