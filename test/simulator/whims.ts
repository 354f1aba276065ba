// What a household changes now and then: its channels, who is there when, how it is set up.

import { HOUR_MS } from '../../src/plan/index.ts'
import type { Settings } from '../../src/reminder/index.ts'
import type { Doing } from './doing.ts'
import type { Way } from './ways.ts'

export class Whims {
  readonly #doing: Doing
  readonly #ways: ReadonlyMap<string, Way>

  constructor(doing: Doing, ways: ReadonlyMap<string, Way>) {
    this.#doing = doing
    this.#ways = ways
    const { chance, season } = doing
    if (season.calm) return
    doing.every(
      () => chance.whole(20, 200) * HOUR_MS,
      () => this.#changeChannels(),
    )
    if (season.changesSettings)
      doing.every(
        () => chance.whole(10, 200) * HOUR_MS,
        () => this.#changeSettings(),
      )
  }

  #changeChannels(): void {
    const { shell, chance } = this.#doing
    const { channels } = shell.current
    const channel = channels[chance.whole(0, Math.max(0, channels.length - 1))]
    if (channel === undefined) return
    const { id, person, label, target } = channel
    if (channel.state === 'off') {
      const way = this.#ways.get(id)
      if (way !== undefined) way.goneAt = null
      this.#doing.persist(`${person} sets ${id} up again`, () => ({
        type: 'add-channel',
        person,
        label,
        target,
        state: 'on',
        replaces: id,
      }))
    } else if (chance.is(0.3))
      this.#doing.persist(`${person} prefers ${id}`, () => ({
        type: 'prefer-channel',
        channelId: id,
      }))
    else if (chance.is(0.4))
      this.#doing.persist(`${person} turns ${id} off`, () => ({
        type: 'turn-channel',
        channelId: id,
        to: 'off',
      }))
    else if (chance.is(0.1))
      this.#doing.persist(`${person} removes ${id}`, () => ({
        type: 'remove-channel',
        channelId: id,
      }))
  }

  #changeSettings(): void {
    const { chance, season } = this.#doing
    const first = season.household.settings
    const change = chance.one<Partial<Settings>>([
      { loadKw: first.loadKw * chance.one([0.5, 1.5]) },
      { people: first.people.slice(1) },
      { people: first.people },
      { people: first.people.map((each) => ({ ...each, quiet: null })) },
      { nightCharge: null },
      { nightCharge: { from: '00:30', until: '05:00' } },
      { margin: { pct: chance.one([0, 15]) } },
      { releaseLeadMinutes: chance.one([0, 5, 15]) },
      { battery: { ...first.battery, outageReservePct: chance.one([0, 30]) } },
    ])
    const what = `the household sets ${Object.keys(change).join()}`
    this.#doing.persist(what, ({ settings }) => ({
      type: 'settings',
      settings: { ...settings, ...change },
      from: settings,
    }))
  }
}
