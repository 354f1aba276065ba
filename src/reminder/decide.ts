// The one place where a household changes: a command, the household and the time in; the next household
// and what is to be sent out. Saving and sending are the shell's.

import { type Instant, type Result, ok, refuse } from '../plan/index.ts'
import { reachWords, reminderWords as say } from '../words/index.ts'
import {
  withAcknowledgement,
  withHeld,
  withLatestAsking,
  withReading,
  withReopened,
  withSnooze,
} from './answers.ts'
import { withAttempt } from './attempts.ts'
import {
  withChannel,
  withChannelFirst,
  withChannelTested,
  withChannelTurned,
  withOwnersRenamed,
  withoutChannel,
} from './changeChannels.ts'
import { outrun } from './cheapest.ts'
import type { Command, CommandRefusal, Effect } from './commands.ts'
import { deadlineOf } from './deadline.ts'
import { changed, withCancellation, withEvents, withMove } from './events.ts'
import { withMessage } from './messages.ts'
import { withAttempts, withPutOff } from './outbox.ts'
import { isHeld, isUnplanned, missedCharge, replanned, upcoming } from './planning.ts'
import { isOpen, reconciled, replacedReminder } from './reconcile.ts'
import { withSettling } from './settling.ts'
import { answered, cancelled, noted, told } from './telling.ts'
import { formatOf } from './text.ts'
import { KEEP_MS } from './timing.ts'
import type { Household, HouseholdEvent, Settings } from './types.ts'
import { withDueSent } from './wake.ts'

export type Decision = {
  readonly household: Household
  readonly effects: readonly Effect[]
  /** What the command did, or why it was refused; then the household is as before but for what was due. */
  readonly outcome: Result<{ readonly eventId: string | null }, CommandRefusal>
}

type Applied = Result<
  { readonly household: Household; readonly eventId: string | null },
  CommandRefusal
>

/** Carries out a command. Whatever is due at `now` is sent in the same step. */
export function decide(command: Command, household: Household, now: Instant): Decision {
  const applied = apply(command, household, now)
  const after = applied.ok ? applied.value.household : household
  const current = command.type === 'wake' ? after : woken(after, now)
  const settled = pruned(withDueSent(reconciled(current, now), now), now)
  const by = command.type === 'acknowledge' ? (command.channel ?? null) : null
  const outside = withSettling(household, revised(household, settled), by, now)
  const { household: next, due } = withAttempts(outside, now)
  return {
    household: next,
    effects: due.map((deliveryId) => ({ type: 'send', deliveryId })),
    outcome: applied.ok ? ok({ eventId: applied.value.eventId }) : applied,
  }
}

/** What a waking would do now: the one that was armed may not come any more. */
function woken(household: Household, now: Instant): Household {
  const done = apply({ type: 'wake' }, household, now)
  return done.ok ? done.value.household : household
}

