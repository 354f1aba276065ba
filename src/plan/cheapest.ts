// The cheapest hold (model §6): one hold of a battery that otherwise runs, before the first event. Here `releaseAt`
// is when the hold ends; it may be before the event's own release, as long as the reserve is still there at that one.

import { floorKwh } from './battery.ts'
import { cautionsOf } from './cautions.ts'
import { checkInput } from './check.ts'
import type { GapPlan, Stretch } from './gap.ts'
import { type Planned, type Worked, eventPlan, workOut } from './hold.ts'
import { horizonEnd, worthPerKwh } from './horizon.ts'
import { DAY_MS, type Instant, type Span, asInstant, earlier } from './instant.ts'
import { kwhAt, lastKwh, walkForward, HAIR_KWH } from './line.ts'
import { emptyFrom, moneyOf } from './money.ts'
import { piecesBetween } from './net.ts'
import { lastReachable } from './reach.ts'
import { type Result, ok } from './result.ts'
import { type Spend, lastAtMost, spendOver, valueAt } from './spend.ts'
import { trajectoryOf } from './trajectory.ts'
import type { CheapestPlan, Mode, NotCheapest, PlanInput, PlanRefusal, UnitRate } from './types.ts'

/** Every pair of breakpoints is looked at: five-minute steps over a day. */
const MOST_BREAKPOINTS = 300
/**
 * Plans the first event's hold so that the import up to the horizon costs least, less the worth of what is left then;
 * later events as `planHolds`. Ties go to the latest hold, and no hold is later than any. Where there is nothing to choose
 * (the reserve is short, or met only by holding now) the plan is that of `planHolds`.
 */
export function planCheapest(
  input: PlanInput,
  unitRates: readonly UnitRate[],
): Result<CheapestPlan, PlanRefusal> {
  const checked = checkInput(input)
  if (!checked.ok) return checked
  const rates = unitRates.toSorted((a, b) => a.start - b.start)
  const latest = workOut(input)
  const [first] = latest.planned
  if (first === undefined || !choosable(input, first)) return ok(answer(input, latest, null, null))
  const found = cheapestHold(input, rates, latest, first)
  if (typeof found === 'string') return ok(answer(input, latest, null, found))
  return ok(answer(input, workOut(input, gapOf(input, latest, first, found)), found, null))
}

const choosable = (input: PlanInput, first: Planned): boolean =>
  input.heldSince === null &&
  !first.cover.unreachable &&
  !first.gapPlan.missed &&
  ['hold', 'no-hold'].includes(eventPlan(input, first).verdict)

/** The hold, `null` for none, or why it is not looked for. */
function cheapestHold(
  input: PlanInput,
  rates: readonly UnitRate[],
  { net, nowKwh }: Worked,
  { cover, reserve, gapPlan }: Planned,
): Span | null | NotCheapest {
  const { battery, now, outOfReach } = input
  const { from, event } = cover
  if (reserve.before.length > 1) return 'top_up'
  if (from > now + DAY_MS) return 'more_than_a_day'
  // Surplus fills the battery again; the hold is looked for after the last of it.
  const start = piecesBetween(net, now, event.end).findLast(({ kw }) => kw < 0)?.end ?? now
  if (start > from || (gapPlan.holdBy ?? from) < start) return 'surplus'
  const end = horizonEnd(input, net, event)
  const hands = outOfReach.flatMap((span) => [asInstant(span.start - 1), span.end])
  const spend = spendOver(battery, net, rates, { start, end }, [from, ...hands])
  if (spend.drawn.times.length > MOST_BREAKPOINTS) return 'too_many_steps'

  const run = walkForward(battery, 'run', piecesBetween(net, now, start), nowKwh)
  const money = moneyOf(battery, spend, {
    start,
    end,
    startKwh: lastKwh(run, nowKwh),
    worth: worthPerKwh(input, rates, event, end),
  })
  const holds = candidates(spend, from, [
    ...spend.drawn.times.filter((at) => at >= from).map((at) => money.kept(at, floorKwh(battery))),
    money.kept(emptyFrom(battery, end), floorKwh(battery)),
    money.kept(from, reserve.atReleaseKwh),
  ])
    .filter(({ start: a, end: b }) => a >= start && b <= from && a <= b)
    .filter(({ start: a, end: b }) =>
      [a, b].every((at) => at === from || lastReachable(outOfReach, at, at) !== null),
    )
    .filter((hold) => money.kwhAt(hold, from) >= reserve.atReleaseKwh - HAIR_KWH)
  const none = gapPlan.holdBy === null ? [{ start: from, end: from }] : []
  return latestBest([...none, ...holds], money.saved)
}

