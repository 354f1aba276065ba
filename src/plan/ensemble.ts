// The plan from past days (model §4): one plan for each, and of these the one that is early enough on as many as were
// asked for. No curve is assumed; the days are the margin.

import { adviceDrawn } from './advice.ts'
import { checkInput } from './check.ts'
import { reachableHold } from './gap.ts'
import { type Grid, gridOf } from './grid.ts'
import { type Planned, type Worked, eventPlan, wholeUp, workOut } from './hold.ts'
import { type Instant, asInstant, earlier, minutesAfter } from './instant.ts'
import { factorsOf, heavierLoad } from './likeToday.ts'
import { kwhAt } from './line.ts'
import { holdAtRisk, lookAtRisk, rankAt } from './quantile.ts'
import { daysNeeded, kthLargest, kthSmallest, rankFor } from './rank.ts'
import { calibrate } from './replay.ts'
import { type Result, ok, refuse } from './result.ts'
import type {
  Calibrated,
  DaysEventPlan,
  DaysInput,
  DaysPlan,
  DaysRefusal,
  EventPlan,
  PlanInput,
  TopUp,
  Unpromised,
} from './types.ts'

/** One event as each day would have it planned. */
type EventDays = readonly { readonly event: EventPlan; readonly planned: Planned }[]

/** A hold and the look before it, for the first event of a plan that asks for readings. */
type Watched = { readonly hold: Instant; readonly look: Instant }

/**
 * Plans the holds from past days. Without readings each hold is the k-th earliest of the days' latest safe holds and each
 * reserve the k-th largest of theirs, `k = rankFor(days, confidence)`; with k = 0 the earliest day and `spareMargin`. With
 * readings the first event's risk is calibrated by replay, or is that of the day's first plan. Energies kWh stored.
 */
export function planOverDays(input: DaysInput): Result<DaysPlan, DaysRefusal> {
  const asked = daysAsInputs(input)
  const [anyDay] = asked
  if (anyDay === undefined) return refuse({ reason: 'no_comparable_day' })
  const checked = checkInput(anyDay)
  if (!checked.ok) return checked

  const readings = input.heldSince === null ? input.maxReadings : 0
  const enough = rankFor(asked.length, input.confidence) > 0
  const days = enough ? asked : asked.map((day) => ({ ...day, margin: input.spareMargin }))
  const worked = days.map((day) => ({ day, ...workOut(day) }))
  const watched = input.calibrated !== null || readings > 0
  const kept = watched ? (input.calibrated ?? calibratedOn(input, days, readings)) : null
  const stage = kept?.stage ?? input.confidence
  const rank = watched
    ? Math.floor(rankAt(asked.length, 1 - stage) + 1e-9)
    : rankFor(asked.length, stage)
  const events = Array.from({ length: input.events.length }, (_, i): DaysEventPlan => {
    const each = eventDays(worked, i)
    const first = i === 0 && watched ? watchedHold(input, each, 1 - stage) : null
    const event = decide(input, each, Math.max(1, rank), first)
    // Also where no hold is expected: a look may show that one is needed. Not once it is to be paused for a charge.
    const look = first === null || readings === 0 ? null : first.look
    const inTime = look !== null && look > input.now && look < event.releaseAt
    const looks = inTime && look <= (event.holdBy ?? event.releaseAt)
    return {
      ...event,
      nextReadingAt: looks ? look : null,
      confidence:
        i === 0 && kept !== null
          ? kept
          : { days: asked.length, coveredOn: leaveOneOut(each, stage), stage },
    }
  })
  const { events: drawn, ...rest } = adviceDrawn(input, events)
  return ok({
    ...rest,
    events: events.map((event, i) => ({
      ...event,
      marginLeftKwh: drawn[i]?.marginLeftKwh ?? event.marginLeftKwh,
    })),
    unpromised: unpromised(input.confidence, asked.length, kept),
  })
}

/** The days as planner's inputs: as they were, or made like these weeks and like today as far as that is known. */
function daysAsInputs(input: DaysInput): readonly PlanInput[] {
  const { days, heavier, before, ...rest } = input
  const first = input.events.toSorted((a, b) => a.start - b.start)[0]
  if (first === undefined || (heavier === null && before === null))
    return days.map((load) => ({ ...rest, load }))
  const today = factorsOf(input, days, heavier, before, first.end)
  const release = minutesAfter(first.start, -input.releaseLeadMinutes)
  const when = { now: input.reading.at, release, end: first.end }
  const battery = { ...input.battery, maxDischargeKw: Infinity }
  return days.map((load, i) => ({
    ...rest,
    battery,
    load: heavierLoad(load, input, heavier?.[i] ?? 1, today[i] ?? 1, when),
  }))
}

/** The same with the days as they were planned with: made like these weeks and like today, cut to the inverter's limit. */
export function daysAsPlanned(input: DaysInput): DaysInput {
  const planned = daysAsInputs(input)
  const battery = planned[0]?.battery ?? input.battery
  const made = input.heavier !== null || input.before !== null
  const heavier = made ? planned.map(() => 1) : null
  return { ...input, battery, days: planned.map(({ load }) => load), heavier, before: null }
}

