// Looks at every step of a season and hands it to the checks. What each invariant says: src/reminder/README.md, "Invariants".

import type { Outcome } from '../../src/delivery/index.ts'
import type { Attempt, Command, Decision, Household, Reminder } from '../../src/reminder/index.ts'
import { plannedEvent } from '../../src/reminder/index.ts'
import { AlarmChecks } from './alarmChecks.ts'
import { Facts } from './facts.ts'
import { ListChecks } from './listChecks.ts'
import { NudgeChecks } from './nudgeChecks.ts'
import type { Platform } from './platform.ts'
import { ReachChecks } from './reachChecks.ts'
import type { Season } from './season.ts'
import { SendChecks } from './sendChecks.ts'
import type { Call, Parts, Watcher } from './shell.ts'
import type { Trace } from './trace.ts'
import type { Way } from './ways.ts'

/** A decision, with what it changed picked out. */
export type Step = {
  readonly before: Household
  readonly after: Household
  readonly command: Command
  readonly decision: Decision
  /** Reminders that are new or changed, with what they were. */
  readonly changed: readonly { readonly was: Reminder | undefined; readonly is: Reminder }[]
  /** The keys of those that were asked in this step. */
  readonly asked: ReadonlySet<string>
}

export class Watch implements Watcher {
  readonly #facts: Facts
  readonly #alarm: AlarmChecks
  readonly #lists: ListChecks
  readonly #nudges: NudgeChecks
  readonly #sends: SendChecks
  readonly #reach: ReachChecks
  #seq = 0

  constructor(
    season: Season,
    platform: Platform,
    trace: Trace,
    ways: ReadonlyMap<string, Way>,
    parts: Parts,
    current: () => Household,
  ) {
    const facts = new Facts(season, platform, trace, ways, current)
    this.#facts = facts
    this.#alarm = new AlarmChecks(facts)
    this.#lists = new ListChecks(facts, parts)
    this.#nudges = new NudgeChecks(facts)
    this.#sends = new SendChecks(facts)
    this.#reach = new ReachChecks(facts)
  }

  get looked(): Readonly<Record<string, number>> {
    return this.#facts.looked
  }

  decided(before: Household, decision: Decision, command: Command): void {
    const facts = this.#facts
    const after = decision.household
    this.#alarm.overdue(facts.overdueMs(before))
    facts.excused = false
    this.#noteCommand(decision, command)
    if (command.type === 'settings' || command.type.endsWith('-channel'))
      facts.householdChangedAt = facts.now
    if (command.type === 'attempted' && command.attempt.kind === 'gone') {
      const of = before.deliveries.find(({ id }) => id === command.deliveryId)
      this.#sends.isGone(of?.channel ?? '', command.attempt.address)
    }
    if (command.type === 'add-channel') this.#sends.isBack(command.replaces ?? '')
    const changed = changedIn(before.reminders, after.reminders)
    const asked = this.#noteAsks(after)
    this.#noteAnswers(changed, command)
    this.#notePlans(before, after)
    const step: Step = { before, after, command, decision, changed, asked }
    this.#lists.step(step)
    this.#nudges.step(step)
    this.#reach.step(step)
  }

  armed(household: Household): void {
    this.#facts.unarmed = false
    if (this.#facts.platform.wasLost) this.#facts.excused = true
    this.#facts.platform.wasLost = false
    this.#alarm.armed(household)
  }

  called(household: Household, call: Call): void {
    this.#sends.called(household, call)
  }

  arrived(call: Call, isDouble: boolean): void {
    this.#sends.arrived(call, isDouble)
  }

  returned(deliveryId: string, attempt: Attempt, outcome: Outcome): void {
    this.#sends.returned(deliveryId, attempt, outcome)
  }

  crashed(): void {
    this.#facts.crashed()
  }

  atRest(household: Household): void {
    this.#alarm.atRest(household)
  }

  atEnd(household: Household): void {
    this.#lists.atEnd(household)
    this.#reach.atEnd(household)
    this.#sends.atEnd(household)
  }

  #noteCommand({ effects, outcome }: Decision, command: Command): void {
    const { trace, now } = this.#facts
    if (command.type === 'wake' || command.type === 'attempted') {
      if (command.type === 'wake') trace.add(now, `wakes, sends ${effects.length}`)
      return
    }
    trace.add(now, `${command.type}: ${outcome.ok ? 'done' : outcome.refusal.reason}`)
  }

  #noteAsks({ messages, reminders }: Household): ReadonlySet<string> {
    const facts = this.#facts
    const asked = new Set<string>()
    const fresh = messages.findLastIndex(({ seq }) => seq <= this.#seq) + 1
    for (const { at, reminderKey, text } of messages.slice(fresh)) {
      const reminder = reminders.find(({ key }) => key === reminderKey)
      facts.trace.add(facts.now, `  ${reminderKey ?? 'says'} | ${text}`)
      if (reminder === undefined || reminder.kind === 'plan') continue
      const { key, kind, eventId, repeat } = reminder
      const ask = { key, kind, eventId, repeat, at }
      asked.add(key)
      facts.asks.push(ask)
      facts.add(facts.asksOf, key, ask)
    }
    this.#seq = messages.at(-1)?.seq ?? this.#seq
    return asked
  }

  #noteAnswers(changed: Step['changed'], command: Command): void {
    const { answered, touched, now } = this.#facts
    if ('key' in command) touched.set(command.key, now)
    for (const { was, is } of changed) {
      if (was?.state === is.state) continue
      if (is.state === 'acknowledged') {
        answered.set(is.key, now)
        touched.set(is.key, now)
      } else answered.delete(is.key)
    }
  }

  #notePlans(before: Household, after: Household): void {
    if (before.plan === after.plan && before.events === after.events) return
    const { planned, now } = this.#facts
    for (const { id } of after.events) {
      const plan = plannedEvent(after, id)
      const holdBy = plan?.holdBy ?? null
      const releaseAt = plan?.releaseAt ?? null
      const known = planned.get(id)
      if (known === undefined || known.holdBy !== holdBy || known.releaseAt !== releaseAt)
        planned.set(id, { holdBy, releaseAt, since: now })
    }
  }
}

function changedIn(
  before: readonly Reminder[],
  after: readonly Reminder[],
): { was: Reminder | undefined; is: Reminder }[] {
  if (before === after) return []
  const changed: { was: Reminder | undefined; is: Reminder }[] = []
  const aligned = before.every((each, i) => each.key === after[i]?.key)
  after.forEach((is, i) => {
    const was = aligned ? before[i] : before.find(({ key }) => key === is.key)
    if (was !== is) changed.push({ was, is })
  })
  return changed
}
