// What is out there of a reminder that is over: a chat's buttons, a notification. It is to say so (R23).

import type { Instant } from '../plan/index.ts'
import { queued } from './outbox.ts'
import type { Delivery, Household, Reminder } from './types.ts'

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
