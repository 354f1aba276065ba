// What came of a run: the violations, the doubles with their reasons, and the log to look for their cause in.

import { afterAnswer, late, phantoms } from './arrivals.ts'
import { unfinished } from './checks.ts'
import { type Double, doubles } from './doubles.ts'
import { type Evidence, iso } from './evidence.ts'
import { grouped } from './grouped.ts'
import type { Arrival } from './standIns.ts'

export type Report = {
  readonly seed: number
  readonly kills: number
  /** Nothing is well while there is any. */
  readonly violations: readonly string[]
  readonly doubles: readonly Double[]
  /** Counts worth knowing, by what they count. */
  readonly counts: Readonly<Record<string, number>>
  /** Everything that happened, in order. */
  readonly log: string
  readonly summary: string
}

export type Kept = {
  readonly seed: number
  /** Found after single kills. */
  readonly violations: readonly string[]
  readonly lines: readonly string[]
  readonly printed: string
}

export function reportOf(evidence: Evidence, kept: Kept): Report {
  const { left, kills, arrivals, known } = evidence
  const twice = doubles(evidence)
  const unexplained = twice.filter(({ why }) => why === null)
  const unmarked = twice.filter(({ marked }) => !marked)
  const violations = [
    ...new Set(kept.violations),
    ...unfinished(evidence),
    ...late(evidence),
    ...afterAnswer(evidence),
    ...phantoms(evidence),
    ...unexplained.map(({ arrival }) => `doubled for no reason: ${lineOf(evidence, arrival)}`),
    ...unmarked.map(
      ({ arrival, why }) =>
        `doubled (${why}) and not marked: ${lineOf(evidence, arrival)}\n${rowsOf(evidence, arrival)}`,
    ),
    ...known.oddities,
    ...(/error|warn/i.test(kept.printed) ? [`the server printed: ${kept.printed}`] : []),
  ]
  const lost = violations.filter((each) => !each.startsWith('doubled')).length
  const states = left
    .flatMap(({ reminders }) => reminders)
    .map(({ state, missedBecause }) =>
      missedBecause === null ? state : `${state}, ${missedBecause}`,
    )
  const counts = {
    ...counted(states.map((each) => `reminders ${each}`)),
    ...counted(arrivals.map(({ channel, taken }) => `${channel} ${taken ? 'taken' : 'not taken'}`)),
    ...counted(kills.map(({ when }) => `kills ${when}`)),
    events: left.reduce((sum, { events }) => sum + events.length, 0),
    confirmed: known.facts.length,
    'came with no visit since the start': unvisited(evidence),
  }
  const explained =
    unexplained.length === 0 ? 'all explained' : `${unexplained.length} for no reason`
  return {
    seed: kept.seed,
    kills: kills.length,
    violations,
    doubles: twice,
    counts,
    log: [...kept.lines, ...arrivals.map((each) => lineOf(evidence, each))].toSorted().join('\n'),
    summary: `${kills.length} kills, ${lost} lost, ${twice.length} doubled (${explained})`,
  }
}

const lineOf = ({ clock }: Evidence, arrival: Arrival): string => {
  const { number, at, channel, address, purpose, key, fault, text } = arrival
  return `${iso(clock.at(at))}  #${number} ${channel} ${address} ${purpose} ${key} [${fault}] ${text.slice(0, 90).replaceAll('\n', ' | ')}`
}

/** What is on record of an arrival's reminder. */
const rowsOf = ({ left, houses }: Evidence, { address, key }: Arrival): string => {
  const id = houses.find(({ addresses }) => addresses.includes(address))?.id
  const rows = left.find((each) => each.id === id)?.deliveries ?? []
  return rows
    .filter(({ reminderKey, purpose }) => reminderKey === key && purpose === 'ask')
    .map(
      (each) =>
        `    ${each.id}: ${each.state}, ${each.attempts} attempts, ${each.doubtful}, ${iso(each.acceptedAt)}`,
    )
    .join('\n')
}

const counted = (each: readonly string[]): Record<string, number> =>
  Object.fromEntries([...grouped(each, (one) => one)].map(([what, all]) => [what, all.length]))

/** Messages that came after a start although nobody had called that household since: its alarm had outlived the kill. */
function unvisited({ arrivals, up, known, houses }: Evidence): number {
  return arrivals.filter(({ at, address }) => {
    const start = up.findLast(({ from }) => from <= at + 2000)?.from
    const house = houses.find(({ addresses }) => addresses.includes(address))
    return (
      up.length > 1 &&
      start !== up[0]?.from &&
      start !== undefined &&
      !known.visits.some(
        (visit) => visit.household === house?.id && visit.at >= start - 2000 && visit.at <= at,
      )
    )
  }).length
}
