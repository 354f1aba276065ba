// The people of the house: they are shown what is asked, look at the page, and answer in their ways.

import { MINUTE_MS } from '../../src/plan/index.ts'
import { type Reminder, nextWake, upcoming } from '../../src/reminder/index.ts'
import { HouseBattery } from './battery.ts'
import type { Doing } from './doing.ts'
import type { Behaviour } from './people.ts'

export class Residents {
  readonly #doing: Doing
  readonly #battery: HouseBattery

  constructor(doing: Doing) {
    this.#doing = doing
    this.#battery = new HouseBattery(doing.season, doing.chance.apart())
    const { behaviours, household } = doing.season
    const { people } = household.settings
    for (const [name, { looksEveryMs }] of behaviours)
      if (looksEveryMs !== null && people.some((each) => each.name === name))
        doing.every(
          () => doing.chance.wait(looksEveryMs),
          () => this.#looks(name),
        )
    // Where nobody can be told outside, somebody looks at the page when it matters.
    if (household.channels.length === 0)
      doing.every(
        () => doing.chance.whole(20, 90) * MINUTE_MS,
        () => this.#looks('Rowan'),
      )
  }

  /** Somebody saw what was asked, and perhaps answers. */
  isShown(name: string, key: string, channel: string | null): void {
    const { season, shell, chance, platform } = this.#doing
    const behaviour = season.behaviours.get(name)
    const kind = shell.current.reminders.find((each) => each.key === key)?.kind
    if (behaviour === undefined || kind === undefined || kind === 'plan') return
    const asksForFigure = kind === 'reading' || kind === 'outcome'
    const { answersHands, answersReadings, onThePage, twice, meanMs } = behaviour
    if (!chance.is(asksForFigure ? answersReadings : answersHands)) return
    const through = chance.is(onThePage) ? null : channel
    const act = () =>
      asksForFigure
        ? this.#answerWithFigure(name, key, kind, behaviour)
        : this.#answerWithHands(name, key, kind, through, behaviour)
    platform.after(this.#answersIn(behaviour), act)
    if (chance.is(twice)) platform.after(chance.wait(2 * meanMs), act)
  }

  #looks(name: string): void {
    const { shell, chance } = this.#doing
    if (!shell.visit()) return
    const asked = shell.current.reminders.filter(({ state }) => state === 'sent')
    for (const { key } of asked) this.isShown(name, key, null)
    if (chance.is(0.05)) this.#holdsUnasked(name)
  }

  /** Sometimes at the very moment at which the household would ask again. */
  #answersIn({ meanMs }: Behaviour): number {
    const { season, shell, chance, platform } = this.#doing
    if (season.calm) return chance.whole(5000, 60_000)
    const next = nextWake(shell.current)
    if (next === null || next < platform.now || !chance.is(0.15)) return chance.wait(meanMs)
    return Math.ceil(next) - platform.now + chance.one([0, 1, 20, 40, 300, 2000])
  }

  #answerWithFigure(name: string, key: string, kind: Reminder['kind'], behaviour: Behaviour): void {
    const { chance, platform } = this.#doing
    if (kind === 'reading' && chance.is(behaviour.wrongReading / 2)) {
      this.#doing.persist(`${name} answers ${key} with done`, () => ({
        type: 'acknowledge',
        key,
        by: name,
      }))
      return
    }
    const wrong = chance.is(behaviour.wrongReading)
    this.#doing.persist(`${name} answers ${key} with a reading`, () => ({
      type: 'reading',
      at: platform.now,
      socPct: wrong ? chance.whole(0, 100) : this.#battery.shows(platform.now),
    }))
  }

  #answerWithHands(
    name: string,
    key: string,
    kind: Reminder['kind'],
    channel: string | null,
    behaviour: Behaviour,
  ): void {
    const { chance, platform } = this.#doing
    if (chance.is(behaviour.snoozes)) {
      const minutes = chance.one([5, 10, 10, 30, 120, 600])
      this.#doing.persist(`${name} puts ${key} off by ${minutes} minutes`, () => ({
        type: 'snooze',
        key,
        minutes,
      }))
      return
    }
    const where = channel === null ? 'on the page' : `by ${channel}`
    const by = channel === null ? { by: name } : { by: name, channel }
    this.#doing.persist(`${name} answers ${key} with done ${where}`, () => ({
      type: 'acknowledge',
      key,
      ...by,
    }))
    this.#battery.touch(platform.now, kind === 'hold' ? 'held' : 'runs')
    if (!chance.is(behaviour.takesBack)) return
    platform.after(chance.wait(4 * MINUTE_MS), () => {
      this.#battery.touch(platform.now, kind === 'hold' ? 'runs' : 'held')
      this.#doing.persist(`${name} takes ${key} back`, () => ({ type: 'reopen', key }))
    })
  }

  #holdsUnasked(name: string): void {
    const { shell, platform } = this.#doing
    const event = upcoming(shell.current, platform.now)[0]
    if (event === undefined) return
    const eventId = event.id
    this.#battery.touch(platform.now, 'held')
    this.#doing.persist(`${name} holds for ${eventId}, unasked`, () => ({
      type: 'held',
      eventId,
      by: name,
    }))
  }
}
