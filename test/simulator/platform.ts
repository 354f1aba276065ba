// What a household's object runs on: one clock, one alarm, storage that lasts, and a process that can die at any moment. The
// alarm is modelled on what was seen of the platform (DEVELOPERS.md, "The alarm"): at least once, up to a minute late,
// sometimes lost with its time left behind, sometimes twice, run again when the process died in it.

import { type Instant, MINUTE_MS, asInstant } from '../../src/plan/index.ts'
import type { Queue } from './queue.ts'
import type { Chance } from './random.ts'
import type { Faults } from './season.ts'

/** The process dies here. */
export class Crash extends Error {}

const RUN_AGAIN_MS = 2000

export class Platform {
  now: Instant
  crashes = 0
  /** When the armed alarm was lost by the platform; `null` while it is in order. */
  alarmLostAt: Instant | null = null
  /** It was lost since somebody last looked. */
  wasLost = false
  onAlarm: () => void = () => {}
  readonly queue: Queue
  readonly faults: Faults
  readonly #chance: Chance
  readonly #note: (text: string) => void
  #armed: Instant | null = null
  #version = 0
  #running = false
  #fired = false

  constructor(
    now: Instant,
    queue: Queue,
    chance: Chance,
    faults: Faults,
    note: (text: string) => void,
  ) {
    this.now = now
    this.queue = queue
    this.faults = faults
    this.#chance = chance
    this.#note = note
  }

  after(ms: number, run: () => void): void {
    this.queue.add(asInstant(this.now + ms), run)
  }

  /** The end of the outage that is on now; `null` when there is none. */
  downUntil(): Instant | null {
    const { now } = this
    return this.faults.outages.find(({ from, until }) => from <= now && now < until)?.until ?? null
  }

  /** A place at which the process may die. */
  perhapsCrash(where: string): void {
    if (this.faults.crash === 0 || !this.#chance.is(this.faults.crash)) return
    this.#note(`CRASH ${where}`)
    throw new Crash(where)
  }

  get armed(): Instant | null {
    return this.#armed
  }

  setAlarm(at: Instant): void {
    this.#armed = at
    this.alarmLostAt = null
    const version = ++this.#version
    const { alarmLate, alarmLost, alarmTwice } = this.faults
    if (alarmLost > 0 && this.#chance.is(alarmLost)) {
      this.queue.add(asInstant(Math.max(at, this.now)), () => {
        if (version !== this.#version) return
        this.alarmLostAt = this.now
        this.wasLost = true
        this.#note('the alarm is lost')
      })
      return
    }
    const late =
      alarmLate > 0 && this.#chance.is(alarmLate)
        ? this.#chance.whole(0, MINUTE_MS)
        : this.#chance.whole(0, 20)
    const due = asInstant(Math.max(at, this.now) + late)
    this.queue.add(due, () => this.#fire(version))
    if (alarmTwice > 0 && this.#chance.is(alarmTwice))
      this.queue.add(asInstant(due + this.#chance.whole(0, 3000)), () => this.#fireTwice())
  }

  deleteAlarm(): void {
    this.#armed = null
    this.alarmLostAt = null
    this.#version += 1
  }

  /** The handler has come to its end: one that fell due meanwhile runs now. */
  handlerDone(): void {
    this.#running = false
    if (!this.#fired) return
    this.#fired = false
    const version = this.#version
    this.after(1, () => this.#fire(version))
  }

  /** The process has died. An alarm in whose handler that was runs again, unless another was set in it. */
  died(): void {
    this.crashes += 1
    const again = this.#running && this.#armed === null
    this.#running = false
    if (again) this.#armed = asInstant(this.now + RUN_AGAIN_MS)
    if (again || this.#fired) {
      const version = again ? ++this.#version : this.#version
      this.after(RUN_AGAIN_MS, () => this.#fire(version))
    }
    this.#fired = false
  }

  #fire(version: number): void {
    if (version !== this.#version || this.#armed === null) return
    const until = this.downUntil()
    if (until !== null) {
      this.queue.add(asInstant(until + this.#chance.whole(0, 5000)), () => this.#fire(version))
      return
    }
    if (this.#running) {
      this.#fired = true
      return
    }
    this.#run()
  }

  /** The same alarm once more: it is over already, whatever is armed by now. */
  #fireTwice(): void {
    if (this.#running || this.downUntil() !== null) return
    this.#note('an alarm comes twice')
    this.#running = true
    this.onAlarm()
  }

  #run(): void {
    this.#armed = null
    this.#version += 1
    this.#running = true
    this.onAlarm()
  }
}
