// What came of an attempt to send, recorded: taken, to be tried again, refused, gone, moved (R11, R22).

import { type Instant, asInstant } from '../plan/index.ts'
import { reminderWords as say } from '../words/index.ts'
import { type ChannelResult, addressOf } from './channels.ts'
import { withMessage } from './messages.ts'
import { WEBHOOK, change, withNextInTurn } from './outbox.ts'
import { MAX_ATTEMPTS } from './timing.ts'
import type { Delivery, Household } from './types.ts'

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
