// Whether holding for an event is worth it in money: both bills of the household's own plan (the planner's H20), from the
// last charge before it until the next. The scheme's own meter and rules decide what is paid; here the baseline is the
// household's evening load over the length of the event.

import {
  DAY_MS,
  type EventPlan,
  type Instant,
  type PlanInput,
  type TrajectoryPoint,
  type Worth,
  asInstant,
  earlier,
  hoursBetween,
  later,
  worthOf,
} from '../plan/index.ts'
import { unitRateSteps } from '../schedule/index.ts'
import { nightCharges } from './night.ts'
import { planInput } from './planning.ts'
import type { Household, HouseholdEvent, HouseholdPlan, TopUp } from './types.ts'

export type EventWorth = Worth & {
  /** ISO 4217, of all money in it. */
  readonly currency: string
  /** What the house is taken to use in the event usually, kWh; `null` where nothing is known of what is paid. */
  readonly baselineKwh: number | null
}

/**
 * What holding for an event adds to holding for those before it, by the plan as it stands; `null` without rates, a plan for
 * it, or anything left to choose. Energies kWh, money in the currency of the rates.
 */
export function worthOfEvent(household: Household, eventId: string): EventWorth | null {
  const { settings, plan } = household
  const { unitRates, rewardPerKwh, timeZone } = settings
  if (unitRates === null || plan === null) return null
  const counted = countedOf(household, plan, eventId)
  const event = counted?.events.at(-1)
  if (counted === null || event === undefined) return null
  const { input, acts } = counted
  const until = asInstant(later(input.now, event.end) + DAY_MS)
  const baselineKwh = input.events.map((each) => usualKwh(household, each, input.now))
  const worth = worthOf({
    input,
    plan: { events: acts },
    instead: { events: acts.slice(0, -1) },
    rates: unitRateSteps(unitRates, timeZone, { start: input.now, end: until }),
    reward: rewardPerKwh === null ? null : { perKwh: rewardPerKwh, baselineKwh },
  })
  // What was planned can be counted.
  if (!worth.ok) throw new RangeError(`Cannot count: ${worth.refusal.reason}`)
  const usual = rewardPerKwh === null ? null : (baselineKwh.at(-1) ?? null)
  return { ...worth.value, currency: unitRates.currency, baselineKwh: usual }
}

/** The evening load over what is left of an event, kWh. */
const usualKwh = (
  { settings }: Household,
  { start, end }: Pick<EventPlan, 'start' | 'end'>,
  now: Instant,
): number => settings.loadKw * hoursBetween(later(start, now), end)

type Counted = {
  readonly input: PlanInput
  /** The one that is asked about last. */
  readonly events: readonly HouseholdEvent[]
  readonly acts: readonly EventPlan[]
}

/** What is walked, and what hands do in it for each event up to this one. */
function countedOf(household: Household, plan: HouseholdPlan, eventId: string): Counted | null {
  const now = later(plan.at, household.readings.at(-1)?.at ?? plan.at)
  const index = plan.eventIds.indexOf(eventId)
  const known = plan.eventIds.slice(0, index + 1).flatMap((id, i) => {
    const event = household.events.find((each) => each.id === id)
    const act = plan.plan.events[i]
    return event === undefined || act === undefined ? [] : [{ event, act: asSet(act, event, now) }]
  })
  const asked = known.at(-1)
  if (asked?.event.id !== eventId || isDecided(asked.event, asked.act, now)) return null
  const still = known.filter(({ event }) => event.end > now)
  const input = withNextNight(
    household,
    planInput(
      { ...household, events: household.events.map((event) => chargedUntil(event, now)) },
      still.map(({ event }) => event),
      now,
    ),
  )
  if (input === null) return null
  const from = lastCharge(input, firstAct(asked.act))
  const within = still.filter(({ event }) => event.end > from)
  return {
    input: from > now ? inputFrom(input, plan.plan.trajectory, from) : input,
    events: within.map(({ event }) => event),
    acts: within.map(({ act }) => act),
  }
}

/** Whether nothing is left to choose: it runs again, or is about to. */
const isDecided = (
  { releasedAt }: HouseholdEvent,
  { releaseAt }: EventPlan,
  now: Instant,
): boolean => releasedAt !== null || now >= releaseAt

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

/** The forecast ends with the last event, the bill at the night's charge after it. */
function withNextNight({ settings }: Household, input: PlanInput | null): PlanInput | null {
  const last = input?.events.at(-1)
  if (input === null || last === undefined) return null
  const known = input.solar.at(-1)?.start ?? -Infinity
  const next = nightCharges(settings, last.end, asInstant(last.end + DAY_MS))
  return { ...input, solar: [...input.solar, ...next.filter(({ start }) => start > known)] }
}

const firstAct = ({ holdBy, releaseAt, topUp }: EventPlan): Instant =>
  earlier(holdBy ?? releaseAt, topUp?.from ?? releaseAt)

/** When the last surplus before an instant ends, but not before now: up to there both ways are one. */
function lastCharge({ now, load, solar }: PlanInput, before: Instant): Instant {
  const loadAt = (at: Instant) => (load.findLast(({ start }) => start <= at) ?? load[0])?.kw ?? 0
  const ends = solar.filter(({ start, kw }, i) => {
    const ahead = solar[i - 1]
    return ahead !== undefined && ahead.kw > loadAt(ahead.start) && kw <= loadAt(start)
  })
  return later(now, ends.findLast(({ start }) => start <= before)?.start ?? now)
}

/** The same input from a later instant on, with what the plan expects to be stored then. */
const inputFrom = (
  input: PlanInput,
  trajectory: readonly TrajectoryPoint[],
  from: Instant,
): PlanInput => ({
  ...input,
  now: from,
  reading: { at: from, socPct: socAt(trajectory, from) },
  events: input.events.filter(({ end }) => end > from),
  heldSince: null,
})

function socAt(trajectory: readonly TrajectoryPoint[], at: Instant): number {
  const before = trajectory.findLast((point) => point.at <= at)
  const after = trajectory.find((point) => point.at > at)
  if (before === undefined || after === undefined) return (before ?? after)?.socPct ?? 0
  const share = (at - before.at) / (after.at - before.at)
  return before.socPct + share * (after.socPct - before.socPct)
}
