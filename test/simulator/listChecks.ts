// What holds of a household's lists after every step: I1 nothing is lost, I9 doing it twice is doing it once, I10 snoozes,
// I12 order.

import { MINUTE_MS } from '../../src/plan/index.ts'
import {
  type Household,
  type Reminder,
  WEBHOOK,
  deadlineOf,
  isOpen,
} from '../../src/reminder/index.ts'
import { type Facts, SLACK_MS } from './facts.ts'
import { Broken, type Parts } from './shell.ts'
import type { Step } from './watch.ts'

const SHORT_SNOOZE_MS = 5 * MINUTE_MS
/** Doing it again is tried after every such step. */
const TRIED_EVERY = 4

export class ListChecks {
  readonly #facts: Facts
  readonly #parts: Parts
  #steps = 0

  constructor(facts: Facts, parts: Parts) {
    this.#facts = facts
    this.#parts = parts
  }

  step(step: Step): void {
    this.#steps += 1
    const { before, after, changed } = step
    if (before.reminders !== after.reminders) {
      nothingGone(before, after)
      inOrder(after)
      for (const { was, is } of changed)
        if (!isOpen(is) && (!was || isOpen(was))) this.#closed(is, after)
    }
    if (before.deliveries !== after.deliveries) idsDiffer(after)
    if (this.#steps % TRIED_EVERY === 0) this.#twice(after)
    this.#snoozed(step)
  }

  atEnd(household: Household): void {
    const { now } = this.#facts
    const from = (now - 90 * MINUTE_MS) as typeof now
    if (!this.#facts.wasAwake(from, now) || this.#facts.unarmed) return
    if (this.#facts.platform.alarmLostAt !== null) return
    for (const reminder of household.reminders)
      if (isOpen(reminder) && reminder.uselessAfter < from)
        throw new Broken('I1', `${reminder.key} is over and still ${reminder.state}`)
    for (const { id, state, nextAt } of household.deliveries)
      if ((state === 'queued' || state === 'sending') && (nextAt ?? 0) < from)
        throw new Broken('I1', `${id} is left ${state}`)
  }

  /** I1: what is closed was answered, reached somebody, or says why not. */
  #closed(reminder: Reminder, household: Household): void {
    const { now, arrivals, season } = this.#facts
    const { key, state, sentAt, dueAt, uselessAfter, missedBecause } = reminder
    const reached = arrivals.get(key)?.some(({ channel }) => channel !== '') === true
    if (state === 'lapsed') {
      if (sentAt === null) throw new Broken('I1', `${key} lapsed and was never sent`)
      const asked = household.deliveries.some((each) => each.reminderKey === key)
      const unknown = household.deliveries.some(
        (each) => each.reminderKey === key && (each.doubtful || each.state === 'sending'),
      )
      if (asked && !reached && !unknown)
        throw new Broken('I1', `${key} counts as sent, and no channel ever took it`)
    }
    this.#facts.look(state === 'missed' ? 'I1 missed' : `I1 ${state}`)
    if (state !== 'missed') return
    if (missedBecause === null) throw new Broken('I1', `${key} was missed without a reason`)
    if (missedBecause === 'no-channel' && reached)
      throw new Broken('I1', `${key} is said to have reached nobody, but it did`)
    if (missedBecause !== 'woke-late') return
    const from = dueAt
    const until = (Math.min(now, uselessAfter) - SLACK_MS) as typeof now
    const known = season.announcements.length
    if (until > from && known > 0 && this.#facts.wasAwake(from, until) && !this.#isNew(key, until))
      throw new Broken('I1', `${key} is said to be missed as nothing woke, but it was awake`)
  }

  readonly #bornAt = new Map<string, number>()

  #isNew(key: string, until: number): boolean {
    return (this.#bornAt.get(key) ?? Infinity) > until
  }

  #twice(household: Household): void {
    const again = this.#parts.decide({ type: 'wake' }, household, this.#facts.now)
    if (again.effects.length > 0)
      throw new Broken('I9', `Waking again sends ${again.effects[0]?.deliveryId}`)
    if (again.household === household) return
    for (const part of [
      'reminders',
      'messages',
      'deliveries',
      'events',
      'plan',
      'revision',
    ] as const)
      if (
        again.household[part] !== household[part] &&
        JSON.stringify(again.household[part]) !== JSON.stringify(household[part])
      )
        throw new Broken(
          'I9',
          `Waking again changes the ${part}${firstOther(household, again.household)}`,
        )
  }

  /** I10: a snooze ends by the deadline; once that is past, after five minutes at most. */
  #snoozed({ before, after, command, decision }: Step): void {
    for (const { key } of after.reminders.slice(before.reminders.length))
      this.#bornAt.set(key, this.#facts.now)
    if (command.type !== 'snooze' || !decision.outcome.ok) return
    const was = before.reminders.find(({ key }) => key === command.key)
    const is = after.reminders.find(({ key }) => key === command.key)
    if (was === undefined || is === undefined || !isOpen(is) || is.nextAt === null) return
    const { now } = this.#facts
    const deadline = deadlineOf(before, was)
    const limit = deadline > now ? deadline : now + SHORT_SNOOZE_MS
    this.#facts.look('I10')
    if (is.nextAt > limit) throw new Broken('I10', `${is.key} is put off past its deadline`)
  }
}

function nothingGone(before: Household, after: Household): void {
  const keys = new Set(after.reminders.map(({ key }) => key))
  for (const { key } of before.reminders)
    if (!keys.has(key)) throw new Broken('I1', `${key} is gone`)
}

function inOrder({ reminders }: Household): void {
  const keys = new Set<string>()
  const open = new Set<string>()
  for (const reminder of reminders) {
    const { key, kind, eventId } = reminder
    if (keys.has(key)) throw new Broken('I12', `${key} is there twice`)
    keys.add(key)
    if (!isOpen(reminder)) continue
    const step = `${kind}-${eventId}`
    if (open.has(step)) throw new Broken('I12', `There are two open ${step}`)
    open.add(step)
  }
}

function idsDiffer({ deliveries }: Household): void {
  const ids = new Set(deliveries.map(({ id }) => id))
  if (ids.size !== deliveries.length) throw new Broken('I12', 'Two deliveries have one id')
}

export const isPersonal = (channel: string): boolean => channel !== WEBHOOK

/** The first reminder that another household has otherwise, before and after. */
function firstOther(a: Household, b: Household): string {
  const is = b.reminders.find((each, i) => JSON.stringify(each) !== JSON.stringify(a.reminders[i]))
  if (is === undefined) return ''
  const was = a.reminders.find(({ key }) => key === is.key)
  const brief = ({ state, dueAt, nextAt }: Reminder) => `${state} ${dueAt} ${nextAt}`
  return `: ${is.key}, ${was === undefined ? 'new' : brief(was)} -> ${brief(is)}`
}
