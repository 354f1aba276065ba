// A household's own data as the planner's input, and the plan that follows. Replanning with the same data
// is the same plan.

import { DateTime } from 'luxon'
import {
  type EventPlan,
  type Instant,
  type PlanInput,
  type Step,
  asInstant,
  planHolds,
} from '../plan/index.ts'
import { SAME_TIME_MS } from './timing.ts'
import type { Household, HouseholdEvent, HouseholdPlan, Settings } from './types.ts'

/** The events still to be covered, in time order. */
export const upcoming = (household: Household, now: Instant): readonly HouseholdEvent[] =>
  household.events
    .filter((event) => event.state === 'announced' && event.end > now)
    .toSorted((a, b) => a.start - b.start)

/** Since when the battery is paused, by what its people said; `null` while it runs. */
export const heldSince = (household: Household): Instant | null =>
  household.events.find((event) => event.heldAt !== null && event.releasedAt === null)?.heldAt ??
  null

/** Plans all events to come; `null` without an event or a reading. */
export function planFor(household: Household, now: Instant): HouseholdPlan | null {
  const events = upcoming(household, now)
  const input = planInput(household, events, now)
  if (input === null || events.length === 0) return null
  const planned = planHolds(input)
  // Events are checked when they are announced; one that slips through would be a bug here.
  if (!planned.ok) throw new RangeError(`Cannot plan: ${planned.refusal.reason}`)
  return { at: now, eventIds: events.map((event) => event.id), plan: planned.value }
}

/** What the battery holds now by the forecast, per cent; `null` without a reading. */
export function reckonedPct(household: Household, now: Instant): number | null {
  const input = planInput(household, [], now)
  const planned = input && planHolds(input)
  return planned?.ok ? (planned.value.trajectory[0]?.socPct ?? null) : null
}

/** Keeps the plan that was there when a person would see no difference, so that nothing is written or sent again. */
export function replanned(household: Household, now: Instant): Household {
  const plan = planFor(household, now)
  const same = plan === null ? household.plan === null : samePlan(household.plan, plan)
  return same ? household : { ...household, plan }
}

/** The planned event of an id. */
export function plannedEvent(household: Household, eventId: string): EventPlan | null {
  const index = household.plan?.eventIds.indexOf(eventId) ?? -1
  return household.plan?.plan.events[index] ?? null
}

export function samePlan(a: HouseholdPlan | null, b: HouseholdPlan): boolean {
  if (a === null || a.eventIds.join() !== b.eventIds.join()) return false
  return b.plan.events.every((event, i) => {
    const before = a.plan.events[i]
    return before !== undefined && sameToAPerson(before, event)
  })
}

const close = (x: Instant | null, y: Instant | null): boolean =>
  x === y || (x !== null && y !== null && Math.abs(x - y) < SAME_TIME_MS)

export function sameToAPerson(a: EventPlan, b: EventPlan): boolean {
  return (
    a.verdict === b.verdict &&
    a.start === b.start &&
    a.end === b.end &&
    a.holdAtPct === b.holdAtPct &&
    close(a.holdBy, b.holdBy) &&
    close(a.releaseAt, b.releaseAt) &&
    close(a.short?.coveredUntil ?? null, b.short?.coveredUntil ?? null)
  )
}

function planInput(
  { settings, readings, ...household }: Household,
  events: readonly HouseholdEvent[],
  now: Instant,
): PlanInput | null {
  const reading = readings.at(-1)
  if (reading === undefined) return null
  const from = reading.at
  return {
    now,
    battery: settings.battery,
    reading,
    load: [{ start: from, kw: settings.loadKw }],
    solar: nightCharges(settings, from, events.at(-1)?.end ?? now),
    events,
    margin: settings.margin,
    rule: settings.rule,
    releaseLeadMinutes: settings.releaseLeadMinutes,
    topUpWindows: [],
    outOfReach: [],
    heldSince: heldSince({ settings, readings, ...household }),
  }
}

/**
 * The battery's own nightly charge as a surplus that the planner can walk through, so that the forecast rises by
 * it. A charge limit that nobody gave is taken as a third of the capacity an hour (common practice, no source).
 */
function nightCharges(
  { nightCharge, timeZone, battery, loadKw }: Settings,
  from: Instant,
  to: Instant,
): readonly Step[] {
  if (nightCharge === null) return []
  const chargeKw = Number.isFinite(battery.maxChargeKw)
    ? battery.maxChargeKw
    : battery.capacityKwh / 3
  const steps: Step[] = []
  let day = DateTime.fromMillis(from, { zone: timeZone }).startOf('day').minus({ days: 1 })
  while (day.toMillis() < to) {
    const start = onDay(day, nightCharge.from)
    const until = onDay(day, nightCharge.until)
    steps.push(
      { start: asInstant(start.toMillis()), kw: chargeKw + loadKw },
      {
        start: asInstant(
          (until > start ? until : onDay(day.plus({ days: 1 }), nightCharge.until)).toMillis(),
        ),
        kw: 0,
      },
    )
    day = day.plus({ days: 1 })
  }
  return steps
}

function onDay(day: DateTime, clock: string): DateTime {
  const [hour = 0, minute = 0] = clock.split(':').map(Number)
  return day.set({ hour, minute })
}
