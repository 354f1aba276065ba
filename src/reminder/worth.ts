// Whether holding for an event is worth it in money: both bills of the household's own plan (the planner's H20), from the
// last charge before it until the next. The scheme's own meter and rules decide what is paid; here the baseline is the
// household's evening load over the length of the event.

import {
  DAY_MS,
  type Instant,
  type Worth,
  asInstant,
  hoursBetween,
  later,
  worthOf,
} from '../plan/index.ts'
import { runsInBetween } from './cheapest.ts'
import type { Household, Settings } from './types.ts'
import { type Base, type Planned, baseOf, inputFrom, lastCharge } from './worthBase.ts'

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
export const worthOfEvent = (household: Household, eventId: string): EventWorth | null =>
  worthOfEvents(household, [eventId])[0] ?? null

/** The same for several events, in their order. */
export function worthOfEvents(
  household: Household,
  eventIds: readonly string[],
): readonly (EventWorth | null)[] {
  const base = baseOf(household, eventIds)
  return eventIds.map((id) => {
    const index = base?.planned.findIndex(({ event }) => event.id === id) ?? -1
    return base === null || index === -1 ? null : counted(household, base, index)
  })
}

function counted({ settings }: Household, base: Base, index: number): EventWorth | null {
  const { unitRates, rewardPerKwh, loadKw } = settings
  const asked = base.planned[index]
  const { now } = base.input
  if (asked === undefined || unitRates === null || isDecided(settings, asked, now)) return null
  const from = lastCharge(base.input, asked.act)
  const within = base.planned.slice(0, index + 1).filter(({ event }) => event.end > from)
  const events = within.map(({ event }) => event)
  const acts = within.map(({ act }) => act)
  // Several holds are the first planned event's.
  const holds = within[0] === base.planned[0] && base.holds !== null ? { holds: base.holds } : {}
  const nextDay = asInstant(asked.event.end + DAY_MS)
  const input = {
    ...(from > now ? inputFrom(base, from) : base.input),
    events,
    topUpWindows: base.input.topUpWindows.filter(({ start }) => start < nextDay),
  }
  const baselineKwh = events.map(({ start, end }) => loadKw * hoursBetween(later(start, from), end))
  const worth = worthOf({
    input,
    plan: { events: acts, ...holds },
    instead: { events: acts.slice(0, -1), ...holds },
    rates: base.rates,
    reward: rewardPerKwh === null ? null : { perKwh: rewardPerKwh, baselineKwh },
  })
  // What was planned can be counted.
  if (!worth.ok) throw new RangeError(`Cannot count: ${worth.refusal.reason}`)
  const usual = rewardPerKwh === null ? null : (baselineKwh.at(-1) ?? null)
  return { ...worth.value, currency: unitRates.currency, baselineKwh: usual }
}

/** Whether nothing is left to choose: it runs again, or is about to. */
const isDecided = (settings: Settings, { event, act }: Planned, now: Instant): boolean =>
  event.releasedAt !== null ||
  (now >= act.releaseAt && !runsInBetween(settings, event, act.releaseAt))
