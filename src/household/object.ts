// One household: loads its state, decides, saves, arms the alarm, sends. Everything that computes is
// elsewhere; what is here touches the world. Why each step is where it is: DEVELOPERS.md, "The alarm".

import { DurableObject } from 'cloudflare:workers'
import { feedEtag, renderFeed } from '../calendar/index.ts'
import { converse, householdLedger } from '../chat/index.ts'
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
import {
  type Added,
  type MeterReport,
  type OpenQuestion,
  type Question,
  type UploadRefusal,
  added,
  csvOf,
  historyOf,
} from './meter.ts'
import { type Purpose, digestOf, sameDigest } from './secrets.ts'
import { Store } from './store.ts'
import { type File, Uploads, readFile } from './uploads.ts'

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

/** What became of a meter's file. Only when it was taken did anything change. */
export type MeterOutcome =
  | { readonly kind: 'taken'; readonly report: MeterReport; readonly seen: Seen }
  | { readonly kind: 'question'; readonly question: Question }
  | { readonly kind: 'refused'; readonly refusal: UploadRefusal }
  /** The question that was answered is not open any more. */
  | { readonly kind: 'closed' }

export type MeterSeen = {
  readonly seen: Seen
  readonly last: MeterReport | null
  readonly open: OpenQuestion | null
}

export type Feed = { readonly etag: string; readonly text: string }

export class HouseholdObject extends DurableObject<Env> {
  readonly #store = new Store(this.ctx.storage)
  readonly #uploads = new Uploads(this.#store)
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
    const decision = decide(command, before, now)
    const { timeZone } = decision.household.settings
    if (before.meter === null || timeZone === before.settings.timeZone)
      return this.#carryOut(before, decision)
    // Days are days of a clock: another zone has others.
    const meter = this.#daysAnew(before.meter, timeZone)
    return this.#carryOut(before, decide(command, { ...before, meter }, now))
  }

  /** A message as typed: understood, carried out, answered. */
  async say(key: string, text: string): Promise<Performed | null> {
    const before = await this.#admit('page', key)
    if (before === null) return null
    return this.#carryOut(before, converse(before, text, this.#clock.now()))
  }

  /** What is known of the meter: its days, the last file, and the question that waits. */
  async meter(key: string): Promise<MeterSeen | null> {
    const household = await this.#admit('page', key)
    if (household === null) return null
    const open = this.#uploads.open(this.#clock.now())
    return { seen: this.#seen(household), last: this.#uploads.last(), open }
  }

  /** Takes a meter's file in. `keep`: when it raises a question, it waits here for the answer. */
  async takeMeter(
    key: string,
    file: File,
    { keep }: { readonly keep: boolean },
  ): Promise<MeterOutcome | null> {
    const before = await this.#admit('page', key)
    return before === null ? null : this.#take(before, file, keep)
  }

  /** Answers the open question by the place of one of its choices. */
  async answerMeter(
    key: string,
    about: Question['about'],
    choice: number,
  ): Promise<MeterOutcome | null> {
    const before = await this.#admit('page', key)
    if (before === null) return null
    const file = this.#uploads.answered(about, choice, this.#clock.now())
    return file === null ? { kind: 'closed' } : this.#take(before, file, true)
  }

  /** The readings that are kept, as a file: text at most 5 MB long. Empty where there are none. */
  async meterFile(key: string): Promise<string | null> {
    if ((await this.#admit('page', key)) === null) return null
    const kept = this.#store.pieces.read('series')
    return kept === null ? '' : csvOf(kept)
  }

  /** Lets go of the file that a question is open about. */
  async dropMeterFile(key: string): Promise<boolean> {
    if ((await this.#admit('page', key)) === null) return false
    this.#uploads.dropOpen()
    return true
  }

  /** Forgets all meter data. */
  async forgetMeter(key: string): Promise<Performed | null> {
    const before = await this.#admit('page', key)
    if (before === null) return null
    const decision = decide({ type: 'meter', meter: null }, before, this.#clock.now())
    return this.#carryOut(before, decision, () => {
      this.#store.pieces.drop('series')
      this.#uploads.dropAll()
    })
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
      const now = this.#clock.now()
      this.#uploads.open(now)
      const decision = decide({ type: 'wake' }, before, now)
      this.#keep(decision.household)
      await this.#arm()
      await this.#send(decision.effects)
    } catch (bug) {
      console.error('alarm', bug)
      await this.ctx.storage.setAlarm(realNow() + RETRY_AFTER_BUG_MS)
    }
  }

  async #take(before: Household, file: File, keep: boolean): Promise<MeterOutcome> {
    const now = this.#clock.now()
    const read = readFile(file, before.settings)
    if (read.kind === 'refused') return read
    if (read.kind === 'question') {
      if (keep) this.#uploads.keepOpen(file, read.question, now)
      return read
    }
    const { timeZone } = before.settings
    const kept = this.#store.pieces.read('series')
    const result: Added | UploadRefusal = added(read, kept, before.meter, { timeZone, now })
    if ('reason' in result) return { kind: 'refused', refusal: result }
    const { meter, report, series } = result
    const decision = decide({ type: 'meter', meter }, before, now)
    const { seen } = await this.#carryOut(before, decision, () => {
      this.#store.pieces.write('series', series)
      if (keep) this.#uploads.dropOpen()
      this.#uploads.keepLast(report)
    })
    return { kind: 'taken', report, seen }
  }

  #daysAnew({ takenAt }: NonNullable<Household['meter']>, timeZone: string): Household['meter'] {
    const kept = this.#store.pieces.read('series')
    return kept === null ? null : historyOf(kept, timeZone, takenAt)
  }

  async #carryOut(
    before: Household,
    decision: Decision,
    withIt: () => void = () => {},
  ): Promise<Performed> {
    this.#keep(decision.household, withIt)
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
  #keep(household: Household, withIt: () => void = () => {}): void {
    this.#store.save(household, withIt)
    this.#household = household
  }

  /** As it is given outside: with the plan of the moment and its sums, and without the many days that they come from. */
  #seen(household: Household): Seen {
    const now = this.#clock.now()
    const meter = household.meter === null ? null : { ...household.meter, days: [] }
    const plan = planFor(household, now)
    const explained = plan && { ...plan, why: householdLedger(household, plan) }
    return { household: { ...household, meter, plan: explained }, now }
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
