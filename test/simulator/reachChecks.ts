// I2: a hold and a release reach everybody who can act, in time, as long as any channel of theirs works. I7: a held battery is
// always let run again. I13: a channel that fails hands over. Looked at when the deadline comes, from what really arrived.

import { HOUR_MS, type Instant, MINUTE_MS, asInstant } from '../../src/plan/index.ts'
import {
  type Household,
  type HouseholdEvent,
  type Reminder,
  isHeld,
  outOfReach,
  plannedEvent,
  whoReaches,
} from '../../src/reminder/index.ts'
import { spanAt } from '../../src/schedule/index.ts'
import { type Ask, type Facts, SLACK_MS } from './facts.ts'
import { Broken } from './shell.ts'
import type { Step } from './watch.ts'

/** What a channel takes at most. */
const ONCE_MS = 10_000
/** Everybody is turned to by the third asking. */
const LADDER_MS = 6 * MINUTE_MS + ONCE_MS
const TRIES_MS = 9000
const TAKES_MS = 2000

export class ReachChecks {
  readonly #facts: Facts
  readonly #seen = new Map<string, HouseholdEvent>()

  constructor(facts: Facts) {
    this.#facts = facts
  }

  step({ before, after, asked }: Step): void {
    for (const key of asked) {
      const ask = this.#facts.asksOf.get(key)?.at(-1)
      if (ask === undefined) continue
      this.#watchHandOver(after, ask)
      if (ask.repeat === 0) this.#watchDeadline(after, ask)
    }
    if (before.events !== after.events) for (const event of after.events) this.#watchEvent(event)
  }

  atEnd(household: Household): void {
    for (const event of household.events) {
      const { heldAt, releasedAt } = event
      if (heldAt === null || releasedAt !== null || event.end > this.#facts.now - 13 * HOUR_MS)
        continue
      const told = household.reminders.some(
        ({ kind, eventId, sentAt, state }) =>
          eventId === event.id &&
          (kind === 'release' || kind === 'restore') &&
          ((sentAt !== null && sentAt >= heldAt - MINUTE_MS) || state === 'missed'),
      )
      if (!told && !this.#isWantedByAnother(household, event))
        throw new Broken('I7', `${event.id} was held, and nobody was asked to let it run`)
    }
  }

  #at(at: Instant, check: (household: Household) => void): void {
    const { platform } = this.#facts
    platform.queue.add(at < platform.now ? platform.now : at, () => check(this.#facts.current()))
  }

  /** I2: by the deadline; where it is asked for late, within six minutes. */
  #watchDeadline(household: Household, { key, kind, eventId, at }: Ask): void {
    const event = household.events.find(({ id }) => id === eventId)
    const plan = plannedEvent(household, eventId)
    if (event === undefined || plan === null) return
    if (kind !== 'hold' && kind !== 'release') return
    const deadline = kind === 'hold' ? plan.holdBy : event.start
    if (deadline === null) return
    // Of a battery that nobody said is held, it is asked once, and everybody (R4, R21).
    const isOnce = kind === 'release' && event.heldAt === null
    const until = asInstant(isOnce ? at + ONCE_MS : Math.max(deadline - 1, at + LADDER_MS))
    this.#at(until, (now) => {
      const reminder = now.reminders.find((each) => each.key === key)
      const same = now.events.find(({ id }) => id === eventId)
      if (reminder?.state !== 'sent' || same?.changedAt !== event.changedAt) return
      if (same.heldAt !== event.heldAt || this.#wasTouched(key, at)) return
      if (kind === 'hold' && plannedEvent(now, eventId)?.holdBy !== deadline) return
      if (!this.#facts.wasAwake(at, until)) return
      // While all who are listed are gone, nobody is asked again (R17).
      const away = outOfReach(now.settings, [same])
      if (away.some(({ start, end }) => start < until && end > at)) return
      for (const person of this.#whoCouldBeTold(now, at, until)) {
        this.#facts.look(isOnce ? 'I2 once' : kind === 'hold' ? 'I2 hold' : 'I2 release')
        if (!this.#wasTold(key, person, now))
          throw new Broken(
            'I2',
            `${person} was not told ${key} by ${this.#facts.trace.clock(until)}`,
          )
      }
    })
  }

  #wasTouched(key: string, since: Instant): boolean {
    return (this.#facts.touched.get(key) ?? -Infinity) >= since
  }

  /** People who were there all the time, with a channel that took everything all the time. */
  #whoCouldBeTold(household: Household, from: Instant, until: Instant): readonly string[] {
    const { settings, channels } = household
    const listed = settings.people.map(({ name }) => name)
    const names = [...new Set(channels.map(({ person }) => person))]
    return names.filter((name) => {
      const there =
        !listed.includes(name) ||
        [0, 0.25, 0.5, 0.75, 1].every((share) =>
          whoReaches(settings, asInstant(from + share * (until - from))).includes(name),
        )
      return (
        there &&
        channels.some(
          (each) => each.person === name && this.#worked(each.id, each.state, from, until),
        )
      )
    })
  }

  #worked(id: string, state: string, from: Instant, until: Instant): boolean {
    const way = this.#facts.ways.get(id)
    if (way === undefined || state !== 'on') return false
    const wasDown = way.downs.some((each) => each.from <= until && each.until >= from)
    const changed = (this.#facts.householdChangedAt ?? -Infinity) >= from
    return (
      !wasDown && !changed && way.failedAt < from && (way.goneAt === null || way.goneAt > until)
    )
  }

  #wasTold(key: string, person: string, household: Household): boolean {
    const theirs = new Set(
      household.channels.filter((each) => each.person === person).map(({ id }) => id),
    )
    return this.#facts.arrivals.get(key)?.some(({ channel }) => theirs.has(channel)) === true
  }

  /** I13: within the time that the channels before it take to fail. */
  #watchHandOver(household: Household, { key, kind, repeat, at }: Ask): void {
    if (household.channels.length === 0 || kind === 'plan') return
    const until = asInstant(at + household.channels.length * TRIES_MS + TAKES_MS)
    this.#at(until, (now) => {
      const reminder = now.reminders.find((each) => each.key === key)
      if (reminder?.state !== 'sent' || reminder.repeat !== repeat) return
      if (this.#wasTouched(key, at)) return
      if (!this.#facts.wasAwake(at, until)) return
      const told = this.#whoCouldBeTold(now, at, until)
      const arrived = this.#facts.arrivals
        .get(key)
        ?.some((each) => each.repeat === repeat && each.channel !== 'webhook')
      if (told.length > 0) this.#facts.look('I13')
      if (told.length > 0 && arrived !== true)
        throw new Broken(
          'I13',
          `${key} (${repeat}) reached nobody, though ${told.join()} could be told`,
        )
    })
  }

