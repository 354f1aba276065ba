// A season lived through: the utility announces and thinks better of it, people are told and answer, calendars poll, things
// fail. Time jumps from what happens to what happens next.

import { HOUR_MS, type Instant, MINUTE_MS, asInstant } from '../../src/plan/index.ts'
import {
  type Command,
  type Household,
  type Reminder,
  WEBHOOK,
  addressOf,
  isOpen,
  nextWake,
  plannedEvent,
} from '../../src/reminder/index.ts'
import { HouseBattery } from './battery.ts'
import type { Break } from './breaks.ts'
import type { Behaviour } from './people.ts'
import { Platform } from './platform.ts'
import { Queue } from './queue.ts'
import { Chance } from './random.ts'
import { type Mischief, type Season, drawSeason } from './season.ts'
import { Broken, type Call, REAL_PARTS, Shell } from './shell.ts'
import { Trace } from './trace.ts'
import { Watch } from './watch.ts'
import { Way } from './ways.ts'

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
export function runSeason(seed: number, broken: Break | null = null): Outcome {
  const world = new World(seed, broken)
  return world.run()
}

class World {
  readonly #seed: number
  readonly #season: Season
  readonly #chance: Chance
  readonly #queue: Queue
  readonly #platform: Platform
  readonly #shell: Shell
  readonly #watch: Watch
  readonly #trace: Trace
  readonly #ways = new Map<string, Way>()
  readonly #battery: HouseBattery
  /** Events by the number of their announcement. */
  readonly #eventIds = new Map<number, string>()
  readonly #mischiefs: { readonly it: Mischief; at: Instant | null; done: boolean }[]
  #steps = 0
  #messages = 0

