// I4: the budget for attention. When something is asked again is worked out here once more, from R7's times alone.

import { type Instant, MINUTE_MS, asInstant } from '../../src/plan/index.ts'
import {
  type Household,
  type Reminder,
  deadlineOf,
  outOfReach,
  plannedEvent,
} from '../../src/reminder/index.ts'
import { firstOutside } from '../../src/schedule/index.ts'
import type { Ask, Facts } from './facts.ts'
import { Broken } from './shell.ts'
import type { Step } from './watch.ts'

const APART_MS = 10 * MINUTE_MS
const HOLD_AGAIN = [-6, -3, -1, 3, 10, 30, 90]
const RELEASE_AGAIN = [-4, -2, 0, 3, 8, 15, 30]
const WAIT: Partial<Record<Reminder['kind'], readonly number[]>> = {
  restore: [10, 30],
  overnight: [20],
  reading: [60, 120, 240],
}
const CAN_WAIT = new Set<Reminder['kind']>(['reading', 'overnight', 'outcome'])

export class NudgeChecks {
  readonly #facts: Facts
  readonly #expected = new Map<string, Instant | null>()

  constructor(facts: Facts) {
    this.#facts = facts
  }

  step({ after, command, decision, changed, asked }: Step): void {
    for (const key of asked) {
      const asks = this.#facts.asksOf.get(key) ?? []
      const ask = asks.at(-1)
      if (ask === undefined) continue
      this.#inTime(ask)
      this.#apart(ask)
    }
    for (const { was, is } of changed) {
      if (is.state !== 'sent') continue
      if (asked.has(is.key)) this.#expected.set(is.key, againAt(after, is, this.#facts.now))
      else if (decision.outcome.ok && 'key' in command && command.key === is.key) {
        if (was !== undefined && was.nextAt === is.nextAt) continue
        const at =
          command.type === 'snooze' ? putOff(after, is, command.minutes, this.#facts.now) : null
        this.#expected.set(
          is.key,
          command.type === 'reopen' ? takenUp(after, is, this.#facts.now) : at,
        )
      }
      const at = this.#expected.get(is.key) ?? null
      if (is.nextAt === at || this.#waits(is, at)) continue
      const said = (when: Instant | null) =>
        when === null ? 'never' : this.#facts.trace.clock(when)
      throw new Broken('I4', `${is.key} is asked again at ${said(is.nextAt)}, not at ${said(at)}`)
    }
  }

  /** What can wait keeps its distance, and is asked later for that. */
  #waits({ key, kind, nextAt, uselessAfter }: Reminder, at: Instant | null): boolean {
    if (!CAN_WAIT.has(kind) || at === null || nextAt === null || nextAt <= at) return false
    const other = this.#facts.asks.findLast((each) => each.key !== key)
    return other !== undefined && nextAt === Math.min(other.at + APART_MS, uselessAfter)
  }

  #inTime({ key, repeat, at }: Ask): void {
    if (repeat === 0) return
    this.#facts.look('I4 again')
    const expected = this.#expected.get(key) ?? null
    if (expected === null || at < expected)
      throw new Broken('I4', `${key} is asked again before its time`)
  }

  #apart({ key, kind, at }: Ask): void {
    if (!CAN_WAIT.has(kind)) return
    this.#facts.look('I4 apart')
    const other = this.#facts.asks.findLast((each) => each.key !== key)
    if (other !== undefined && at - other.at < APART_MS)
      throw new Broken(
        'I4',
        `${key} can wait, and comes ${(at - other.at) / 1000} s after ${other.key}`,
      )
  }
}

function againAt(household: Household, reminder: Reminder, now: Instant): Instant | null {
  const event = household.events.find(({ id }) => id === reminder.eventId)
  if (event === undefined) return null
  const from = (start: Instant, minutes: readonly number[]) =>
    minutes.map((each) => start + each * MINUTE_MS).find((at) => at >= now + MINUTE_MS)
  // Of one that was first asked after the moment, the times count from then.
  const latest = (moment: Instant) => asInstant(Math.max(moment, reminder.sentAt ?? now))
  const at = ((): number | undefined => {
    switch (reminder.kind) {
      case 'hold':
        return from(latest(deadlineOf(household, reminder)), HOLD_AGAIN)
      case 'release':
        if (event.heldAt === null) return undefined
        return from(latest(event.start), RELEASE_AGAIN) ?? now + 30 * MINUTE_MS
      case 'reading':
        if (plannedEvent(household, reminder.eventId) !== null) return undefined
        break
      default:
    }
    const wait = WAIT[reminder.kind]?.[reminder.repeat]
    return wait === undefined ? undefined : now + wait * MINUTE_MS
  })()
  if (at === undefined) return null
  const there = firstOutside(outOfReach(household.settings, [event]), asInstant(at))
  return there < reminder.uselessAfter ? there : reminder.uselessAfter
}

/** [R8] A hold leaves three minutes to ask everybody; once it is past, five minutes is the longest. */
function latest({ kind }: Reminder, deadline: Instant, now: Instant): number {
  if (deadline <= now) return now + 5 * MINUTE_MS
  if (kind !== 'hold') return deadline
  return Math.min(deadline, Math.max(deadline - 3 * MINUTE_MS, now + MINUTE_MS))
}

const takenUp = (household: Household, reminder: Reminder, now: Instant): Instant =>
  asInstant(Math.min(now + 5 * MINUTE_MS, latest(reminder, deadlineOf(household, reminder), now)))

function putOff(household: Household, reminder: Reminder, minutes: number, now: Instant): Instant {
  const deadline = deadlineOf(household, reminder)
  const wished = now + minutes * MINUTE_MS
  const limit = latest(reminder, deadline, now)
  // In its last minute there is no later any more.
  const last = reminder.uselessAfter - MINUTE_MS
  return asInstant(Math.min(wished, limit, last > now ? last : reminder.uselessAfter))
}
