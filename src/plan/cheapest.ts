// The cheapest holds (model §6) of a battery that otherwise runs, before the first event. Here `releaseAt` is when the
// last of them ends; it may be before the event's own release, as long as the reserve is still there at that one.

import { floorKwh } from './battery.ts'
import { cautionsOf } from './cautions.ts'
import { checkInput } from './check.ts'
import { endsOf } from './ends.ts'
import type { GapPlan, Stretch } from './gap.ts'
import { type Planned, type Worked, eventPlan, workOut } from './hold.ts'
import { type Choice, bestHolds } from './holds.ts'
import { horizonEnd, worthPerKwh } from './horizon.ts'
import { DAY_MS, type Instant, type Span, asInstant, earlier } from './instant.ts'
import { kwhAt, lastKwh, walkForward, HAIR_KWH } from './line.ts'
import { emptyFrom, moneyOf } from './money.ts'
import { piecesBetween } from './net.ts'
import { type Result, ok } from './result.ts'
import { lastAtMost, spendOver, valueAt } from './spend.ts'
import { supportsOf } from './support.ts'
import { trajectoryOf } from './trajectory.ts'
import type { CheapestPlan, Mode, NotCheapest, PlanInput, PlanRefusal, UnitRate } from './types.ts'

/** Five-minute steps over a day. */
const MOST_BREAKPOINTS = 300

/** Where there may be several holds, ends times holds: four over a day of half-hours take a few milliseconds. */
const MOST_ENDS = 200

/**
 * Plans the first event's hold so that the import up to the horizon costs least, less the worth of what is left then;
 * later events as `planHolds`. A hold is two actions: with `maxActions` 4 there may be two holds, an odd one is of no use, and
 * fewer than two count as two. Ties go to the fewest and the latest holds, and none are later than any. Where there is nothing
 * to choose (the reserve is short, or met only by holding now) the plan is that of `planHolds`.
 */
export function planCheapest(
  input: PlanInput,
  unitRates: readonly UnitRate[],
  maxActions = 2,
): Result<CheapestPlan, PlanRefusal> {
  const checked = checkInput(input)
  if (!checked.ok) return checked
  const rates = unitRates.toSorted((a, b) => a.start - b.start)
  const latest = workOut(input)
  const [first] = latest.planned
  if (first === undefined || !choosable(input, first)) return ok(answer(input, latest, null, null))
  const most = Math.max(1, Math.floor(maxActions / 2))
  const found = cheapestHolds(input, rates, latest, first, most)
  if (found === null || typeof found === 'string') return ok(answer(input, latest, null, found))
  return ok(answer(input, workOut(input, gapOf(input, latest, first, found)), found, null))
}

const choosable = (input: PlanInput, first: Planned): boolean =>
  input.heldSince === null &&
  !first.cover.unreachable &&
  !first.gapPlan.missed &&
  ['hold', 'no-hold'].includes(eventPlan(input, first).verdict)

