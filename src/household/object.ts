// One household: loads its state, decides, saves, arms the alarm, sends. Everything that computes is
// elsewhere; what is here touches the world. Why each step is where it is: DEVELOPERS.md, "The alarm".

import { DurableObject } from 'cloudflare:workers'
import { feedEtag, renderFeed } from '../calendar/index.ts'
import { converse } from '../chat/index.ts'
import { type Clock, type ClockSetting, clockOf, realNow } from '../clock.ts'
import { type Env, clockSettingIn } from '../env.ts'
import type { Instant } from '../plan/index.ts'
import {
  type Attempt,
  type Command,
  type Decision,
  type Household,
  type Settings,
  decide,
  newHousehold,
  nextWake,
  planFor,
  saidSince,
} from '../reminder/index.ts'
import { sendOne } from './send.ts'
import { type Purpose, digestOf, sameDigest } from './secrets.ts'
import { Store } from './store.ts'

/** After a bug in an alarm, the next try, ms: no throw may get out, or the platform gives up after seven. */
const RETRY_AFTER_BUG_MS = 60_000
/** An alarm is never armed closer than this, ms, so that no mistake can spin. */
const CLOSEST_ALARM_MS = 50
/** An alarm this overdue was lost by the platform, ms. */
const LOST_ALARM_MS = 60_000

/** A household as it is now by its own clock, its plan reckoned anew for the moment. */
export type Seen = { readonly household: Household; readonly now: Instant }

export type Performed = Pick<Decision, 'outcome'> & {
  readonly seen: Seen
  /** What Holdbell said to it. */
  readonly replies: readonly { text: string; buttons: Household['messages'][number]['buttons'] }[]
}

export type Feed = { readonly etag: string; readonly text: string }

export class HouseholdObject extends DurableObject<Env> {
  readonly #store = new Store(this.ctx.storage)
  #household: Household | null = this.#store.load()
  #clock: Clock = clockOf(this.#ownClock() ?? clockSettingIn(this.env))
  readonly #origin = () => this.#store.aside('address', 'origin') ?? ''

