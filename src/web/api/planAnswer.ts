// From a plan to the answer of the contract: instants as text, cautions as sentences, energies as they are.

import type { AnyPlan, LedgerRow } from '../../ledger/index.ts'
import type {
  CheapestPlan,
  DaysEventPlan,
  EventPlan,
  Instant,
  TrajectoryPoint,
} from '../../plan/index.ts'
import type { Format } from '../../words/index.ts'
import { problemWords } from '../../words/en/problems.ts'
import { printComputed, printInstant } from './rfc3339.ts'
import type { PlanAnswer } from './schemas/answers.ts'
import { spanAnswer } from './worthAnswer.ts'

/** The answer for a plan computed at `now`, with the rows of each event; `f` formats the figures in the cautions. Without its worth. */
export const planAnswer = (
  plan: AnyPlan,
  now: Instant,
  f: Format,
  ledger: readonly (readonly LedgerRow[])[],
): Omit<PlanAnswer, 'worth'> => ({
  events: plan.events.map((event, i) => eventAnswer(event, now, ledger[i] ?? [])),
  trajectory: plan.trajectory.map((point) => trajectoryAnswer(point, now)),
  cautions: [
    ...plan.cautions.map((caution) => problemWords.caution(f, caution)),
    ...('unpromised' in plan && plan.unpromised ? [problemWords.unpromised(plan.unpromised)] : []),
    ...('notCheapest' in plan && plan.notCheapest
      ? [problemWords.notCheapest[plan.notCheapest]]
      : []),
  ],
})

export function eventAnswer(
  event: EventPlan | DaysEventPlan,
  now: Instant,
  rows: readonly LedgerRow[],
): PlanAnswer['events'][number] {
  const at = (instant: Instant) => printComputed(instant, now)
  const { topUp, short } = event
  const { nextReadingAt, confidence } =
    'confidence' in event ? event : { nextReadingAt: null, confidence: null }
  return {
    start: printInstant(event.start),
    end: printInstant(event.end),
    verdict: event.verdict,
    needKwh: event.needKwh,
    reserveKwh: event.reserveKwh,
    reservePct: event.reservePct,
    holdBy: event.holdBy === null ? null : at(event.holdBy),
    holdAtPct: event.holdAtPct,
    releaseAt: at(event.releaseAt),
    nextReadingAt: nextReadingAt && at(nextReadingAt),
    marginLeftKwh: event.marginLeftKwh,
    topUp: topUp && { from: at(topUp.from), until: at(topUp.until), kwh: topUp.kwh },
    short: short && { kwh: short.kwh, coveredUntil: at(short.coveredUntil), loadKw: short.loadKw },
    confidence,
    explanation: rows.map(({ what, sum, value, unit }) => ({ what, sum, value, unit })),
  }
}

/** The same events with all holds of the first, as a plan of the cheapest has them. */
export const withHolds = (
  events: PlanAnswer['events'],
  { holds }: CheapestPlan,
  now: Instant,
): PlanAnswer['events'] =>
  events.map((event, i) => ({
    ...event,
    holds: i === 0 ? holds.map((hold) => spanAnswer(hold, now)) : [],
  }))

const trajectoryAnswer = ({ at, socPct, reservePct, mode }: TrajectoryPoint, now: Instant) => ({
  at: printComputed(at, now),
  socPct,
  reservePct,
  mode,
})