function calibratedOn(input: DaysInput, days: readonly PlanInput[], readings: number): Calibrated {
  const grid = gridOf(days) as Grid
  return calibrate(grid, input.outOfReach, readings, input.confidence)
}

/** When to hold the first event at a risk, and when to look before; `null` where it is not early enough any more. */
function watchedHold(input: DaysInput, days: EventDays, risk: number): Watched | null {
  const [any] = days
  if (any === undefined) return null
  const { now, outOfReach } = input
  const { cover } = any.planned
  const holds = Float64Array.from(days, ({ event }) => event.holdBy ?? event.releaseAt).sort()
  const reach = (at: number): Instant =>
    at >= cover.from
      ? cover.from
      : (reachableHold({ outOfReach }, cover, asInstant(at)) ?? cover.from)
  return { hold: reach(holdAtRisk(holds, risk, now)), look: reach(lookAtRisk(holds, risk, now)) }
}

const eventDays = (worked: readonly (Worked & { readonly day: PlanInput })[], i: number) =>
  worked.flatMap(({ day, planned }): EventDays => {
    const each = planned[i]
    return each === undefined ? [] : [{ event: eventPlan(day, each), planned: each }]
  })

/** The day whose latest safe hold is the k-th earliest decides, or the watched hold beside it; what is kept comes from all of them. */
function decide(
  { battery, now }: DaysInput,
  days: EventDays,
  rank: number,
  watched: Watched | null,
): EventPlan {
  const share = (kwh: number) => (100 * kwh) / battery.capacityKwh
  const earliestFirst = days
    .map(({ event }) => event)
    .toSorted((a, b) => safeUntil(a) - safeUntil(b) || (b.short?.kwh ?? 0) - (a.short?.kwh ?? 0))
  const event = earliestFirst[rank - 1] as EventPlan
  const among = (value: (day: EventDays[number]) => number) => kthLargest(days.map(value), rank)
  const latest = watched === null ? ownHold(event, days, rank) : heldBefore(event, watched.hold)
  const topUp = latest && topUpAmong(days, rank)
  // Filling pauses the discharge as well, so the hold is not later.
  const holdBy = latest && earlier(latest, topUp?.from ?? latest)
  const at = earlier(holdBy ?? event.releaseAt, watched?.look ?? event.releaseAt)
  const reserveKwh = among((day) => day.event.reserveKwh)
  return {
    ...event,
    verdict: event.verdict === 'short' ? 'short' : verdictOf(holdBy, now),
    holdBy,
    topUp,
    needKwh: among((day) => day.event.needKwh),
    reserveKwh,
    reservePct: share(reserveKwh),
    holdAtPct: wholeUp(share(among(({ planned }) => reserveBefore(planned, at)))),
  }
}

const heldBefore = ({ releaseAt }: EventPlan, hold: Instant): Instant | null =>
  hold < releaseAt ? hold : null

const ownHold = (event: EventPlan, days: EventDays, rank: number): Instant | null =>
  event.verdict === 'short' ? bestEffort(days, rank) : event.holdBy

const verdictOf = (holdBy: Instant | null, now: Instant): EventPlan['verdict'] =>
  holdBy === null ? 'no-hold' : holdBy <= now ? 'hold-now' : 'hold'

/** The latest safe hold as a number that can be ranked: minus infinity where none is early enough, the release where none is needed. */
const safeUntil = (event: EventPlan): number =>
  event.verdict === 'short' ? -Infinity : (event.holdBy ?? event.releaseAt)

/** Where nothing is early enough: a day that is short whatever is done must not keep others from a hold that helps. */
function bestEffort(days: EventDays, rank: number): Instant | null {
  const hold = kthSmallest(
    days.map(({ event }) => event.holdBy ?? Infinity),
    rank,
  )
  return hold === Infinity ? null : asInstant(hold)
}

const reserveBefore = ({ reserve, gapPlan }: Planned, at: Instant): number =>
  gapPlan.gap.line.length === 0 ? reserve.atReleaseKwh : kwhAt(gapPlan.gap.line, at)

/** The top-up of the day that needs the k-th most of it. */
function topUpAmong(days: EventDays, rank: number): TopUp | null {
  const mostFirst = days
    .map(({ event }) => event.topUp)
    .toSorted((a, b) => (b?.kwh ?? 0) - (a?.kwh ?? 0))
  return mostFirst[rank - 1] ?? null
}

/** On how many days an event without readings would have been covered, each left out of its own ensemble. */
function leaveOneOut(days: EventDays, stage: number): number {
  const safe = days.map(({ event }) => safeUntil(event))
  const rank = Math.max(1, rankFor(safe.length - 1, stage))
  return safe.filter((own, day) => {
    const others = safe.filter((_, i) => i !== day)
    return own > -Infinity && (others.length === 0 || own >= kthSmallest(others, rank))
  }).length
}

function unpromised(
  confidence: number,
  days: number,
  calibrated: Calibrated | null,
): Unpromised | null {
  if (rankFor(days, confidence) === 0)
    return { reason: 'too_few_days', days, needed: daysNeeded(confidence) }
  if (calibrated === null) return null
  const { days: played, coveredOn } = calibrated
  const missed = played - coveredOn >= rankFor(played, confidence)
  return missed ? { reason: 'replay_missed', days: played, coveredOn } : null
}