  /** I7 */
  #watchEvent(event: HouseholdEvent): void {
    const known = this.#seen.get(event.id)
    this.#seen.set(event.id, event)
    if (known?.sequence === event.sequence) return
    this.#at(event.start, (now) => this.#releaseAsked(now, event))
    const over = event.state === 'cancelled' ? event.changedAt : event.end
    this.#at(asInstant(over + MINUTE_MS + SLACK_MS), (now) => this.#restoreAsked(now, event))
  }

  #same(household: Household, event: HouseholdEvent): HouseholdEvent | null {
    const same = household.events.find(({ id }) => id === event.id)
    return same?.sequence === event.sequence ? same : null
  }

  #releaseAsked(household: Household, event: HouseholdEvent): void {
    const same = this.#same(household, event)
    if (same === null || same.state === 'cancelled' || !isHeld(same) || same.heldAt === null) return
    const planned = this.#facts.planned.get(event.id)
    const releaseAt = planned?.releaseAt ?? null
    if (releaseAt === null || planned === undefined) return
    const from = asInstant(
      Math.max(same.heldAt, planned.since, same.changedAt, releaseAt - 3 * MINUTE_MS),
    )
    if (from > event.start - SLACK_MS || !this.#facts.wasAwake(from, event.start)) return
    // Hands that come back as it starts are asked then.
    const away = outOfReach(household.settings, [same])
    if (spanAt(away, asInstant(event.start - 1)) !== null) return
    this.#facts.look('I7 release')
    const asked = this.#wasAsked(household, event, ['release'], same.heldAt)
    if (!asked)
      throw new Broken('I7', `${event.id} is held and begins, and nobody was asked to let it run`)
  }

  #restoreAsked(household: Household, event: HouseholdEvent): void {
    const same = this.#same(household, event)
    if (same === null || !isHeld(same) || same.heldAt === null) return
    const over = same.state === 'cancelled' ? same.changedAt : same.end
    if (same.state === 'announced' && same.end > this.#facts.now) return
    const { now } = this.#facts
    const from = asInstant(over - SLACK_MS)
    if (same.heldAt >= over || !this.#facts.wasAwake(from, now)) return
    const away = outOfReach(household.settings, [same])
    if (spanAt(away, over) !== null || spanAt(away, now) !== null) return
    if (this.#isWantedByAnother(household, same)) return
    this.#facts.look('I7 restore')
    if (!this.#wasAsked(household, same, ['restore'], from))
      throw new Broken(
        'I7',
        `${event.id} is over and held, and nobody was asked to let it run again`,
      )
  }

  #wasAsked(
    household: Household,
    { id }: HouseholdEvent,
    kinds: readonly Reminder['kind'][],
    since: number,
  ): boolean {
    return household.reminders.some(
      ({ key, kind, eventId, state }) =>
        eventId === id &&
        state !== 'replaced' &&
        kinds.includes(kind) &&
        (this.#facts.asksOf.get(key)?.some(({ at }) => at >= since) ?? false),
    )
  }

  /** Another event within a day may want it held: then it is not let run in between. */
  #isWantedByAnother({ events }: Household, event: HouseholdEvent): boolean {
    return events.some(
      (other) =>
        other.id !== event.id &&
        other.state === 'announced' &&
        (isHeld(other) || Math.abs(other.start - event.end) < 30 * HOUR_MS),
    )
  }
}