function apply(command: Command, before: Household, now: Instant): Applied {
  switch (command.type) {
    case 'announce': {
      const done = withEvents(before, [command, ...(command.more ?? [])], now)
      if (!done.ok) return done
      const { eventIds, household } = done.value
      // The first time that advice is given, what it cannot do is said before it.
      const first = before.events.length === 0
      const next = first ? withMessage(household, now, 'holdbell', say.firstCaution) : household
      return ok({
        eventId: eventIds[0] ?? null,
        household: told(before, replanned(next, now), eventIds, now),
      })
    }
    case 'move': {
      const { eventId } = command
      const done = withMove(before, eventId, command, now)
      if (!done.ok) return done
      const household = told(before, replanned(done.value.household, now), [eventId], now)
      return ok({ eventId, household })
    }
    case 'cancel': {
      const done = withCancellation(before, command.eventId, now)
      if (!done.ok) return done
      return ok({
        eventId: command.eventId,
        household: cancelled(before, done.value.household, command.eventId, now),
      })
    }
    case 'reading': {
      const read = withReading(before, command, now)
      if (!read.ok) return read
      const next = replanned(read.value, now)
      if (next.plan === null) return ok({ eventId: null, household: noted(next, command, now) })
      const asked = upcoming(next, now)
        .slice(0, 1)
        .map((event) => event.id)
      const f = formatOf(next)
      const word = (plan: string) => say.readingPlanned(f.pct(command.socPct), plan)
      return ok({
        eventId: null,
        household: told(before, next, asked, now, word),
      })
    }
    case 'acknowledge': {
      const done = withAcknowledgement(before, command.key, command.by, now)
      if (!done.ok) return done
      const { household, reminder } = done.value
      if (household === before) return ok({ eventId: reminder.eventId, household })
      return ok({
        eventId: reminder.eventId,
        household: answered(replanned(household, now), reminder, now),
      })
    }
    case 'held': {
      const event = upcoming(before, now).find((each) => each.id === command.eventId)
      if (event === undefined) return refuse({ reason: 'no_such_event', eventId: command.eventId })
      if (isHeld(event)) return ok({ eventId: event.id, household: before })
      const { household, reminder } = withHeld(before, event, command.by, now)
      return ok({
        eventId: event.id,
        household: answered(replanned(household, now), reminder, now),
      })
    }
    case 'reopen': {
      const done = withReopened(before, command.key, now)
      if (!done.ok) return done
      const next = replanned(done.value, now)
      const reminder = next.reminders.find((each) => each.key === command.key)
      const deadline = reminder === undefined ? now : deadlineOf(next, reminder)
      return ok({
        eventId: null,
        household: withLatestAsking(next, command.key, deadline, now),
      })
    }
    case 'snooze': {
      const reminder = before.reminders.find((each) => each.key === command.key)
      const deadline = reminder === undefined ? now : deadlineOf(before, reminder)
      const done = withSnooze(before, command.key, command.minutes, deadline, now)
      if (!done.ok) return done
      const text = say.snoozed(formatOf(before).time(done.value.until))
      return ok({
        eventId: null,
        household: withMessage(
          withPutOff(done.value.household, command.key, now),
          now,
          'holdbell',
          text,
        ),
      })
    }
    case 'settings': {
      const settings = mergedSettings(before.settings, command.from, command.settings)
      const channels = withOwnersRenamed(before.channels, before.settings, settings)
      const next = replanned({ ...before, settings, channels }, now)
      return ok({ eventId: null, household: told(before, next, [], now) })
    }
    case 'meter': {
      const next = replanned({ ...before, meter: command.meter }, now)
      return ok({ eventId: null, household: told(before, next, [], now) })
    }
    case 'add-channel':
      return quietly(withChannel(before, command))
    case 'turn-channel':
      return quietly(withChannelTurned(before, command))
    case 'remove-channel':
      return quietly(withoutChannel(before, command.channelId))
    case 'prefer-channel':
      return quietly(withChannelFirst(before, command.channelId))
    case 'tested-channel':
      return quietly(withChannelTested(before, command))
    case 'wake': {
      const missed = missedCharge(before, now)
      const unused = outrun(before, now)
      if (missed === undefined && unused === undefined && !isUnplanned(before, now))
        return ok({ eventId: null, household: before })
      const running = unused ? stillRunning(before, unused, now) : before
      const next = told(before, replanned(running, now), [], now)
      const askedFor = before.reminders.some(
        ({ kind, eventId, sentAt }) =>
          kind === 'overnight' && eventId === missed?.id && sentAt !== null,
      )
      return ok({
        eventId: null,
        household: askedFor ? withMessage(next, now, 'holdbell', reachWords.missedTopUp) : next,
      })
    }
    case 'attempted': {
      const { deliveryId, attempt } = command
      return ok({ eventId: null, household: withAttempt(before, deliveryId, attempt, now) })
    }
  }
}

/** A change that plans nothing anew and that nobody is told of. */
const quietly = (done: Result<Household, CommandRefusal>): Applied =>
  done.ok ? ok({ eventId: null, household: done.value }) : done

/** Nobody held it when it was to be: it runs, and what was asked for that hold is done with. */
function stillRunning(household: Household, event: HouseholdEvent, now: Instant): Household {
  const reminders = household.reminders.map((each) =>
    each.eventId === event.id && isOpen(each) && ['hold', 'release'].includes(each.kind)
      ? replacedReminder(each)
      : each,
  )
  return changed({ ...household, reminders }, { ...event, runsSince: now })
}

/** Counts every change that a calendar would show. */
function revised(before: Household, after: Household): Household {
  const same =
    before.events === after.events &&
    before.plan === after.plan &&
    before.settings === after.settings
  return same ? after : { ...after, revision: before.revision + 1 }
}

function mergedSettings(current: Settings, from: Settings, to: Settings): Settings {
  const changes = Object.entries(to).filter(
    ([name, value]) => JSON.stringify(value) !== JSON.stringify(from[name as keyof Settings]),
  )
  return { ...current, ...Object.fromEntries(changes) }
}

/** Forgets what nobody looks at any more. Events stay: the season is made of them. */
function pruned(household: Household, now: Instant): Household {
  const old = new Set(
    household.events.filter((each) => each.end < now - KEEP_MS).map((each) => each.id),
  )
  const reminders = household.reminders.filter((each) => !old.has(each.eventId))
  if (reminders.length === household.reminders.length) return household
  const keys = new Set(reminders.map((each) => each.key))
  const deliveries = household.deliveries.filter((each) => keys.has(each.reminderKey))
  return { ...household, reminders, deliveries }
}
