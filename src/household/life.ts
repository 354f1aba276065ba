// A household's life in its object: loaded, decided on, saved, woken, sent for. Everything that computes is elsewhere.
// Why each step is where it is: DEVELOPERS.md, "The alarm".

import { householdLedger } from '../chat/index.ts'
import { type Clock, type ClockSetting, clockOf, realNow } from '../clock.ts'
import { type Env, clockSettingIn } from '../env.ts'
import type { Instant } from '../plan/index.ts'
import {
  type Attempt,
  type Command,
  type Decision,
  type Household,
  decide,
  nextWake,
  planFor,
  saidSince,
} from '../reminder/index.ts'
import { type Purpose, digestOf, newKey, sameDigest } from './secrets.ts'
import { type SendingTools, sendOne, sendingTools } from './send.ts'
import type { Performed, Seen } from './seen.ts'
import { Store } from './store.ts'

/** After a bug in an alarm, the next try, ms: no throw may get out, or the platform gives up after seven. */
const RETRY_AFTER_BUG_MS = 60_000
/** An alarm is never armed closer than this, ms, so that no mistake can spin. */
const CLOSEST_ALARM_MS = 50
/** An alarm this overdue was lost by the platform, ms. */
const LOST_ALARM_MS = 60_000

export class Life {
  readonly store: Store
  readonly #context: DurableObjectState
  readonly #env: Env
  #household: Household | null
  #clock: Clock
  /** What the alarm was last set for in this life of the object. */
  #armedFor: Instant | null = null

  constructor(context: DurableObjectState, env: Env) {
    this.#context = context
    this.#env = env
    this.store = new Store(context.storage)
    this.#household = this.store.load()
    this.#clock = clockOf(this.#ownClock() ?? clockSettingIn(env))
  }

  get household(): Household | null {
    return this.#household
  }

  now() {
    return this.#clock.now()
  }

  /** Where its pages are served. */
  origin(): string {
    return this.store.aside('address', 'origin') ?? ''
  }

  keepClock(setting: ClockSetting): void {
    this.store.setAside('clock', 'it', JSON.stringify(setting))
    this.#clock = clockOf(setting)
  }

  /** Whether the key fits. Who goes on takes the household after this wait: another call may have changed it during it. */
  async admits(purpose: Purpose, key: string): Promise<boolean> {
    const kept = this.store.aside('secret', purpose)
    const given = await digestOf(key)
    return kept !== null && sameDigest(given, kept)
  }

  /** What its links and addresses are signed with: kept as it is, since it has to be used again. */
  signingKey(): string {
    const kept = this.store.aside('secret', 'sign')
    if (kept !== null) return kept
    const fresh = newKey()
    this.store.setAside('secret', 'sign', fresh)
    return fresh
  }

  /** State is saved before anything is sent, and held in memory only as it was saved. The alarm goes with it: what is written without a wait in between is there together, or not at all. */
  keep(household: Household, withIt: () => void = () => {}): void {
    this.store.save(household, withIt)
    this.#household = household
    const wake = nextWake(household)
    if (wake === null || wake === this.#armedFor) return
    void this.#context.storage.setAlarm(this.#realAt(wake))
    this.#armedFor = wake
  }

  async erase(): Promise<void> {
    await this.#context.storage.deleteAlarm()
    await this.#context.storage.deleteAll()
    this.#household = null
  }

  /** A time has come. Lets nothing out. */
  async wake(): Promise<void> {
    try {
      this.#armedFor = null
      if (this.#household === null) return
      const decision = decide({ type: 'wake' }, this.#household, this.now())
      this.keep(decision.household)
      await this.arm()
      await this.#send(decision.effects)
    } catch (bug) {
      console.error('alarm', bug)
      await this.#context.storage.setAlarm(realNow() + RETRY_AFTER_BUG_MS)
    }
  }

  /** Saves what was decided, arms, and sends without keeping the answer waiting. What goes to the channel `by` as a reminder of its own is no reply as well. */
  async carryOut(
    before: Household,
    decision: Decision,
    withIt: () => void = () => {},
    by: string | null = null,
  ): Promise<Performed> {
    this.keep(decision.household, withIt)
    await this.arm()
    this.#context.waitUntil(this.#send(decision.effects))
    const seen = before.messages.at(-1)?.seq ?? 0
    const known = new Set(before.deliveries.map(({ id }) => id))
    const sent = decision.household.deliveries
      .filter(({ id, channel }) => channel === by && !known.has(id))
      .map(({ reminderKey }) => reminderKey)
    const replies = saidSince(decision.household, seen)
      .filter(({ reminderKey }) => reminderKey === null || !sent.includes(reminderKey))
      .map(({ text, buttons }) => ({ text, buttons }))
    return { seen: this.seen(decision.household), outcome: decision.outcome, replies }
  }

  /** As it is given outside: with the plan of the moment and its sums, and without the many days that they come from. */
  seen(household: Household): Seen {
    const now = this.now()
    const meter = household.meter === null ? null : { ...household.meter, days: [] }
    const plan = planFor(household, now)
    const explained = plan && { ...plan, why: householdLedger(household, plan) }
    return { household: { ...household, meter, plan: explained }, now }
  }

  /** One alarm at the earliest that is due, overdue ones included. Writes only when it has to move. */
  async arm(): Promise<void> {
    const wake = this.#household && nextWake(this.#household)
    const armed = await this.#context.storage.getAlarm()
    if (wake === null) {
      if (armed !== null) await this.#context.storage.deleteAlarm()
      return
    }
    const real = realNow()
    const wanted = this.#realAt(wake)
    // One that is just about to fire is left alone, unless it got lost.
    if (armed !== null && armed <= real && armed >= real - LOST_ALARM_MS) return
    const far = armed === null || wanted < armed || wanted > armed + CLOSEST_ALARM_MS
    if (far) await this.#context.storage.setAlarm(wanted)
    this.#armedFor = wake
  }

  #realAt(wake: Instant): number {
    return Math.max(Math.ceil(this.#clock.realAt(wake)), realNow() + CLOSEST_ALARM_MS)
  }

  /** What sending takes. */
  tools(): SendingTools {
    return sendingTools(this.#env, {
      now: () => this.now(),
      origin: this.origin(),
      signingKey: this.signingKey(),
    })
  }

  /** Sends side by side. Each outcome is a command like any other; the row of one that never returns has a lease. */
  async #send(effects: Decision['effects']): Promise<void> {
    await Promise.all(
      effects.map(async ({ deliveryId }) => {
        try {
          const attempt = await sendOne(() => this.#household, deliveryId, this.tools())
          if (attempt !== null) await this.#record(deliveryId, attempt)
        } catch (bug) {
          console.error('send', bug)
        }
      }),
    )
  }

  async #record(deliveryId: string, attempt: Attempt): Promise<void> {
    if (this.#household === null) return
    const command: Command = { type: 'attempted', deliveryId, attempt }
    const decision = decide(command, this.#household, this.now())
    this.keep(decision.household)
    await this.arm()
    await this.#send(decision.effects)
  }

  #ownClock(): ClockSetting | null {
    const kept = this.store.aside('clock', 'it')
    return kept === null ? null : (JSON.parse(kept) as ClockSetting)
  }
}
