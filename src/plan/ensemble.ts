// The plan from past days (model §4): one plan for each comparable day, and of these the one that is early
// enough on as many as were asked for. No curve is assumed; the days are the margin.

import { adviceDrawn } from './advice.ts'
import { checkInput } from './check.ts'
import { type DayCase, dayCase, safeUntil } from './dayCase.ts'
import { type Planned, type Worked, eventPlan, wholeUp, workOut } from './hold.ts'
import { type Instant, asInstant, earlier } from './instant.ts'
import { kwhAt } from './line.ts'
import { daysNeeded, kthLargest, kthSmallest, rankFor } from './rank.ts'
import { type Calibrated, type Cases, calibrate, coveredOn } from './replay.ts'
import { type Result, ok, refuse } from './result.ts'
import type {
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

/**
 * Plans the holds from past days: each hold is the k-th earliest of the days' latest safe holds, each reserve the k-th
 * largest of theirs, `k = rankFor(days, stage)`; with k = 0 the earliest day and `spareMargin`. With readings the stage is
 * calibrated by replay on the first event; without, it is the confidence asked for. Energies kWh stored.
 */
export function planOverDays(input: DaysInput): Result<DaysPlan, DaysRefusal> {
  const asked = input.days.map((load) => inputOn(input, load))
  const [anyDay] = asked
  if (anyDay === undefined) return refuse({ reason: 'no_comparable_day' })
  const checked = checkInput(anyDay)
  if (!checked.ok) return checked

  const spare = asked.map((day) => ({ ...day, margin: input.spareMargin }))
  const readings = input.heldSince === null ? input.maxReadings : 0
  const { stage, coveredOn: firstCovered } = stageOf(input, asked, spare, readings)
  const rank = rankFor(asked.length, stage)
  const worked = (rank > 0 ? asked : spare).map((day) => ({ day, ...workOut(day) }))
  const count = input.events.length
  const events = Array.from({ length: count }, (_, i): DaysEventPlan => {
    const days = eventDays(worked, i)
    const event = decide(input, days, Math.max(1, rank))
    const ahead = event.holdBy !== null && event.holdBy > input.now
    return {
      ...event,
      nextReadingAt: i === 0 && readings > 0 && ahead ? event.holdBy : null,
      confidence: {
        days: asked.length,
        coveredOn: i === 0 ? firstCovered : leaveOneOut(days, stage),
        stage,
      },
    }
  })
  const { events: drawn, ...rest } = adviceDrawn(input, events)
  return ok({
    ...rest,
    events: events.map((event, i) => ({
      ...event,
      marginLeftKwh: drawn[i]?.marginLeftKwh ?? event.marginLeftKwh,
    })),
    unpromised: unpromised(input.confidence, asked.length, firstCovered, readings),
  })
}

const inputOn = (
  { days: _days, confidence: _c, maxReadings: _m, stage: _s, spareMargin: _p, ...rest }: DaysInput,
  load: PlanInput['load'],
): PlanInput => ({ ...rest, load })

const casesOf = (days: readonly PlanInput[]): readonly DayCase[] =>
  days.flatMap((day) => dayCase(day) ?? [])

/** The confidence to plan each look at, and on how many days it would have worked. */
function stageOf(
  { now, outOfReach, stage, confidence }: DaysInput,
  asked: readonly PlanInput[],
  spare: readonly PlanInput[],
  readings: number,
): Calibrated {
  const cases: Cases = { now, outOfReach, asked: casesOf(asked), spare: casesOf(spare) }
  if (stage === null && readings > 0) return calibrate(cases, readings, confidence)
  const kept = stage ?? confidence
  return { stage: kept, coveredOn: coveredOn(cases, { readings, stage: kept }) }
}

const eventDays = (worked: readonly (Worked & { readonly day: PlanInput })[], i: number) =>
  worked.flatMap(({ day, planned }): EventDays => {
    const each = planned[i]
    return each === undefined ? [] : [{ event: eventPlan(day, each), planned: each }]
  })

/** The day whose latest safe hold is the k-th earliest decides; what is kept comes from all of them. */
function decide({ battery }: DaysInput, days: EventDays, rank: number): EventPlan {
  const share = (kwh: number) => (100 * kwh) / battery.capacityKwh
  const earliestFirst = days
    .map(({ event }) => event)
    .toSorted((a, b) => safeUntil(a) - safeUntil(b) || (b.short?.kwh ?? 0) - (a.short?.kwh ?? 0))
  const event = earliestFirst[rank - 1] as EventPlan
  const among = (value: (day: EventDays[number]) => number) => kthLargest(days.map(value), rank)
  const latest = event.verdict === 'short' ? bestEffort(days, rank) : event.holdBy
  const topUp = latest && topUpAmong(days, rank)
  // Filling pauses the discharge as well, so the hold is not later.
  const holdBy = latest && earlier(latest, topUp?.from ?? latest)
  const at = holdBy ?? event.releaseAt
  const reserveKwh = among((day) => day.event.reserveKwh)
  return {
    ...event,
    holdBy,
    topUp,
    needKwh: among((day) => day.event.needKwh),
    reserveKwh,
    reservePct: share(reserveKwh),
    holdAtPct: wholeUp(share(among(({ planned }) => reserveBefore(planned, at)))),
  }
}

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
  covered: number,
  readings: number,
): Unpromised | null {
  const allowed = rankFor(days, confidence)
  if (allowed === 0) return { reason: 'too_few_days', days, needed: daysNeeded(confidence) }
  const missed = readings > 0 && days - covered >= allowed
  return missed ? { reason: 'replay_missed', days, coveredOn: covered } : null
}