/** The holds in order, why they are not looked for, or `null` if none within reach keep the reserve. */
function cheapestHolds(
  input: PlanInput,
  rates: readonly UnitRate[],
  { net, nowKwh }: Worked,
  { cover, reserve, gapPlan }: Planned,
  wanted: number,
): readonly Span[] | null | NotCheapest {
  const { battery, now, outOfReach } = input
  const { from, event } = cover
  if (reserve.before.length > 1) return 'top_up'
  if (from > now + DAY_MS) return 'more_than_a_day'
  // Surplus fills the battery again; holds are looked for after the last of it.
  const start = piecesBetween(net, now, event.end).findLast(({ kw }) => kw < 0)?.end ?? now
  if (start > from || (gapPlan.holdBy ?? from) < start) return 'surplus'
  const end = horizonEnd(input, net, event)
  const hands = outOfReach.flatMap((span) => [asInstant(span.start - 1), span.end])
  const spend = spendOver(battery, net, rates, { start, end }, [from, ...hands])
  const { drawn } = spend
  if (drawn.times.length > MOST_BREAKPOINTS) return 'too_many_steps'

  const run = walkForward(battery, 'run', piecesBetween(net, now, start), nowKwh)
  const startKwh = lastKwh(run, nowKwh)
  const worth = worthPerKwh(input, rates, event, end)
  const money = moneyOf(battery, spend, { start, end, startKwh, worth })
  const floor = floorKwh(battery)
  // Only then may the battery come to its floor before the release, and rest there.
  const mayRest = battery.standbyKw === 0 && reserve.atReleaseKwh <= floor + HAIR_KWH
  const ends = endsOf(battery, spend, rates, outOfReach, { start, end: from })
  // All ends of all holds but one lie at different places.
  const most = Math.min(wanted, Math.floor((ends.length + 1) / 2))
  if (most > 1 && ends.length * most > MOST_ENDS) return 'too_many_steps'
  const kept = {
    least: mayRest ? 0 : Math.max(0, money.kept(from, reserve.atReleaseKwh)),
    most: valueAt(drawn, from) - (ends[0]?.drawn ?? 0),
  }
  const bends = [...drawn.times, emptyFrom(battery, end)].map((at) => money.kept(at, floor))
  const prices = [...new Set(ends.flatMap(({ price }) => price ?? []))]
  const choice: Choice = {
    ends,
    supports: supportsOf(money.worthOfKept, bends, kept, prices),
    drawnAt: (kwh) => earlier(from, lastAtMost(drawn, kwh)),
    saved: money.saved,
    allowed: (holds) =>
      mayRest
        ? money.kwhAt(holds, holds.at(-1)?.end ?? start) >= floor - HAIR_KWH
        : money.kwhAt(holds, from) >= reserve.atReleaseKwh - HAIR_KWH,
  }
  const none = gapPlan.holdBy === null ? { holds: [], saved: money.saved([]) } : null
  const best = bestHolds(choice, most, none)
  return best && wholeMs(best.holds)
}

/** Rounded so that the reserve is kept. */
const wholeMs = (holds: readonly Span[]): readonly Span[] => {
  const whole: Span[] = []
  for (const { start, end } of holds) {
    const hold = { start: asInstant(Math.floor(start)), end: asInstant(Math.ceil(end)) }
    const before = whole.at(-1)
    if (before !== undefined && hold.start <= before.end)
      whole[whole.length - 1] = { start: before.start, end: hold.end }
    else whole.push(hold)
  }
  return whole
}

function gapOf(
  { battery }: PlanInput,
  { net, nowKwh }: Worked,
  { cover, reserve, gapPlan }: Planned,
  holds: readonly Span[],
): GapPlan {
  const { gapStart, from } = cover
  const gap = reserve.before[0] ?? gapPlan.gap
  const parts: (readonly [Mode, Instant, Instant])[] = []
  let at = gapStart
  for (const { start, end } of holds) {
    parts.push(['run', at, start], ['hold', start, end])
    at = end
  }
  parts.push(['run', at, from])
  const stretches: Stretch[] = []
  let endKwh = nowKwh
  for (const [mode, start, end] of parts) {
    const line = walkForward(battery, mode, piecesBetween(net, start, end), endKwh)
    stretches.push({ mode, line })
    endKwh = lastKwh(line, endKwh)
  }
  const holdBy = holds[0]?.start ?? null
  const holdAtKwh = holdBy && kwhAt(gap.line, holdBy)
  return { gap, holdBy, holdAtKwh, fill: null, stretches, endKwh, missed: false }
}

/** The answer with the holds chosen; `null` where they are not, and the first event's is the latest. */
function answer(
  input: PlanInput,
  { net, nowKwh, planned }: Worked,
  chosen: readonly Span[] | null,
  notCheapest: NotCheapest | null,
): CheapestPlan {
  const [first, ...later] = planned.map((each) => eventPlan(input, each))
  const latest =
    first === undefined || first.holdBy === null
      ? []
      : [{ start: first.holdBy, end: first.releaseAt }]
  const holds = chosen ?? latest
  const events = first && [
    { ...first, releaseAt: earlier(holds.at(-1)?.end ?? first.releaseAt, first.releaseAt) },
    ...later,
  ]
  return {
    events: events ?? [],
    trajectory: trajectoryOf(input, planned, nowKwh),
    cautions: cautionsOf(input, net, planned),
    holds,
    notCheapest,
  }
}
