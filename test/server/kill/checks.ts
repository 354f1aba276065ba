// What has to be on the disk after a kill, and at the end of the day. Each check says what it found, as lines; none is well.

import type { Reminder } from '../../../src/reminder/index.ts'
import type { ServerClock } from './clock.ts'
import { type Evidence, iso } from './evidence.ts'
import type { Known } from './facts.ts'
import type { ToldAll } from './house.ts'
import type { Left } from './storage.ts'

const MINUTE_MS = 60_000

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
  readonly reminders: ToldAll['reminders'] | null
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
