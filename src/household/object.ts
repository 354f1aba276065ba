// One household: what the web may ask of it. Its life, loading, saving, waking and sending, is life.ts; everything that
// computes is elsewhere.

import { DurableObject } from 'cloudflare:workers'
import { feedEtag, renderFeed } from '../calendar/index.ts'
import { converse } from '../chat/index.ts'
import type { ClockSetting } from '../clock.ts'
import type { Env } from '../env.ts'
import {
  type Command,
  type Household,
  type Settings,
  decide,
  newHousehold,
} from '../reminder/index.ts'
import {
  type Act,
  type AnswerLink,
  type Asked,
  Channels,
  type Chat,
  type Heard,
  type Linked,
  type Said,
  type Tested,
} from './channels.ts'
import { Life } from './life.ts'
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
import { type Purpose, digestOf } from './secrets.ts'
import type { Performed, Seen } from './seen.ts'
import { type File, Uploads, readFile } from './uploads.ts'

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
  readonly #life = new Life(this.ctx, this.env)
  readonly #store = this.#life.store
  readonly #uploads = new Uploads(this.#store)
  readonly #channels = new Channels(this.#life, this.env)

  /** Makes the household; its keys are known here by their digests alone. */
  async create(made: {
    id: string
    settings: Settings
    origin: string
    keys: Record<Purpose, string>
    /** A clock of its own: the rehearsal's. */
    clock: ClockSetting | null
  }): Promise<void> {
    if (this.#life.household !== null) throw new RangeError('Cannot make a household twice')
    const digests = { page: await digestOf(made.keys.page), feed: await digestOf(made.keys.feed) }
    this.#store.create()
    this.#life.keep(newHousehold(made.id, made.settings))
    this.#store.setAside('secret', 'page', digests.page)
    this.#store.setAside('secret', 'feed', digests.feed)
    this.#store.setAside('address', 'origin', made.origin)
    if (made.clock !== null) this.#life.keepClock(made.clock)
  }

  /** Whether the key fits. */
  async admits(key: string): Promise<boolean> {
    return this.#life.admits('page', key)
  }

  /** The household as it is; `null` if the key does not fit. Also looks after an alarm that got lost. */
  async read(key: string): Promise<Seen | null> {
    const household = (await this.#life.admits('page', key)) ? this.#life.household : null
    if (household === null) return null
    await this.#life.arm()
    return this.#life.seen(household)
  }

  async perform(key: string, command: Command): Promise<Performed | null> {
    const before = (await this.#life.admits('page', key)) ? this.#life.household : null
    if (before === null) return null
    const now = this.#life.now()
    const decision = decide(command, before, now)
    const { timeZone } = decision.household.settings
    if (before.meter === null || timeZone === before.settings.timeZone)
      return this.#life.carryOut(before, decision)
    // Days are days of a clock: another zone has others.
    const meter = this.#daysAnew(before.meter, timeZone)
    return this.#life.carryOut(before, decide(command, { ...before, meter }, now))
  }

  /** A message as typed: understood, carried out, answered. */
  async say(key: string, text: string): Promise<Performed | null> {
    const before = (await this.#life.admits('page', key)) ? this.#life.household : null
    if (before === null) return null
    return this.#life.carryOut(before, converse(before, text, this.#life.now()))
  }

  /** What is known of the meter: its days, the last file, and the question that waits. */
  async meter(key: string): Promise<MeterSeen | null> {
    const household = (await this.#life.admits('page', key)) ? this.#life.household : null
    if (household === null) return null
    const open = this.#uploads.open(this.#life.now())
    return { seen: this.#life.seen(household), last: this.#uploads.last(), open }
  }

  /** Takes a meter's file in. `keep`: when it raises a question, it waits here for the answer. */
  async takeMeter(
    key: string,
    file: File,
    { keep }: { readonly keep: boolean },
  ): Promise<MeterOutcome | null> {
    const before = (await this.#life.admits('page', key)) ? this.#life.household : null
    return before === null ? null : this.#take(before, file, keep)
  }

  /** Answers the open question by the place of one of its choices. */
  async answerMeter(
    key: string,
    about: Question['about'],
    choice: number,
  ): Promise<MeterOutcome | null> {
    const before = (await this.#life.admits('page', key)) ? this.#life.household : null
    if (before === null) return null
    const file = this.#uploads.answered(about, choice, this.#life.now())
    return file === null ? { kind: 'closed' } : this.#take(before, file, true)
  }

  /** The readings that are kept, as a file: text at most 5 MB long. Empty where there are none. */
  async meterFile(key: string): Promise<string | null> {
    if (!(await this.#life.admits('page', key))) return null
    const kept = this.#store.pieces.read('series')
    return kept === null ? '' : csvOf(kept)
  }

  /** Lets go of the file that a question is open about. */
  async dropMeterFile(key: string): Promise<boolean> {
    if (!(await this.#life.admits('page', key))) return false
    this.#uploads.dropOpen()
    return true
  }

  /** Forgets all meter data. */
  async forgetMeter(key: string): Promise<Performed | null> {
    const before = (await this.#life.admits('page', key)) ? this.#life.household : null
    if (before === null) return null
    const decision = decide({ type: 'meter', meter: null }, before, this.#life.now())
    return this.#life.carryOut(before, decision, () => {
      this.#store.pieces.drop('series')
      this.#uploads.dropAll()
    })
  }

  /** The calendar feed: rendered when it changed, then kept. A poll also looks after an alarm that got lost. */
  async feed(key: string): Promise<Feed | null> {
    const household = (await this.#life.admits('feed', key)) ? this.#life.household : null
    if (household === null) return null
    await this.#life.arm()
    const etag = feedEtag(household)
    if (this.#store.aside('feed', 'etag') !== etag) this.#renderFeed(household)
    return { etag, text: this.#store.aside('feed', 'text') ?? '' }
  }

  /** Forgets everything at once. */
  async erase(key: string): Promise<boolean> {
    if (!(await this.#life.admits('page', key))) return false
    await this.#channels.forgetAll()
    await this.#life.erase()
    return true
  }

  /** Tries a channel now. */
  async testChannel(key: string, channelId: string): Promise<Tested | null> {
    const household = (await this.#life.admits('page', key)) ? this.#life.household : null
    return household === null ? null : this.#channels.test(household, channelId)
  }

  /** A code by which a chat becomes a channel of this person's: once, within a quarter of an hour. */
  async inviteChat(key: string, person: string): Promise<string | null> {
    const household = (await this.#life.admits('page', key)) ? this.#life.household : null
    return household === null ? null : this.#channels.inviteChat(household, person)
  }

  /** Asks the owner of a mail address to confirm it. */
  async askMailOwner(key: string, channelId: string): Promise<Tested | null> {
    const household = (await this.#life.admits('page', key)) ? this.#life.household : null
    return household === null ? null : this.#channels.askMailOwner(household, channelId)
  }

  /** Takes a way to a person away. */
  async removeChannel(key: string, channelId: string): Promise<Performed | null> {
    const household = (await this.#life.admits('page', key)) ? this.#life.household : null
    return household === null ? null : this.#channels.remove(household, channelId)
  }

  // What comes from outside the page brings a proof of its own: a code that only this object makes, or an address that is
  // one of its channels.

  async linkChat(secret: string, chat: Chat, by: string | null): Promise<Linked> {
    return this.#channels.linkChat(secret, chat, by)
  }

  async asked(link: AnswerLink): Promise<Asked | null> {
    return this.#channels.asked(link)
  }

  async answer(link: AnswerLink, act: Act): Promise<Performed | null> {
    return this.#channels.answer(link, act)
  }

  async confirmChannel(channelId: string, code: string): Promise<boolean> {
    return this.#channels.confirm(channelId, code)
  }

  async stopChannel(channelId: string, code: string): Promise<boolean> {
    return this.#channels.stop(channelId, code)
  }

  async hear(said: Said): Promise<Heard> {
    return this.#channels.hear(said)
  }

  async chatLeft(chatId: string): Promise<void> {
    return this.#channels.chatLeft(chatId)
  }

  async chatMoved(chatId: string, to: string): Promise<void> {
    return this.#channels.chatMoved(chatId, to)
  }

  override async alarm(): Promise<void> {
    this.#uploads.open(this.#life.now())
    await this.#life.wake()
  }

  async #take(before: Household, file: File, keep: boolean): Promise<MeterOutcome> {
    const now = this.#life.now()
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
    const { seen } = await this.#life.carryOut(before, decision, () => {
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

  #renderFeed(household: Household): void {
    const now = this.#life.now()
    const text = renderFeed(household, { now, page: `${this.#life.origin()}/plan` })
    this.#store.setAside('feed', 'text', text)
    this.#store.setAside('feed', 'etag', feedEtag(household))
  }
}
