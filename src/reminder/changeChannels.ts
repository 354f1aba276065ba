// Channels added, preferred, turned off and removed.

import { type Result, ok, refuse } from '../plan/index.ts'
import { type HouseholdChannel, addressOf } from './channels.ts'
import type { Command, CommandRefusal } from './commands.ts'
import { withChannelResult } from './attempts.ts'
import type { Household, Settings } from './types.ts'

/** A family, each with a phone, a mail address and a chat, and more. */
const MOST_CHANNELS = 20

type Changed = Result<Household, CommandRefusal>
type Asked<Type extends Command['type']> = Extract<Command, { type: Type }>

/** Adds a channel as the last of its person's. One that leads to the same place keeps its id, and so what was sent by it. */
export function withChannel(household: Household, asked: Asked<'add-channel'>): Changed {
  const { person, label, target, state } = asked
  const same = household.channels.find(
    (each) =>
      each.id === asked.replaces ||
      (each.target.kind === target.kind &&
        (addressOf(each.target) === addressOf(target) || isRenewed(each, asked))),
  )
  if (same === undefined && household.channels.length >= MOST_CHANNELS)
    return refuse({ reason: 'too_many_channels', limit: MOST_CHANNELS })
  const channel: HouseholdChannel = {
    id: same?.id ?? freshId(household),
    person,
    label,
    target,
    state: same?.state === 'on' && addressOf(same.target) === addressOf(target) ? 'on' : state,
    last: same?.last ?? null,
  }
  const channels =
    same === undefined
      ? [...household.channels, channel]
      : household.channels.map((each) => (each === same ? channel : each))
  return ok({ ...household, channels })
}

/** A browser that subscribes anew gets another address; it is the same phone of the same person. */
const isRenewed = (known: HouseholdChannel, { person, label, target }: Asked<'add-channel'>) =>
  target.kind === 'push' &&
  known.state === 'off' &&
  known.person === person &&
  known.label === label

/** An id that was used before is not used again: what is on its way carries it. */
function freshId({ channels, deliveries }: Household): string {
  const used = [...channels.map(({ id }) => id), ...deliveries.map(({ channel }) => channel)]
  const numbers = used.map((id) => Number(/^c(\d+)$/.exec(id)?.[1] ?? 0))
  return `c${1 + Math.max(0, ...numbers)}`
}

export const withChannelTurned = (
  household: Household,
  { channelId, to }: Asked<'turn-channel'>,
): Changed =>
  changed(household, channelId, (channels) =>
    channels.map((each) => (each.id === channelId ? { ...each, state: to } : each)),
  )

export const withoutChannel = (household: Household, channelId: string): Changed =>
  changed(household, channelId, (channels) => channels.filter(({ id }) => id !== channelId))

export const withChannelFirst = (household: Household, channelId: string): Changed =>
  changed(household, channelId, (channels) => [
    ...channels.filter(({ id }) => id === channelId),
    ...channels.filter(({ id }) => id !== channelId),
  ])

/** A test says of the channel what a reminder would; one that is gone is switched off. */
export function withChannelTested(
  household: Household,
  { channelId, result, address }: Asked<'tested-channel'>,
): Changed {
  const tested = household.channels.find(({ id }) => id === channelId)
  if (tested === undefined || addressOf(tested.target) !== address) return ok(household)
  const known = withChannelResult(household, channelId, result)
  if (result.outcome !== 'gone') return ok(known)
  return withChannelTurned(known, { type: 'turn-channel', channelId, to: 'off' })
}

/** Who is called otherwise from now on, in the same place of the list, keeps their channels. Who is listed no more is told as somebody of the house. */
export function withOwnersRenamed(
  channels: readonly HouseholdChannel[],
  { people: before }: Settings,
  { people: after }: Settings,
): readonly HouseholdChannel[] {
  if (before === after || before.length !== after.length) return channels
  const there = new Set(after.map(({ name }) => name))
  const renamed = new Map(
    before
      .map(({ name }, i) => [name, after[i]?.name ?? name] as const)
      .filter(([name]) => !there.has(name)),
  )
  return channels.map((each) => ({ ...each, person: renamed.get(each.person) ?? each.person }))
}

function changed(
  household: Household,
  channelId: string,
  change: (channels: readonly HouseholdChannel[]) => readonly HouseholdChannel[],
): Changed {
  return household.channels.some(({ id }) => id === channelId)
    ? ok({ ...household, channels: change(household.channels) })
    : refuse({ reason: 'no_such_channel', channelId })
}
