// The outbox: each send is on record before it is tried, has an id that never changes, and is given up
// when it would come too late to be of use (at least once; no double send on the usual path).

import { type Instant, asInstant } from '../plan/index.ts'
import { channelsFor, isAsleep, isUrgent, nextInTurn } from './ladder.ts'
import { LEASE_MS, MAX_ATTEMPTS } from './timing.ts'
import type { Delivery, Household, Reminder } from './types.ts'

export const WEBHOOK = 'webhook'

/** Puts one sending of a reminder into the outbox: to the webhook, which is told of all, and to whom it is the turn of. */
export function withSending(household: Household, reminder: Reminder, now: Instant): Household {
  const webhook = household.settings.webhook === null ? [] : [WEBHOOK]
  const channels = channelsFor(household, reminder, now).map(({ id }) => id)
  const added = [...webhook, ...channels].map((each) => newAsk(household, reminder, each, now))
  return added.length === 0
    ? household
    : { ...household, deliveries: [...household.deliveries, ...added] }
}

function newAsk({ id }: Household, reminder: Reminder, channel: string, now: Instant): Delivery {
  const { key, kind, repeat } = reminder
  const to = channel === WEBHOOK ? '' : `_${channel}`
  return {
    ...queued(now),
    id: `msg_${id}_${key}_${repeat}${to}`,
    reminderKey: key,
    kind,
    repeat,
    channel,
  }
}

export const queued = (now: Instant) =>
  ({
    purpose: 'ask',
    state: 'queued',
    attempts: 0,
    nextAt: now,
    note: null,
    acceptedAt: null,
    handle: null,
    doubtful: false,
  }) as const

/** Marks what is to be tried now as being sent, and says which. A row whose lease ran out is tried again. */
export function withAttempts(
  household: Household,
  now: Instant,
): { readonly household: Household; readonly due: readonly string[] } {
  const isDue = ({ nextAt }: Delivery) => nextAt !== null && nextAt <= now
  // One whose channel was taken away meanwhile, or whose person went to sleep, goes to the next in turn.
  const homeless = household.deliveries.filter(
    (each) => isDue(each) && (!isThere(household, each.channel) || wouldWake(household, each, now)),
  )
  const housed = homeless.reduce(
    (state, each) => withNextInTurn(givenUp(state, each), each, now),
    household,
  )
  // What is not wanted any more is given up before its time, or a second thought would send old words.
  const due = housed.deliveries.filter(
    (each) => isDue(each) || (each.state === 'queued' && !stillWanted(housed, each.id, now)),
  )
  const next = due.reduce(
    (state, each) =>
      stillWanted(state, each.id, now)
        ? change(state, each.id, {
            state: 'sending',
            attempts: each.attempts + 1,
            nextAt: asInstant(now + LEASE_MS),
            doubtful: isDoubtful(each),
          })
        : givenUp(state, each),
    housed,
  )
  const sending = due.filter((each) => stillWanted(next, each.id, now)).map((each) => each.id)
  return { household: next, due: sending }
}

/** What of a reminder waits to be tried, or was lost, is not: somebody put it off. */
export const withPutOff = (household: Household, reminderKey: string, now: Instant): Household =>
  household.deliveries
    .filter((each) => each.purpose === 'ask' && each.reminderKey === reminderKey)
    .filter(
      (each) =>
        each.state === 'queued' ||
        (each.state === 'sending' && each.nextAt !== null && each.nextAt <= now),
    )
    .reduce(givenUp, household)

const givenUp = (household: Household, delivery: Delivery): Household =>
  change(household, delivery.id, {
    state: 'dropped',
    nextAt: null,
    note: 'no longer needed',
    doubtful: isDoubtful(delivery),
  })

/** Its lease ran out while it was being sent: nobody knows how that ended. */
const isDoubtful = ({ doubtful, state }: Delivery): boolean => doubtful || state === 'sending'

/** Whether a send still asks for something: checked again just before it goes out. */
export function stillWanted(household: Household, deliveryId: string, now: Instant): boolean {
  const delivery = household.deliveries.find((each) => each.id === deliveryId)
  const reminder = household.reminders.find((each) => each.key === delivery?.reminderKey)
  if (delivery === undefined || reminder === undefined) return false
  if (delivery.nextAt === null || delivery.attempts > MAX_ATTEMPTS) return false
  if (!isThere(household, delivery.channel)) return false
  if (delivery.purpose === 'settle') return reminder.state !== 'sent'
  return (
    reminder.state === 'sent' &&
    !wouldWake(household, delivery, now) &&
    reminder.repeat === delivery.repeat &&
    now < reminder.uselessAfter &&
    !wasToldOtherwise(household, delivery)
  )
}

/** It is meant for somebody who is asleep by now. */
function wouldWake(household: Household, { purpose, channel }: Delivery, now: Instant): boolean {
  const person = household.channels.find(({ id }) => id === channel)?.person
  return purpose === 'ask' && person !== undefined && isAsleep(household, person, now)
}

/** Its channel is still there and on. */
function isThere({ settings, channels }: Household, channel: string): boolean {
  if (channel === WEBHOOK) return settings.webhook !== null
  return channels.some(({ id, state }) => id === channel && state === 'on')
}

/** A try that failed is not made again once the same person has that sending by another channel, or anybody where it is for one alone. */
function wasToldOtherwise(household: Household, delivery: Delivery): boolean {
  const personOf = (id: string) => household.channels.find((each) => each.id === id)?.person
  const person = personOf(delivery.channel)
  if (person === undefined || delivery.note === null) return false
  return sameSending(household, delivery).some(
    (each) =>
      each.state === 'accepted' &&
      each.channel !== WEBHOOK &&
      (!isUrgent(delivery) || personOf(each.channel) === person),
  )
}

const sameSending = ({ deliveries }: Household, { reminderKey, repeat }: Delivery) =>
  deliveries.filter(
    (each) => each.purpose === 'ask' && each.reminderKey === reminderKey && each.repeat === repeat,
  )

/** Nobody has this sending yet, and nothing else is on its way: the next channel's turn. */
export function withNextInTurn(household: Household, delivery: Delivery, now: Instant): Household {
  const reminder = household.reminders.find(({ key }) => key === delivery.reminderKey)
  if (delivery.purpose !== 'ask' || delivery.channel === WEBHOOK) return household
  if (reminder?.state !== 'sent' || reminder.repeat !== delivery.repeat) return household
  const tried = sameSending(household, delivery).filter(({ channel }) => channel !== WEBHOOK)
  const hopeful = tried.some(
    ({ state, note }) => state === 'accepted' || (state !== 'dropped' && note === null),
  )
  if (hopeful) return household
  const next = nextInTurn(household, new Set(tried.map(({ channel }) => channel)), now)
  if (next === null) return household
  const ask = newAsk(household, reminder, next.id, now)
  return { ...household, deliveries: [...household.deliveries, ask] }
}

export const change = (
  household: Household,
  id: string,
  changed: Partial<Delivery>,
): Household => ({
  ...household,
  deliveries: household.deliveries.map((each) => (each.id === id ? { ...each, ...changed } : each)),
})
