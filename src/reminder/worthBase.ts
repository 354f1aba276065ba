// What is walked to count what events are worth: the household's input without what the plan does, and what it does.

import {
  type CheapestPlan,
  DAY_MS,
  type EventPlan,
  type Instant,
  type PlanInput,
  type Span,
  type TrajectoryPoint,
  type UnitRate,
  asInstant,
  earlier,
  later,
  planHolds,
} from '../plan/index.ts'
import { unitRateSteps } from '../schedule/index.ts'
import { nightCharges } from './night.ts'
import { planInput } from './planning.ts'
import { sumOfSteps } from './steps.ts'
import { sunAhead } from './sun.ts'
import type { Household, HouseholdEvent, HouseholdPlan, Settings, TopUp } from './types.ts'

/** What is walked for all events: as it stands now, and beyond the last event. */
export type Base = {
  readonly input: PlanInput
  readonly rates: readonly UnitRate[]
  /** In time order, with what hands do for each. */
  readonly planned: readonly Planned[]
  readonly trajectory: readonly TrajectoryPoint[]
  /** Of the first event of the cheapest plan, which may have several; `null` in any other. */
  readonly holds: readonly Span[] | null
}

export type Planned = { readonly event: HouseholdEvent; readonly act: EventPlan }

/** What is common to the counting of these events and those before them; `null` without rates or a plan. */
export function baseOf(household: Household, eventIds: readonly string[]): Base | null {
  const { plan, readings, settings } = household
  const { unitRates, timeZone } = settings
  if (plan === null || unitRates === null) return null
  const now = later(plan.at, readings.at(-1)?.at ?? plan.at)
  const most = Math.max(...eventIds.map((id) => plan.eventIds.indexOf(id)))
  const planned = plan.eventIds.slice(0, most + 1).flatMap((id, i): readonly Planned[] => {
    const event = household.events.find((each) => each.id === id)
    const act = plan.plan.events[i]
    const known = event !== undefined && act !== undefined && event.end > now
    return known ? [{ event, act: asSet(act, event, now) }] : []
  })
  const last = planned.at(-1)
  if (last === undefined) return null
  const input = planInput(
    {
      ...household,
      // Who is out of reach when is in the plan already.
      settings: { ...settings, people: [] },
      events: household.events.map((event) => chargedUntil(event, now)),
    },
    planned.map(({ event }) => event),
    now,
  )
  if (input === null) return null
  const counts = { start: now, end: asInstant(later(now, last.event.end) + DAY_MS) }
  return {
    input: withDayAfter(settings, input, last.event.end),
    rates: unitRateSteps(unitRates, timeZone, counts),
    planned,
    trajectory: plan.plan.trajectory,
    holds: planned[0]?.event.id === plan.eventIds[0] ? holdsOf(plan.plan, input) : null,
  }
}

/** All holds for the first event of the cheapest plan; `null` where they are its one. */
function holdsOf(plan: HouseholdPlan['plan'], input: PlanInput): readonly Span[] | null {
  const [first] = plan.events
  const holds = 'holds' in plan ? (plan as CheapestPlan).holds : []
  const [hold] = holds
  if (first === undefined || hold === undefined) return null
  // Held already it tells the hold up to the event, and of its own release that it may run again before.
  if (input.heldSince === null || first.releaseAt >= hold.end) return holds
  const at = later(first.releaseAt, input.now)
  const paused = planHolds({ ...input, now: at, events: [] })
  const socPct = paused.ok ? (paused.value.trajectory[0]?.socPct ?? 0) : 0
  const running = planHolds({ ...input, now: at, reading: { at, socPct }, heldSince: null })
  const next = running.ok ? (running.value.events[0] ?? null) : null
  const again =
    next === null || next.holdBy === null ? [] : [{ start: next.holdBy, end: next.releaseAt }]
  return [{ start: hold.start, end: at }, ...again]
}

/** A charge that is set is an act of the plan for as long as it is to come: it is paid for, and without the plan it would not be. */
function asSet(act: EventPlan, { topUp = null }: HouseholdEvent, now: Instant): EventPlan {
  const set: TopUp | null = topUp && topUp.until > now ? topUp : null
  return set === null ? act : { ...act, topUp: { ...set, from: later(set.from, now) } }
}

/** What of a charge is over stays a surplus that the forecast has walked through. */
function chargedUntil(event: HouseholdEvent, now: Instant): HouseholdEvent {
  const { topUp = null } = event
  const over = topUp && topUp.from < now ? { ...topUp, until: earlier(topUp.until, now) } : null
  return { ...event, topUp: over }
}

/** The forecast ends with the last event; the bill at the charge after it, by night or by the sun. */
function withDayAfter(settings: Settings, input: PlanInput, end: Instant): PlanInput {
  const until = asInstant(end + DAY_MS)
  const after = sumOfSteps([nightCharges(settings, end, until), sunAhead(settings, end, until)])
  const atEnd = { start: end, kw: after.findLast(({ start }) => start <= end)?.kw ?? 0 }
  const before = input.solar.filter(({ start }) => start < end)
  return { ...input, solar: [...before, atEnd, ...after.filter(({ start }) => start > end)] }
}

/** When the last surplus before hands do something ends, but not before now: up to there both ways are one. */
export function lastCharge({ now, load, solar }: PlanInput, act: EventPlan): Instant {
  const before = earlier(act.holdBy ?? act.releaseAt, act.topUp?.from ?? act.releaseAt)
  const loadAt = (at: Instant) => (load.findLast(({ start }) => start <= at) ?? load[0])?.kw ?? 0
  const ends = solar.filter(({ start, kw }, i) => {
    const ahead = solar[i - 1]
    return ahead !== undefined && ahead.kw > loadAt(ahead.start) && kw <= loadAt(start)
  })
  return later(now, ends.findLast(({ start }) => start <= before)?.start ?? now)
}

/** The same from a later instant on, with what the plan expects to be stored then. */
export const inputFrom = ({ input, trajectory }: Base, from: Instant): PlanInput => ({
  ...input,
  now: from,
  reading: { at: from, socPct: socAt(trajectory, from) },
  heldSince: null,
})

function socAt(trajectory: readonly TrajectoryPoint[], at: Instant): number {
  const before = trajectory.findLast((point) => point.at <= at)
  const after = trajectory.find((point) => point.at > at)
  if (before === undefined || after === undefined) return (before ?? after)?.socPct ?? 0
  const share = (at - before.at) / (after.at - before.at)
  return before.socPct + share * (after.socPct - before.socPct)
}
