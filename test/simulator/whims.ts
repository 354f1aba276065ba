// What a household changes now and then: its channels, who is there when, how it is set up.

import { HOUR_MS } from '../../src/plan/index.ts'
import type { Settings } from '../../src/reminder/index.ts'
import type { Doing } from './doing.ts'
import type { Way } from './ways.ts'

export function beginWhims(doing: Doing, ways: ReadonlyMap<string, Way>): void {
  const { chance, season } = doing
  if (season.calm) return
  doing.every(
    () => chance.whole(20, 200) * HOUR_MS,
    () => changeChannels(doing, ways),
  )
  if (season.changesSettings)
    doing.every(
      () => chance.whole(10, 200) * HOUR_MS,
      () => changeSettings(doing),
    )
}

function changeChannels(doing: Doing, ways: ReadonlyMap<string, Way>): void {
  const { shell, chance } = doing
  const { channels } = shell.current
  const channel = channels[chance.whole(0, Math.max(0, channels.length - 1))]
  if (channel === undefined) return
  const { id: channelId, person, label, target, state } = channel
  if (state === 'off') {
    const way = ways.get(channelId)
    if (way !== undefined) way.goneAt = null
    doing.persist(`${person} sets ${channelId} up again`, () => ({
      type: 'add-channel',
      person,
      label,
      target,
      state: 'on',
      replaces: channelId,
    }))
    return
  }
  const what = chance.one(['nothing', 'nothing', 'prefers', 'prefers', 'turns off', 'removes'])
  if (what === 'nothing') return
  doing.persist(`${person} ${what} ${channelId}`, () =>
    what === 'prefers'
      ? { type: 'prefer-channel', channelId }
      : what === 'removes'
        ? { type: 'remove-channel', channelId }
        : { type: 'turn-channel', channelId, to: 'off' },
  )
}

function changeSettings(doing: Doing): void {
  const { chance, season } = doing
  const first = season.household.settings
  const { people, battery } = first
  const change = chance.one<Partial<Settings>>([
    { loadKw: first.loadKw * chance.one([0.5, 1.5]) },
    { people: people.slice(1) },
    { people },
    { people: people.map((each) => ({ ...each, quiet: null })) },
    { nightCharge: null },
    { nightCharge: { from: '00:30', until: '05:00' } },
    { margin: { pct: chance.one([0, 15]) } },
    { releaseLeadMinutes: chance.one([0, 5, 15]) },
    { battery: { ...battery, outageReservePct: chance.one([0, 30]) } },
  ])
  doing.persist(`the household sets ${Object.keys(change).join()}`, ({ settings }) => ({
    type: 'settings',
    settings: { ...settings, ...change },
    from: settings,
  }))
}
