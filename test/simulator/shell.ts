// The shell of a household as `src/household/life.ts` and `send.ts` are, step by step and in their order: load, decide, save,
// arm, send, record. Kept in line with them by hand; what is not here is the platform, the web and the channels themselves.

import { retryDelayMs } from '../../src/delivery/index.ts'
import type { PersonalMessage } from '../../src/delivery/index.ts'
import { outgoing, personal, settledText } from '../../src/household/message.ts'
import { type Instant, asInstant } from '../../src/plan/index.ts'
import {
  type Attempt,
  type Command,
  type Decision,
  type Delivery,
  type Household,
  WEBHOOK,
  addressOf,
  decide,
  nextWake,
  stillWanted,
} from '../../src/reminder/index.ts'
import type { Outcome } from '../../src/delivery/index.ts'
import { Crash, type Platform } from './platform.ts'
import type { Chance } from './random.ts'

/** One message at the moment at which it leaves the house. */
export type Call = {
  readonly delivery: Delivery
  readonly address: string
  readonly message: PersonalMessage
  /** What is shown: the text, or, where it settles one, what became of it. */
  readonly text: string
}

/** The answer of a channel, and after how long it comes. */
export type Answer = { readonly outcome: Outcome; readonly afterMs: number }

/** The parts of the shell that a mutation may replace. */
export type Parts = {
  readonly decide: (command: Command, household: Household, now: Instant) => Decision
  readonly stillWanted: (household: Household, deliveryId: string, now: Instant) => boolean
  readonly arms: (command: Command) => boolean
  /** The wrong order: what is decided is lost when the process dies while it sends. */
  readonly savesFirst: boolean
  /** Down to which an attempt waits, ms: what the receiver asked for, and the retry's own delay. */
  readonly waitMs: (asked: number, own: number) => number
  readonly words: (text: string) => string
}

export const REAL_PARTS: Parts = {
  decide,
  stillWanted,
  arms: () => true,
  savesFirst: true,
  waitMs: Math.max,
  words: (text) => text,
}

export type Watcher = {
  decided(before: Household, decision: Decision, command: Command): void
  armed(household: Household): void
  called(household: Household, call: Call): void
  returned(deliveryId: string, attempt: Attempt, outcome: Outcome): void
  crashed(): void
}

const CLOSEST_ALARM_MS = 50
const LOST_ALARM_MS = 60_000
const RETRY_AFTER_BUG_MS = 60_000

export class Shell {
  saved: Household
  readonly #platform: Platform
  readonly #chance: Chance
  readonly #parts: Parts
  readonly #send: (call: Call) => Answer
  readonly #watcher: Watcher
  /** Counts the processes: what one began, the next does not end. */
  #process = 0
  #memory: Household | null = null

  constructor(
    household: Household,
    platform: Platform,
    chance: Chance,
    parts: Parts,
    send: (call: Call) => Answer,
    watcher: Watcher,
  ) {
    this.saved = household
    this.#platform = platform
    this.#chance = chance
    this.#parts = parts
    this.#send = send
    this.#watcher = watcher
    platform.onAlarm = () => this.#wake()
  }

  /** As it is in memory, where there is one. */
  get current(): Household {
    return this.#memory ?? this.saved
  }

  /** `HouseholdObject.read`, `feed`: also looks after an alarm that got lost. */
  visit(): boolean {
    if (this.#platform.downUntil() !== null) return false
    return this.#alive(() => this.#arm(this.#household()))
  }

  /** `Life.carryOut`. False when it did not come through: nothing was said then, as far as its sender knows. */
  perform(command: (household: Household) => Command | null): boolean {
    if (this.#platform.downUntil() !== null) return false
    return this.#alive(() => {
      const before = this.#household()
      const asked = command(before)
      if (asked !== null) this.#carryOut(before, asked, () => {})
    })
  }

  /** The process dies between two steps, or the platform with it. */
  die(): void {
    this.#process += 1
    this.#memory = null
    this.#platform.died()
    this.#watcher.crashed()
  }

  #household(): Household {
    if (this.#memory === null) {
      // What is stored is text (store.ts); a process that begins reads it.
      if (this.#process > 0 && this.#chance.is(0.2)) this.saved = readAgain(this.saved)
      this.#memory = this.saved
    }
    return this.#memory
  }

