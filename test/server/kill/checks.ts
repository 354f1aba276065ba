// What has to hold after a kill, and at the end of the day. Each check says what it found, as lines; none is well.

import { createHash } from 'node:crypto'
import type { Delivery, Reminder } from '../../../src/reminder/index.ts'
import { grouped } from './grouped.ts'
import type { ServerClock } from './clock.ts'
import { leavesDoubt } from './faults.ts'
import type { House, Known } from './house.ts'
import type { Kill } from './killer.ts'
import type { Span } from './realServer.ts'
import { isMarked } from './received.ts'
import type { Arrival } from './standIns.ts'
import type { Left } from './storage.ts'

const MINUTE_MS = 60_000

/** What a run knows at its end. */
export type Evidence = {
  readonly houses: readonly House[]
  readonly left: readonly Left[]
  readonly known: Known
  readonly arrivals: readonly Arrival[]
  readonly kills: readonly Kill[]
  readonly up: readonly Span[]
  readonly clock: ServerClock
  /** When all was over, real ms. */
  readonly endedAt: number
}

/** Everything that was confirmed is there. */
export const lostFacts = (known: Known, left: readonly Left[]): readonly string[] =>
  known.facts
    .filter((fact) => {
      const household = left.find(({ id }) => id === fact.household)
      return household === undefined || !fact.isThere(household)
    })
    .map(({ household, what }) => `lost: ${what} of ${household}`)

/** What the API told of a household's reminders; `null`: it did not answer. */
export type Told = {
  readonly id: string
  readonly reminders: readonly { readonly key: string; readonly state: string }[] | null
}

/** The API tells what is on the disk. */
export const toldOtherwise = (told: readonly Told[], left: readonly Left[]): readonly string[] =>
  told.flatMap(({ id, reminders }) => {
    const kept = left.find((each) => each.id === id)?.reminders ?? []
    const states = (all: Told['reminders']) =>
      all?.map(({ key, state }) => `${key} ${state}`).join()
    return states(reminders) === states(kept) ? [] : [`told otherwise than kept: ${id}`]
  })

const isOpen = ({ state }: Reminder): boolean => state === 'waiting' || state === 'sent'

/** When something is next to be done, by the clock; `null` where nothing is open (R12). */
function nextDue({ reminders, deliveries }: Left): number | null {
  const times = [
    ...reminders
      .filter(isOpen)
      .map(({ nextAt, uselessAfter }) => Math.min(nextAt ?? uselessAfter, uselessAfter)),
    ...deliveries.flatMap(({ nextAt }) => (nextAt === null ? [] : [nextAt])),
  ]
  return times.length === 0 ? null : Math.min(...times)
}

// An alarm is armed 50 ms ahead at least, and this machine takes a while.
const ALARM_SLACK_MS = 700

/** Whenever something is open, an alarm is set for it, or was due when the server was killed: it rings at the next start. */
export const unarmed = (
  left: readonly Left[],
  clock: ServerClock,
  killedAt: number,
): readonly string[] =>
  left.flatMap((each) => {
    const due = nextDue(each)
    if (due === null) return []
    const wanted = Math.max(clock.realAt(due), killedAt) + ALARM_SLACK_MS
    if (each.alarm !== null && each.alarm <= wanted) return []
    const late = each.alarm === null ? 'none' : `${Math.round(each.alarm - wanted)} ms late`
    return [`no alarm: ${each.id} is due at ${iso(due)}, alarm: ${late}`]
  })

/** Every reminder ended as it should, and nothing lies in the outbox. */
export function unfinished({ left, clock, endedAt }: Evidence): readonly string[] {
  const end = clock.at(endedAt) - 2 * MINUTE_MS
  return left.flatMap(({ id, reminders, deliveries }) => [
    ...reminders
      .filter(
        ({ state, nextAt, uselessAfter }) =>
          (state === 'waiting' && (nextAt ?? uselessAfter) < end) ||
          (state === 'sent' && ((nextAt !== null && nextAt < end) || uselessAfter < end)),
      )
      .map(
        ({ key, state, nextAt }) => `unfinished: ${key} of ${id} is ${state}, next ${iso(nextAt)}`,
      ),
    ...reminders
      .filter(({ state, missedBecause }) => state === 'missed' && missedBecause === null)
      .map(({ key }) => `missed without a reason: ${key} of ${id}`),
    ...deliveries
      .filter(({ nextAt }) => nextAt !== null && nextAt < end)
      .map((each) => `left in the outbox: ${each.id} ${each.state}, next ${iso(each.nextAt)}`),
  ])
}

// So long a server is up at a stretch, real ms, before what is due must have reached somebody: a slow start of the object, two
// faults in a row, one of them a lease that runs out.
const IN_TIME_MS = 5000

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
  const longest = longestUp(evidence, Math.max(dueAt, since), by)
  if (longest < IN_TIME_MS) return []
  const ways = houses.find((each) => each.id === id)?.ways
  const hasPeople = ways !== undefined && [ways.chatId, ways.topic, ...ways.push].some(Boolean)
  const taken = arrivals
    .filter((each) => each.taken && each.key === key && isOf(evidence, each, household))
    .filter(({ channel }) => channel !== 'webhook' || !hasPeople)
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

/** Whether an arrival is of a household. */
const isOf = ({ houses }: Evidence, { address }: Arrival, { id }: Left): boolean => {
  const house = houses.find((each) => each.id === id)
  if (house === undefined) return false
  const { chatId, topic, push } = house.ways
  return [`/hook/${house.name}`, topic, String(chatId), ...push].includes(address)
}

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
          evidence.left.some((left) => left.id === answer.household && isOf(evidence, each, left)),
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
  { houses }: Evidence,
  { id, channels }: Left,
  delivery: Delivery,
): ReadonlySet<string> | null {
  if (delivery.channel === 'webhook') return new Set([delivery.id])
  const kind = channels.find((each) => each.id === delivery.channel)?.target.kind
  if (kind === 'publish') {
    const digest = createHash('sha256').update(delivery.id).digest().subarray(0, 16)
    return new Set([digest.toString('base64url')])
  }
  const push = houses.find((each) => each.id === id)?.ways.push ?? []
  return kind === 'push'
    ? new Set(push.map((path) => `${path} ${delivery.reminderKey} ${delivery.repeat}`))
    : null
}

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
    const allowed = Math.max(1, sameWords(evidence, taken[0]))
    return taken.slice(allowed).map((arrival) => ({
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
    .replace('(You may have this already.) ', '')
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

export const iso = (at: number | null): string =>
  at === null ? 'never' : new Date(at).toISOString().slice(11, 19)
