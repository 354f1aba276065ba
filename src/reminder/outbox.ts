// The outbox: each send is on record before it is tried, has an id that never changes, and is given up
// when it would come too late to be of use (at least once; no double send on the usual path).

import { type Instant, asInstant } from '../plan/index.ts'
import { reminderWords as say } from '../words/index.ts'
import { type ChannelResult, addressOf } from './channels.ts'
import { channelsFor, isAsleep, isUrgent, nextInTurn } from './ladder.ts'
import { withMessage } from './messages.ts'
import { LEASE_MS, MAX_ATTEMPTS } from './timing.ts'
import type { Delivery, Household, Reminder } from './types.ts'

/** What came of one attempt. */
export type Attempt =
  /** `handle`: what the channel calls the message. */
  | { readonly kind: 'accepted'; readonly handle?: string }
  /** `doubtful`: it may have arrived all the same. */
  | {
      readonly kind: 'try-again'
      readonly afterMs: number
      readonly note: string
      readonly doubtful?: boolean
    }
  /** This message will never be taken. */
  | { readonly kind: 'refused'; readonly note: string }
  /** The address wants nothing, ever: this one, whatever is set by now. */
  | { readonly kind: 'gone'; readonly note: string; readonly address: string }
  /** The chat goes by another id from now on. */
  | { readonly kind: 'moved'; readonly note: string; readonly chatId: string }

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

const queued = (now: Instant) =>
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

/** What the reminders that were open and now are not left outside is to say so (R23). `by`: the channel of the answer, if it came by one. */
export function withSettling(
  before: Household,
  household: Household,
  by: string | null,
  now: Instant,
): Household {
  const was = new Map(before.reminders.map((each) => [each.key, each.state]))
  const outBefore = new Set(before.deliveries.filter(isOutThere).map(({ id }) => id))
  const over = household.reminders.filter(
    ({ key, state }) => was.has(key) && state !== 'sent' && state !== 'waiting',
  )
  const added = over.flatMap((reminder) =>
    household.deliveries
      .filter((each) => each.reminderKey === reminder.key && isOutThere(each))
      // It is over now, or was when the channel took it.
      .filter(({ id }) => was.get(reminder.key) === 'sent' || !outBefore.has(id))
      .filter((each) => wantsSettling(household, each, reminder, by))
      .map((each): Delivery => ({ ...each, ...queued(now), ...settling(each, household) })),
  )
  return added.length === 0
    ? household
    : { ...household, deliveries: [...household.deliveries, ...added] }
}

/** Taken by the channel, or perhaps. */
const isOutThere = ({ purpose, state }: Delivery): boolean =>
  purpose === 'ask' && state === 'accepted'

function settling(ask: Delivery, { deliveries }: Household): Partial<Delivery> {
  const times = deliveries.filter(({ id }) => id.startsWith(`${ask.id}_over`)).length
  return { purpose: 'settle', id: `${ask.id}_over${times + 1}`, handle: ask.handle }
}

/** A chat's message loses its buttons; a notification that may still be shown is replaced, but not where it was just tapped, nor for nothing. A mail stays as it is. */
function wantsSettling(
  household: Household,
  ask: Delivery,
  { state }: Reminder,
  by: string | null,
): boolean {
  const kind = household.channels.find(({ id }) => id === ask.channel)?.target.kind
  if (ask.handle === null || kind === undefined || kind === 'mail') return false
  if (kind === 'telegram') return true
  return state !== 'lapsed' && ask.channel !== by
}

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

/** Records what came of an attempt, and turns to the next channel when it failed (R22). */
export function withAttempt(
  household: Household,
  deliveryId: string,
  attempt: Attempt,
  now: Instant,
): Household {
  const delivery = household.deliveries.find((each) => each.id === deliveryId)
  // An answer that comes back after the row was given up or accepted changes nothing.
  if (delivery?.state !== 'sending') return household
  const recorded = withResult(household, delivery, attempt, now)
  switch (attempt.kind) {
    case 'accepted':
      return change(recorded, deliveryId, {
        state: 'accepted',
        nextAt: null,
        note: null,
        acceptedAt: now,
        handle: attempt.handle ?? delivery.handle,
      })
    case 'try-again': {
      const nextAt = asInstant(now + attempt.afterMs)
      const reminder = household.reminders.find((each) => each.key === delivery.reminderKey)
      const tooLate = delivery.purpose === 'ask' && nextAt >= (reminder?.uselessAfter ?? now)
      const isLast = delivery.attempts >= MAX_ATTEMPTS || tooLate
      const doubtful = delivery.doubtful || attempt.doubtful === true
      const next = isLast
        ? ({ state: 'dropped', nextAt: null } as const)
        : ({ state: 'queued', nextAt } as const)
      const tried = change(recorded, deliveryId, { ...next, note: attempt.note, doubtful })
      return withNextInTurn(tried, delivery, now)
    }
    case 'refused':
      return withNextInTurn(dropped(recorded, delivery, attempt.note), delivery, now)
    case 'gone':
      return withNextInTurn(
        withChannelOff(dropped(recorded, delivery, attempt.note), delivery, attempt.address, now),
        delivery,
        now,
      )
    case 'moved': {
      const { chatId } = attempt
      const channels = recorded.channels.map((each) =>
        each.id === delivery.channel && each.target.kind === 'telegram'
          ? { ...each, target: { ...each.target, chatId } }
          : each,
      )
      return change({ ...recorded, channels }, deliveryId, { state: 'queued', nextAt: now })
    }
  }
}

const dropped = (household: Household, { id }: Delivery, note: string): Household =>
  change(household, id, { state: 'dropped', nextAt: null, note })

/** Nobody has this sending yet, and nothing else is on its way: the next channel's turn. */
function withNextInTurn(household: Household, delivery: Delivery, now: Instant): Household {
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

/** How the last attempt through each channel went, for its owner to see. */
function withResult(
  household: Household,
  { channel, purpose }: Delivery,
  attempt: Attempt,
  now: Instant,
): Household {
  if (purpose === 'settle' || attempt.kind === 'moved') return household
  const outcome =
    attempt.kind === 'accepted' ? 'delivered' : attempt.kind === 'gone' ? 'gone' : 'unreachable'
  const note = attempt.kind === 'accepted' ? null : attempt.note
  return withChannelResult(household, channel, { at: now, outcome, note })
}

export const withChannelResult = (
  household: Household,
  channelId: string,
  last: ChannelResult,
): Household => ({
  ...household,
  channels: household.channels.map((each) => (each.id === channelId ? { ...each, last } : each)),
})

/** A channel that says it is gone is switched off, and the household told; unless it leads elsewhere by now. */
function withChannelOff(
  household: Household,
  { channel }: Delivery,
  address: string,
  now: Instant,
): Household {
  if (channel === WEBHOOK) {
    if (household.settings.webhook?.url !== address) return household
    const off = { ...household, settings: { ...household.settings, webhook: null } }
    return withMessage(off, now, 'holdbell', say.webhookOff)
  }
  const gone = household.channels.find(({ id }) => id === channel)
  if (gone === undefined || addressOf(gone.target) !== address) return household
  const channels = household.channels.map((each) =>
    each === gone ? { ...each, state: 'off' as const } : each,
  )
  return withMessage(
    { ...household, channels },
    now,
    'holdbell',
    say.channelOff(gone.person, gone.label),
  )
}

const change = (household: Household, id: string, changed: Partial<Delivery>): Household => ({
  ...household,
  deliveries: household.deliveries.map((each) => (each.id === id ? { ...each, ...changed } : each)),
})