  #alive(step: () => void): boolean {
    try {
      step()
      return true
    } catch (error) {
      if (!(error instanceof Crash)) throw error
      this.die()
      return false
    }
  }

  #wake(): void {
    this.#alive(() => {
      try {
        this.#carryOut(this.#household(), { type: 'wake' }, () => this.#platform.handlerDone())
      } catch (error) {
        if (error instanceof Crash || error instanceof Broken) throw error
        this.#platform.setAlarm(asInstant(this.#platform.now + RETRY_AFTER_BUG_MS))
        throw error
      }
    })
  }

  #carryOut(before: Household, command: Command, done: () => void): void {
    const platform = this.#platform
    const decision = this.#parts.decide(command, before, platform.now)
    platform.perhapsCrash(`before saving (${command.type})`)
    this.#memory = decision.household
    if (this.#parts.savesFirst) this.saved = decision.household
    this.#watcher.decided(before, decision, command)
    platform.perhapsCrash(`after saving, before arming (${command.type})`)
    if (this.#parts.arms(command)) this.#arm(decision.household)
    platform.perhapsCrash(`after arming, before sending (${command.type})`)
    this.#sendAll(decision.effects, () => {
      this.saved = this.#household()
      done()
    })
  }

  #arm(household: Household): void {
    const platform = this.#platform
    const wake = nextWake(household)
    if (wake === null) {
      if (platform.armed !== null) platform.deleteAlarm()
    } else {
      const wanted = asInstant(Math.max(Math.ceil(wake), platform.now + CLOSEST_ALARM_MS))
      const { armed } = platform
      const lost = armed !== null && armed < platform.now - LOST_ALARM_MS
      if (armed === null || lost || wanted < armed || wanted > armed + CLOSEST_ALARM_MS)
        platform.setAlarm(wanted)
    }
    this.#watcher.armed(household)
  }

  #sendAll(effects: Decision['effects'], done: () => void): void {
    let left = effects.length
    if (left === 0) return done()
    const oneDone = () => {
      left -= 1
      if (left === 0) done()
    }
    for (const { deliveryId } of effects) this.#sendOne(deliveryId, oneDone)
  }

  #sendOne(deliveryId: string, done: () => void): void {
    const process = this.#process
    // Between two steps of a send the process may be another.
    const later = (ms: number, step: () => void) =>
      this.#platform.after(ms, () => {
        if (process === this.#process) this.#alive(step)
      })
    const made = prepared(this.#household(), deliveryId)
    if (made === null) return done()
    const call = { ...made, text: this.#parts.words(made.text) }
    later(this.#makingMs(), () => {
      const household = this.#household()
      if (!this.#parts.stillWanted(household, deliveryId, this.#platform.now)) return done()
      this.#platform.perhapsCrash('just before a send')
      this.#watcher.called(household, call)
      const { outcome, afterMs } = this.#send(call)
      later(afterMs, () => {
        this.#platform.perhapsCrash('after a send, before its record')
        const attempt = this.#attemptOf(outcome, call)
        this.#watcher.returned(deliveryId, attempt, outcome)
        this.#carryOut(this.#household(), { type: 'attempted', deliveryId, attempt }, done)
      })
    })
  }

  /** Making a message is quick, but for the first in a while. */
  #makingMs(): number {
    return this.#chance.is(0.05) ? this.#chance.whole(100, 4000) : this.#chance.whole(0, 30)
  }

  #attemptOf(outcome: Outcome, { address, delivery }: Call): Attempt {
    if (outcome.kind === 'gone') return { ...outcome, address }
    if (outcome.kind !== 'try-again') return outcome
    const own = retryDelayMs(delivery.attempts)
    return { ...outcome, afterMs: this.#parts.waitMs(outcome.afterMs ?? 0, own) }
  }
}

/** An invariant does not hold. */
export class Broken extends Error {
  readonly invariant: string

  constructor(invariant: string, text: string) {
    super(text)
    this.invariant = invariant
  }
}

// JSON has no infinity; store.ts keeps the two limits likewise.
const readAgain = (household: Household): Household =>
  JSON.parse(
    JSON.stringify(household, (_, value: unknown) => (value === Infinity ? 'no limit' : value)),
    (_, value: unknown) => (value === 'no limit' ? Infinity : value),
  ) as Household

const TOOLS = { origin: 'https://example.com' }

/** `prepared` in send.ts. */
function prepared(household: Household, deliveryId: string): Call | null {
  const delivery = household.deliveries.find((each) => each.id === deliveryId)
  const reminder = household.reminders.find((each) => each.key === delivery?.reminderKey)
  if (!delivery || !reminder) return null
  const message = outgoing(household, reminder, delivery, TOOLS)
  const letter = personal(household, reminder, delivery, message, 'https://example.com/answer')
  if (delivery.channel === WEBHOOK) {
    const { webhook } = household.settings
    return webhook && { delivery, address: webhook.url, message: letter, text: message.text }
  }
  const channel = household.channels.find(({ id }) => id === delivery.channel)
  if (channel === undefined) return null
  const text = delivery.purpose === 'settle' ? settledText(household, reminder) : letter.text
  return { delivery, address: addressOf(channel.target), message: letter, text }
}
