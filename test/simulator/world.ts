// A season lived through: the utility asks, the household reminds, people answer, calendars poll, things fail. Time jumps from
// what happens to what happens next.

import { type Household, WEBHOOK, addressOf } from '../../src/reminder/index.ts'
import type { Break } from './breaks.ts'
import { Doing } from './doing.ts'
import { Platform } from './platform.ts'
import { Queue } from './queue.ts'
import { Chance } from './random.ts'
import { Residents } from './residents.ts'
import { type Season, drawSeason } from './season.ts'
import { type Answer, Broken, type Call, REAL_PARTS, Shell } from './shell.ts'
import { Trace } from './trace.ts'
import { Utility } from './utility.ts'
import { Watch } from './watch.ts'
import { Way } from './ways.ts'
import { beginWhims } from './whims.ts'

export type Outcome = {
  readonly seed: number
  readonly broken: { readonly invariant: string; readonly text: string } | null
  readonly events: number
  readonly messages: number
  readonly crashes: number
  readonly steps: number
  readonly trace: Trace
  /** How often each invariant had something to judge. */
  readonly looked: Readonly<Record<string, number>>
  /** As it was in the end. */
  readonly household: Household
}

const MOST_STEPS = 30_000

/** Runs the season of a seed until it is over, or until an invariant does not hold. */
export const runSeason = (seed: number, broken: Break | null = null): Outcome =>
  new World(seed, broken).run()

class World {
  readonly #seed: number
  readonly #season: Season
  readonly #queue: Queue
  readonly #platform: Platform
  readonly #shell: Shell
  readonly #watch: Watch
  readonly #trace: Trace
  readonly #ways = new Map<string, Way>()
  readonly #utility: Utility
  readonly #residents: Residents
  #steps = 0
  #messages = 0

  constructor(seed: number, broken: Break | null) {
    const chance = new Chance(seed)
    const season = drawSeason(seed, chance.apart())
    this.#seed = seed
    this.#season = season
    this.#queue = new Queue(chance.apart())
    this.#trace = new Trace(season.household.settings.timeZone)
    const note = (text: string) => this.#trace.add(this.#platform.now, text)
    this.#platform = new Platform(season.begins, this.#queue, chance.apart(), season.faults, note)
    const parts = { ...REAL_PARTS, ...broken?.parts }
    const current = () => this.#shell.current
    this.#watch = new Watch(season, this.#platform, this.#trace, this.#ways, parts, current)
    const send = (call: Call) => this.#send(call)
    const { household } = season
    const shellsChance = chance.apart()
    this.#shell = new Shell(household, this.#platform, shellsChance, parts, send, this.#watch)
    this.#openWays(chance.apart())
    const doing = new Doing(season, this.#platform, this.#shell, chance.apart(), this.#trace)
    this.#utility = new Utility(doing)
    this.#residents = new Residents(doing)
    beginWhims(doing, this.#ways)
    const { pollsEveryMs } = season
    if (pollsEveryMs !== null)
      doing.every(
        () => pollsEveryMs,
        () => void this.#shell.visit(),
      )
    for (const { from } of season.faults.outages)
      this.#queue.add(from, () => {
        note('OUTAGE')
        this.#shell.die()
      })
  }

  run(): Outcome {
    let broken: Outcome['broken'] = null
    try {
      this.#live()
    } catch (error) {
      const isFound = error instanceof Broken
      const text = isFound ? error.message : String(error instanceof Error ? error.stack : error)
      broken = { invariant: isFound ? error.invariant : 'I0', text }
      this.#trace.add(this.#platform.now, `BROKEN ${broken.invariant}: ${broken.text}`)
    }
    return {
      seed: this.#seed,
      broken,
      events: this.#shell.current.events.length,
      messages: this.#messages,
      crashes: this.#platform.crashes,
      steps: this.#steps,
      trace: this.#trace,
      looked: this.#watch.looked,
      household: this.#shell.current,
    }
  }

  #live(): void {
    for (;;) {
      this.#utility.planMischief()
      this.#watch.atRest(this.#shell.current)
      const item = this.#queue.take()
      if (item === undefined || item.at > this.#season.ends) break
      this.#steps += 1
      if (this.#steps > MOST_STEPS) throw new Broken('I12', 'It does not come to rest')
      this.#platform.now = item.at
      item.run()
    }
    this.#platform.now = this.#season.ends
    this.#watch.atEnd(this.#shell.current)
  }

  #openWays(chance: Chance): void {
    const { household } = this.#season
    const open = (id: string, kind: Way['kind'], person: string | null, address: string) =>
      this.#ways.set(
        id,
        new Way({ id, kind, person, address }, this.#season, this.#platform, chance),
      )
    for (const { id, person, target } of household.channels)
      open(id, target.kind, person, addressOf(target))
    const { webhook } = household.settings
    if (webhook !== null) open(WEBHOOK, 'webhook', null, webhook.url)
  }

  #send(call: Call): Answer {
    const { delivery, message, text } = call
    const way = this.#ways.get(delivery.channel)
    if (way === undefined) throw new Broken('I15', `${delivery.channel} is no channel`)
    this.#messages += 1
    const answer = way.call(call, (afterMs, isDouble) => {
      this.#watch.arrived(call, isDouble)
      const { person } = way
      if (delivery.purpose === 'settle' || person === null) return
      this.#platform.after(afterMs, () => {
        this.#trace.add(this.#platform.now, `${person} is shown ${delivery.id} by ${way.kind}`)
        this.#residents.isShown(person, message.key, delivery.channel)
      })
    })
    const { outcome } = answer
    const why = 'note' in outcome ? ` (${outcome.note})` : ''
    const line = `-> ${delivery.id} by ${way.kind}: ${outcome.kind}${why} | ${text}`
    this.#trace.add(this.#platform.now, line)
    return answer
  }
}