  /** Makes the household; its keys are known here by their digests alone. */
  async create(made: {
    id: string
    settings: Settings
    origin: string
    keys: Record<Purpose, string>
    /** A clock of its own: the rehearsal's. */
    clock: ClockSetting | null
  }): Promise<void> {
    if (this.#household !== null) throw new RangeError('Cannot make a household twice')
    const digests = { page: await digestOf(made.keys.page), feed: await digestOf(made.keys.feed) }
    this.#store.create()
    this.#keep(newHousehold(made.id, made.settings))
    this.#store.setAside('secret', 'page', digests.page)
    this.#store.setAside('secret', 'feed', digests.feed)
    this.#store.setAside('address', 'origin', made.origin)
    if (made.clock === null) return
    this.#store.setAside('clock', 'it', JSON.stringify(made.clock))
    this.#clock = clockOf(made.clock)
  }

  /** Whether the key fits. */
  async admits(key: string): Promise<boolean> {
    return (await this.#admit('page', key)) !== null
  }

  /** The household as it is; `null` if the key does not fit. Also looks after an alarm that got lost. */
  async read(key: string): Promise<Seen | null> {
    const household = await this.#admit('page', key)
    if (household === null) return null
    await this.#arm()
    return this.#seen(household)
  }

  async perform(key: string, command: Command): Promise<Performed | null> {
    const before = await this.#admit('page', key)
    if (before === null) return null
    const now = this.#clock.now()
    return this.#carryOut(before, decide(command, before, now))
  }

  /** A message as typed: understood, carried out, answered. */
  async say(key: string, text: string): Promise<Performed | null> {
    const before = await this.#admit('page', key)
    if (before === null) return null
    return this.#carryOut(before, converse(before, text, this.#clock.now()))
  }

  /** The calendar feed: rendered when it changed, then kept. A poll also looks after an alarm that got lost. */
  async feed(key: string): Promise<Feed | null> {
    const household = await this.#admit('feed', key)
    if (household === null) return null
    await this.#arm()
    const etag = feedEtag(household)
    if (this.#store.aside('feed', 'etag') !== etag) this.#renderFeed(household)
    return { etag, text: this.#store.aside('feed', 'text') ?? '' }
  }

  /** Forgets everything at once. */
  async erase(key: string): Promise<boolean> {
    if ((await this.#admit('page', key)) === null) return false
    await this.ctx.storage.deleteAlarm()
    await this.ctx.storage.deleteAll()
    this.#household = null
    return true
  }

  override async alarm(): Promise<void> {
    try {
      const before = this.#household
      if (before === null) return
      const decision = decide({ type: 'wake' }, before, this.#clock.now())
      this.#keep(decision.household)
      await this.#arm()
      await this.#send(decision.effects)
    } catch (bug) {
      console.error('alarm', bug)
      await this.ctx.storage.setAlarm(realNow() + RETRY_AFTER_BUG_MS)
    }
  }

  async #carryOut(before: Household, decision: Decision): Promise<Performed> {
    this.#keep(decision.household)
    await this.#arm()
    // The answer does not wait for the outside world.
    this.ctx.waitUntil(this.#send(decision.effects))
    const seen = before.messages.at(-1)?.seq ?? 0
    const replies = saidSince(decision.household, seen).map(({ text, buttons }) => ({
      text,
      buttons,
    }))
    return { seen: this.#seen(decision.household), outcome: decision.outcome, replies }
  }

  /** Sends side by side. Each outcome is a command like any other; the row of one that never returns has a lease. */
  async #send(effects: Decision['effects']): Promise<void> {
    await Promise.all(
      effects.map(async ({ deliveryId }) => {
        try {
          const attempt = await sendOne(this.#household, deliveryId, {
            now: this.#clock.now,
            page: this.#origin(),
          })
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
    const decision = decide(command, this.#household, this.#clock.now())
    this.#keep(decision.household)
    await this.#arm()
    await this.#send(decision.effects)
  }

  /** State is saved before anything is sent, and held in memory only as it was saved. */
  #keep(household: Household): void {
    this.#store.save(household)
    this.#household = household
  }

  #seen(household: Household): Seen {
    const now = this.#clock.now()
    return { household: { ...household, plan: planFor(household, now) }, now }
  }

  #ownClock(): ClockSetting | null {
    const kept = this.#store.aside('clock', 'it')
    return kept === null ? null : (JSON.parse(kept) as ClockSetting)
  }

  #renderFeed(household: Household): void {
    const now = this.#clock.now()
    const text = renderFeed(household, { now, page: `${this.#origin()}/plan` })
    this.#store.setAside('feed', 'text', text)
    this.#store.setAside('feed', 'etag', feedEtag(household))
  }

  async #admit(purpose: Purpose, key: string): Promise<Household | null> {
    const kept = this.#store.aside('secret', purpose)
    const given = await digestOf(key)
    return kept !== null && sameDigest(given, kept) ? this.#household : null
  }

  /** One alarm at the earliest that is due, overdue ones included. Writes only when it has to move. */
  async #arm(): Promise<void> {
    const wake = this.#household && nextWake(this.#household)
    const armed = await this.ctx.storage.getAlarm()
    if (wake === null) {
      if (armed !== null) await this.ctx.storage.deleteAlarm()
      return
    }
    const real = realNow()
    const wanted = Math.max(Math.ceil(this.#clock.realAt(wake)), real + CLOSEST_ALARM_MS)
    const lost = armed !== null && armed < real - LOST_ALARM_MS
    if (armed === null || lost || wanted < armed || wanted > armed + CLOSEST_ALARM_MS)
      await this.ctx.storage.setAlarm(wanted)
  }
}