/**
 * The saving is straight in the hold's two ends between breakpoints, except where the floor is met at a breakpoint; and the
 * reserve binds where the hold keeps just enough. These are lines along which the same energy is kept, so the best
 * hold is where such a line, or another breakpoint, meets a breakpoint.
 */
function candidates({ drawn }: Spend, from: Instant, amounts: readonly number[]): readonly Span[] {
  const ends = drawn.times.filter((at) => at <= from)
  return ends.flatMap((at) => {
    const soFar = valueAt(drawn, at)
    return [
      ...ends.filter((end) => end >= at).map((end) => ({ start: at, end })),
      ...amounts
        .filter((kwh) => kwh > 0)
        .flatMap((kwh) => [
          { start: at, end: lastAtMost(drawn, soFar + kwh) },
          { start: lastAtMost(drawn, soFar - kwh), end: at },
        ]),
    ]
  })
}

/** The best, and of those as good the one that begins, then ends, latest; rounded so that the reserve is kept. */
function latestBest(holds: readonly Span[], saved: (hold: Span) => number): Span | null {
  const rated = holds.map((hold) => ({ ...hold, saved: saved(hold) }))
  const most = rated.reduce((best, hold) => Math.max(best, hold.saved), -Infinity)
  const best = rated
    .filter((hold) => hold.saved >= most - 1e-9 * Math.max(1, Math.abs(most)))
    .reduce<Span | null>((a, b) => (a && (a.start - b.start || a.end - b.end) >= 0 ? a : b), null)
  if (best === null || best.start === best.end) return null
  return { start: asInstant(Math.floor(best.start)), end: asInstant(Math.ceil(best.end)) }
}

function gapOf(
  { battery }: PlanInput,
  { net, nowKwh }: Worked,
  { cover, reserve, gapPlan }: Planned,
  hold: Span | null,
): GapPlan {
  const { gapStart, from } = cover
  const gap = reserve.before[0] ?? gapPlan.gap
  const parts: readonly (readonly [Mode, Instant, Instant])[] =
    hold === null
      ? [['run', gapStart, from]]
      : [
          ['run', gapStart, hold.start],
          ['hold', hold.start, hold.end],
          ['run', hold.end, from],
        ]
  const stretches: Stretch[] = []
  let endKwh = nowKwh
  for (const [mode, start, end] of parts) {
    const line = walkForward(battery, mode, piecesBetween(net, start, end), endKwh)
    stretches.push({ mode, line })
    endKwh = lastKwh(line, endKwh)
  }
  const holdBy = hold && hold.start
  const holdAtKwh = holdBy && kwhAt(gap.line, holdBy)
  return { gap, holdBy, holdAtKwh, fill: null, stretches, endKwh, missed: false }
}

function answer(
  input: PlanInput,
  { net, nowKwh, planned }: Worked,
  hold: Span | null,
  notCheapest: NotCheapest | null,
): CheapestPlan {
  return {
    events: planned
      .map((each) => eventPlan(input, each))
      .map((event, i) =>
        i === 0 && hold !== null
          ? { ...event, releaseAt: earlier(hold.end, event.releaseAt) }
          : event,
      ),
    trajectory: trajectoryOf(input, planned, nowKwh),
    cautions: cautionsOf(input, net, planned),
    notCheapest,
  }
}
