// What has to have arrived at the stand-ins, and when. Each check says what it found, as lines; none is well.

import { createHash } from 'node:crypto'
import type { Delivery, Reminder } from '../../../src/reminder/index.ts'
import { type Evidence, iso } from './evidence.ts'
import type { Left } from './storage.ts'

const MINUTE_MS = 60_000

// So long a server is up at a stretch, real ms, before what is due must have reached somebody: a slow start of the object,
// and two faults in a row.
const IN_TIME_MS = 5000
// A household's alarm does not ring again while a send of the last one hangs, and that is given up after eight seconds of the
// real time, however fast the clock runs.
const HANGS_MS = 8500

/** Holds and releases that were due while it was up for long enough, and that nobody was given in time: by a channel of a person's where there is one. */
export const late = (evidence: Evidence): readonly string[] =>
  evidence.left.flatMap((household) =>
    household.reminders
      .filter(({ kind }) => kind === 'hold' || kind === 'release')
      .filter(
        ({ sentAt, state }) => state === 'missed' || (sentAt !== null && state !== 'replaced'),
      )
      .flatMap((reminder) => lateIn(evidence, household, reminder)),
  )

function lateIn(evidence: Evidence, household: Left, reminder: Reminder): readonly string[] {
  const { clock, arrivals, houses, known } = evidence
  const { id } = household
  const { key, eventId, dueAt } = reminder
  const since = household.events.find((each) => each.id === eventId)?.changedAt ?? dueAt
  const answered = known.answers.find((each) => each.household === id && each.key === key)
  const by = Math.min(
    deadlineOf(household, reminder),
    answered === undefined ? Infinity : clock.at(answered.at),
  )
  const house = houses.find((each) => each.id === id)
  const longest = longestUp(evidence, Math.max(dueAt, since), by)
  const hung = arrivals.filter(
    ({ fault, at, address }) =>
      fault.startsWith('hang') &&
      house?.addresses.includes(address) === true &&
      clock.at(at + HANGS_MS) > dueAt &&
      clock.at(at) < by,
  )
  if (longest < IN_TIME_MS + hung.length * HANGS_MS) return []
  const people = house?.peoplesAddresses ?? []
  const addresses = people.length > 0 ? people : (house?.addresses ?? [])
  const taken = arrivals.filter(
    (each) => each.taken && each.key === key && addresses.includes(each.address),
  )
  if (taken.some(({ at }) => clock.at(at) <= by)) return []
  const [first] = taken
  const when = first === undefined ? 'never taken' : `taken ${iso(clock.at(first.at))}`
  return [`late: ${key} of ${id}, due ${iso(dueAt)}, by ${iso(by)}, up for ${longest} ms: ${when}`]
}

/** A hold is asked for ten minutes ahead (R3), a release helps until its event starts; nothing beyond its use. */
function deadlineOf({ events }: Left, { kind, eventId, dueAt, uselessAfter }: Reminder): number {
  const start = events.find(({ id }) => id === eventId)?.start ?? uselessAfter
  return Math.min(uselessAfter, kind === 'hold' ? dueAt + 10 * MINUTE_MS : start)
}

/** The longest that it was up at a stretch between two times of its clock, real ms. */
function longestUp({ up, clock, endedAt }: Evidence, from: number, until: number): number {
  const stretches = up.map((span) => {
    const begins = Math.max(clock.at(span.from), from)
    const ends = Math.min(clock.at(span.until ?? endedAt), until)
    return (ends - begins) / clock.rate
  })
  return Math.round(Math.max(0, ...stretches))
}

const addressesOf = ({ houses }: Evidence, id: string): readonly string[] =>
  houses.find((each) => each.id === id)?.addresses ?? []

// A message that was on its way when the answer came may arrive so much later, real ms.
const ON_ITS_WAY_MS = 700

/** Askings that arrived after "done" had been confirmed. */
export const afterAnswer = (evidence: Evidence): readonly string[] =>
  evidence.known.answers.flatMap((answer) =>
    evidence.arrivals
      .filter(
        (each) =>
          each.purpose === 'ask' &&
          each.key === answer.key &&
          each.at > answer.at + ON_ITS_WAY_MS &&
          addressesOf(evidence, answer.household).includes(each.address),
      )
      .map(
        ({ number, key, channel, at }) =>
          `asked after the answer: ${key} by ${channel} (#${number}), ${at - answer.at} ms after it`,
      ),
  )

/** What a channel is recorded to have taken, and never got. */
export const phantoms = (evidence: Evidence): readonly string[] =>
  evidence.left.flatMap((household) =>
    household.deliveries
      .filter(({ state, purpose }) => state === 'accepted' && purpose === 'ask')
      .filter((delivery) => {
        const ids = idsOf(evidence, household, delivery)
        return ids !== null && !evidence.arrivals.some((each) => each.taken && ids.has(each.id))
      })
      .map(({ id }) => `recorded as taken, but never came: ${id}`),
  )

/** What a delivery is called outside; `null` for a chat, where copies are known by their words alone. */
function idsOf(
  evidence: Evidence,
  { id, channels }: Left,
  delivery: Delivery,
): ReadonlySet<string> | null {
  if (delivery.channel === 'webhook') return new Set([delivery.id])
  const kind = channels.find((each) => each.id === delivery.channel)?.target.kind
  if (kind === 'publish') {
    const digest = createHash('sha256').update(delivery.id).digest().subarray(0, 16)
    return new Set([digest.toString('base64url')])
  }
  const addresses = addressesOf(evidence, id)
  return kind === 'push'
    ? new Set(addresses.map((path) => `${path} ${delivery.reminderKey} ${delivery.repeat}`))
    : null
}
