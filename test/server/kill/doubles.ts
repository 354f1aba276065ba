// What arrived more than once, and why.

import type { Evidence } from './evidence.ts'
import { leavesDoubt } from './faults.ts'
import { grouped } from './grouped.ts'
import { isMarked } from './received.ts'
import type { Arrival } from './standIns.ts'

const MINUTE_MS = 60_000

export type Double = {
  readonly arrival: Arrival
  /** `null`: none was found. */
  readonly why: string | null
  /** A person is told that it may be one. The webhook's receiver knows by the id. */
  readonly marked: boolean
}

// So much after a message came, its end is on record, unless the server was killed by then, real ms.
const RECORDED_MS = 1500
// A hanging connection is given up after this.
const HUNG_MS = 10_000

/** Messages that a stand-in took more than once. */
export function doubles(evidence: Evidence): readonly Double[] {
  const { arrivals } = evidence
  const copies = grouped(arrivals, ({ channel, purpose, id }) => `${channel} ${purpose} ${id}`)
  return [...copies.values()].flatMap((attempts) => {
    const taken = attempts.filter((each) => each.taken)
    const extra = taken.length - Math.max(1, sameWords(evidence, taken[0]))
    // Of several in the same words, those that say so are the doubles.
    const likely = taken.slice(1).toSorted((x, y) => Number(isMarked(y)) - Number(isMarked(x)))
    return likely.slice(0, Math.max(0, extra)).map((arrival) => ({
      arrival,
      why: whyDoubled(
        evidence,
        attempts.filter(({ number }) => number < arrival.number),
        arrival,
      ),
      marked: arrival.channel === 'webhook' || arrival.purpose === 'settle' || isMarked(arrival),
    }))
  })
}

/** In a chat two nudges in the same words are two messages. */
function sameWords({ left }: Evidence, arrival: Arrival | undefined): number {
  if (arrival?.channel !== 'telegram' || arrival.purpose === 'settle') return 1
  const words = arrival.text
    .split('\n')
    .slice(1)
    .join('\n')
    .replace(' (You may have this already.)', '')
    .trim()
  return left
    .flatMap(({ messages }) => messages)
    .filter(({ text, reminderKey }) => reminderKey !== null && text.trim() === words).length
}

function whyDoubled(
  { kills, clock }: Evidence,
  before: readonly Arrival[],
  { at }: Arrival,
): string | null {
  const lease = MINUTE_MS / clock.rate
  for (const each of before.toReversed()) {
    const kill = kills.find(
      (one) =>
        one.at >= each.at - 50 &&
        one.at <= (each.answeredAt ?? each.at + HUNG_MS) + RECORDED_MS &&
        one.at <= at,
    )
    if (kill !== undefined) return `kill ${kill.number}`
    if (leavesDoubt(each.fault, each.channel)) return each.fault
    if (each.fault === 'hang-before') return each.fault
    if (each.fault === 'slow' && at - each.at >= lease) return 'slow'
  }
  return null
}