  constructor(seed: number, broken: Break | null) {
    const chance = new Chance(seed)
    this.#seed = seed
    const season = drawSeason(seed, chance.apart())
    this.#season = season
    this.#chance = chance.apart()
    this.#queue = new Queue(chance.apart())
    this.#trace = new Trace(season.household.settings.timeZone)
    const note = (text: string) => this.#trace.add(this.#platform.now, text)
    this.#platform = new Platform(season.begins, this.#queue, chance.apart(), season.faults, note)
    this.#battery = new HouseBattery(season, chance.apart())
    const parts = { ...REAL_PARTS, ...broken?.parts }
    const current = () => this.#shell.current
    this.#watch = new Watch(season, this.#platform, this.#trace, this.#ways, parts, current)
    this.#shell = new Shell(
      season.household,
      this.#platform,
      chance.apart(),
      parts,
      (call) => this.#called(call, this.#wayOf(call)),
      this.#watch,
    )
    const outside = chance.apart()
    const way = (id: string, kind: Way['kind'], person: string | null, address: string) =>
      this.#ways.set(id, new Way({ id, kind, person, address }, season, this.#platform, outside))
    for (const { id, person, target } of season.household.channels)
      way(id, target.kind, person, addressOf(target))
    const { webhook } = season.household.settings
    if (webhook !== null) way(WEBHOOK, 'webhook', null, webhook.url)
    this.#mischiefs = season.mischiefs.map((it) => ({ it, at: null, done: false }))
    this.#begin()
  }

  run(): Outcome {
    let broken: Outcome['broken'] = null
    try {
      this.#live()
    } catch (error) {
      broken =
        error instanceof Broken
          ? { invariant: error.invariant, text: error.message }
          : { invariant: 'I0', text: String(error instanceof Error ? error.stack : error) }
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
      household: this.#shell.current,
      looked: this.#watch.looked,
    }
  }

  #live(): void {
    for (;;) {
      this.#planMischief()
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

  #begin(): void {
    const { announcements, pollsEveryMs, faults, behaviours, household } = this.#season
    announcements.forEach(({ at, start, end }, i) => {
      this.#queue.add(at, () =>
        this.#persist(
          `announces ${this.#trace.clock(start)} to ${this.#trace.clock(end)}`,
          () => ({ type: 'announce', start, end }),
          () => {
            const made = this.#shell.current.events.findLast((each) => each.start === start)
            if (made !== undefined) this.#eventIds.set(i, made.id)
          },
        ),
      )
    })
    for (const { from } of faults.outages)
      this.#queue.add(from, () => {
        this.#trace.add(this.#platform.now, 'OUTAGE')
        this.#shell.die()
      })
    if (pollsEveryMs !== null)
      this.#every(
        () => pollsEveryMs,
        () => void this.#shell.visit(),
      )
    for (const [name, { looksEveryMs }] of behaviours)
      if (looksEveryMs !== null && household.settings.people.some((each) => each.name === name))
        this.#every(
          () => this.#chance.wait(looksEveryMs),
          () => this.#looks(name),
        )
    // Where nobody can be told outside, somebody looks at the page when it matters.
    if (household.channels.length === 0)
      this.#every(
        () => this.#chance.whole(20, 90) * MINUTE_MS,
        () => this.#looks('Rowan'),
      )
    if (!this.#season.calm) this.#changeChannels()
  }

  #every(waitMs: () => number, run: () => void): void {
    this.#platform.after(waitMs(), () => {
      run()
      this.#every(waitMs, run)
    })
  }

  /** Somebody wants something of the household and comes back until it is done. */
  #persist(
    what: string,
    command: (household: Household) => Command | null,
    done: () => void = () => {},
    tries = 6,
  ): void {
    this.#trace.add(this.#platform.now, what)
    if (this.#shell.perform(command)) return done()
    if (tries > 0)
      this.#platform.after(this.#chance.wait(3 * MINUTE_MS), () =>
        this.#persist(`${what} (again)`, command, done, tries - 1),
      )
  }

  #wayOf({ delivery }: Call): Way {
    const way = this.#ways.get(delivery.channel)
    if (way === undefined) throw new Broken('I15', `sent through ${delivery.channel}, which is not`)
    return way
  }

  #called(call: Call, way: Way) {
    const { delivery, message, text } = call
    this.#messages += 1
    const answer = way.call(call, (afterMs, isDouble) => {
      this.#watch.arrived(call, isDouble)
      if (delivery.purpose === 'settle' || way.person === null) return
      const { person } = way
      this.#platform.after(afterMs, () => {
        this.#trace.add(this.#platform.now, `${person} is shown ${delivery.id} by ${way.kind}`)
        this.#react(person, message.key, delivery.channel)
      })
    })
    const { outcome } = answer
    this.#trace.add(
      this.#platform.now,
      `-> ${delivery.id} by ${way.kind}: ${outcome.kind}${'note' in outcome ? ` (${outcome.note})` : ''} | ${text}`,
    )
    return answer
  }

  #looks(name: string): void {
    if (!this.#shell.visit()) return
    const asked = this.#shell.current.reminders.filter(({ state }) => state === 'sent')
    for (const { key } of asked) this.#react(name, key, null)
  }

  /** Somebody saw what was asked, and perhaps answers. */
  #react(name: string, key: string, channel: string | null): void {
    const behaviour = this.#season.behaviours.get(name)
    const kind = this.#shell.current.reminders.find((each) => each.key === key)?.kind
    if (behaviour === undefined || kind === undefined || kind === 'plan') return
    const { answersHands, answersReadings } = behaviour
    const asksForHands = kind !== 'reading' && kind !== 'outcome'
    if (!this.#chance.is(asksForHands ? answersHands : answersReadings)) return
    const through = this.#chance.is(behaviour.onThePage) ? null : channel
    const act = () => this.#answer(name, key, kind, through, behaviour)
    this.#platform.after(this.#answersIn(behaviour), act)
    if (this.#chance.is(behaviour.twice))
      this.#platform.after(this.#chance.wait(2 * behaviour.meanMs), act)
  }

  /** Sometimes at the very moment at which the household would ask again. */
  #answersIn({ meanMs }: Behaviour): number {
    const next = nextWake(this.#shell.current)
    const chance = this.#chance
    if (this.#season.calm) return chance.whole(5000, 60_000)
    if (next === null || next < this.#platform.now || !chance.is(0.15)) return chance.wait(meanMs)
    return Math.ceil(next) - this.#platform.now + chance.one([0, 1, 20, 40, 300, 2000])
  }

  #answer(
    name: string,
    key: string,
    kind: Reminder['kind'],
    channel: string | null,
    behaviour: Behaviour,
  ): void {
    const chance = this.#chance
    if (kind === 'reading' || kind === 'outcome') {
      const now = () => this.#platform.now
      const wrong = chance.is(behaviour.wrongReading)
      const lazily = kind === 'reading' && chance.is(behaviour.wrongReading / 2)
      this.#persist(`${name} answers ${key} ${lazily ? 'with done' : 'with a reading'}`, () =>
        lazily
          ? { type: 'acknowledge', key, by: name }
          : {
              type: 'reading',
              at: now(),
              socPct: wrong ? chance.whole(0, 100) : this.#battery.shows(now()),
            },
      )
      return
    }
    if (chance.is(behaviour.snoozes)) {
      const minutes = chance.one([5, 10, 10, 30, 120, 600])
      this.#persist(`${name} puts ${key} off by ${minutes} minutes`, () => ({
        type: 'snooze',
        key,
        minutes,
      }))
      return
    }
    this.#persist(
      `${name} answers ${key} with done ${channel === null ? 'on the page' : ''}`,
      () => ({
        type: 'acknowledge',
        key,
        by: name,
        ...(channel === null ? {} : { channel }),
      }),
    )
    this.#battery.touch(this.#platform.now, kind === 'hold' ? 'held' : 'runs')
    if (chance.is(behaviour.takesBack))
      this.#platform.after(chance.wait(4 * MINUTE_MS), () => {
        this.#battery.touch(this.#platform.now, kind === 'hold' ? 'runs' : 'held')
        this.#persist(`${name} takes ${key} back`, () => ({ type: 'reopen', key }))
      })
  }

  /** Now and then somebody sets a channel up anew, turns one off, or prefers another. */
  #changeChannels(): void {
    const chance = this.#chance
    this.#every(
      () => chance.whole(20, 200) * HOUR_MS,
      () => {
        const { channels } = this.#shell.current
        const channel = channels[chance.whole(0, Math.max(0, channels.length - 1))]
        if (channel === undefined) return
        const { id, person, label, target } = channel
        if (channel.state === 'off') {
          const way = this.#ways.get(id)
          if (way !== undefined) way.goneAt = null
          this.#persist(`${person} sets ${id} up again`, () => ({
            type: 'add-channel',
            person,
            label,
            target,
            state: 'on',
            replaces: id,
          }))
        } else if (chance.is(0.3))
          this.#persist(`${person} prefers ${id}`, () => ({
            type: 'prefer-channel',
            channelId: id,
          }))
        else if (chance.is(0.2))
          this.#persist(`${person} turns ${id} off`, () => ({
            type: 'turn-channel',
            channelId: id,
            to: 'off',
          }))
      },
    )
  }

  /** Changes of mind come at an instant that hurts: looked up anew after each step, as plans move. */
  #planMischief(): void {
    for (const each of this.#mischiefs) {
      if (each.done) continue
      const at = this.#instantOf(each.it)
      if (at === each.at) continue
      each.at = at
      if (at === null || at < this.#platform.now) continue
      this.#queue.add(at, () => {
        if (each.done || each.at !== at) return
        each.done = true
        this.#doMischief(each.it)
      })
    }
  }

  #instantOf({ of, anchor, offsetMs }: Mischief): Instant | null {
    const { saved } = this.#shell
    const id = this.#eventIds.get(of)
    const event = saved.events.find((each) => each.id === id)
    if (id === undefined || event === undefined || event.state === 'cancelled') return null
    const plan = plannedEvent(saved, id)
    const dueOf = (kind: Reminder['kind']) =>
      saved.reminders.findLast((each) => each.kind === kind && each.eventId === id && isOpen(each))
        ?.dueAt ?? null
    const at = {
      'hold-due': dueOf('hold'),
      'hold-by': plan?.holdBy ?? null,
      'release-due': dueOf('release'),
      release: plan?.releaseAt ?? null,
      start: event.start,
      end: event.end,
      any: asInstant((event.changedAt + event.start) / 2),
    }[anchor]
    return at === null ? null : asInstant(Math.round(at + offsetMs))
  }

  #doMischief({ of, what, byMs }: Mischief): void {
    const eventId = this.#eventIds.get(of) ?? ''
    this.#persist(`the utility ${what}s ${eventId} (${byMs / MINUTE_MS} min)`, (household) => {
      const event = household.events.find((each) => each.id === eventId)
      if (event === undefined) return null
      return what === 'cancel'
        ? { type: 'cancel', eventId }
        : {
            type: 'move',
            eventId,
            start: asInstant(event.start + byMs),
            end: asInstant(event.end + byMs),
          }
    })
  }
}
