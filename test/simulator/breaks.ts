// The code broken on purpose, one thing at a time: each is to be found by the invariant that it names, or that invariant guards
// nothing.

import { type Instant, MINUTE_MS, asInstant } from '../../src/plan/index.ts'
import {
  type Decision,
  type Delivery,
  type Household,
  type Reminder,
  WEBHOOK,
  decide,
  isOpen,
  isUrgent,
  stillWanted,
} from '../../src/reminder/index.ts'
import type { Parts } from './shell.ts'

export type Break = {
  /** What is to find it. */
  readonly foundBy: string
  readonly parts: Partial<Parts>
}

type Decide = Parts['decide']

/** Decides as ever, then spoils what came of it. */
const then =
  (spoil: (decision: Decision, before: Household, now: Instant) => Partial<Household>): Decide =>
  (command, household, now) => {
    const decision = decide(command, household, now)
    const spoilt = { ...decision.household, ...spoil(decision, household, now) }
    const ids = new Set(spoilt.deliveries.map(({ id }) => id))
    const effects = decision.effects.filter(({ deliveryId }) => ids.has(deliveryId))
    return { ...decision, household: spoilt, effects }
  }

const without = (unwanted: (delivery: Delivery, before: Household) => boolean): Decide =>
  then(({ household }, before) => ({
    deliveries: household.deliveries.filter((each) => !unwanted(each, before)),
  }))

const eachReminder = (change: (reminder: Reminder, now: Instant) => Reminder): Decide =>
  then(({ household }, _, now) => ({
    reminders: household.reminders.map((each) => change(each, now)),
  }))

const isNew = ({ id }: Delivery, before: Household): boolean =>
  !before.deliveries.some((each) => each.id === id)

const isAsk = ({ purpose, channel }: Delivery): boolean => purpose === 'ask' && channel !== WEBHOOK

/** One more row for each new one, for a channel of its own. */
const alsoTo =
  (channelsOf: (household: Household, like: Delivery) => readonly string[]): Decide =>
  (command, household, now) => {
    const decision = decide(command, household, now)
    const { deliveries } = decision.household
    const added = deliveries
      .filter((each) => each.purpose === 'ask' && isNew(each, household))
      .flatMap((each) =>
        channelsOf(decision.household, each).map((channel) => ({
          ...each,
          channel,
          id: `${each.id.replace(/_c\d+$/, '')}_${channel}`,
        })),
      )
      .filter(({ id }) => !deliveries.some((each) => each.id === id))
    return {
      ...decision,
      household: { ...decision.household, deliveries: [...deliveries, ...added] },
      effects: [
        ...decision.effects,
        ...added.map(({ id }) => ({ type: 'send', deliveryId: id }) as const),
      ],
    }
  }

const isTooLate = ({ reminders }: Household, of: Delivery, at: number): boolean =>
  reminders.some(
    ({ key, state, repeat, uselessAfter }) =>
      key === of.reminderKey && state === 'sent' && repeat === of.repeat && at >= uselessAfter,
  )

/** Given up, as its reminder is over. */
const isLate = ({ deliveries, reminders }: Household, of: string): boolean =>
  deliveries.some(
    ({ id, state, reminderKey }) =>
      id === of &&
      state === 'dropped' &&
      reminders.some((each) => each.key === reminderKey && each.state === 'lapsed'),
  )

const onOf = ({ channels }: Household): readonly string[] =>
  channels.filter(({ state }) => state === 'on').map(({ id }) => id)

export const BREAKS: Readonly<Record<string, Break>> = {
  'lose-a-reminder': {
    foundBy: 'I1',
    parts: {
      decide: then(({ household }) => ({
        reminders: household.reminders.filter(
          ({ kind, state }) => kind !== 'outcome' || state !== 'sent',
        ),
      })),
    },
  },
  'count-as-sent-what-no-channel-took': {
    foundBy: 'I1',
    parts: {
      decide: then(({ household }) => ({
        reminders: household.reminders.map((each) =>
          each.state === 'missed' && each.sentAt !== null
            ? { ...each, state: 'lapsed', missedBecause: null }
            : each,
        ),
      })),
    },
  },
  'miss-without-a-reason': {
    foundBy: 'I1',
    parts: { decide: eachReminder((each) => ({ ...each, missedBecause: null })) },
  },
  'never-turn-to-the-next-person': {
    foundBy: 'I2',
    parts: {
      decide: without(
        (each, before) =>
          isAsk(each) &&
          each.repeat > 0 &&
          isNew(each, before) &&
          each.channel !== before.channels[0]?.id,
      ),
    },
  },
  'do-not-look-once-more-before-a-send': {
    foundBy: 'I3',
    parts: { stillWanted: () => true },
  },
  'ask-again-every-two-minutes': {
    foundBy: 'I4',
    parts: {
      decide: eachReminder((each, now) =>
        each.state === 'sent' && each.nextAt !== null && isUrgent(each)
          ? { ...each, nextAt: asInstant(Math.min(each.nextAt, now + 2 * MINUTE_MS)) }
          : each,
      ),
    },
  },
  'keep-no-distance': {
    foundBy: 'I4',
    parts: {
      decide: (command, household, now) => {
        const { messages } = household
        const unknown = messages.map((each) => ({ ...each, reminderKey: null }))
        const decision = decide(command, { ...household, messages: unknown }, now)
        const last = messages.at(-1)?.seq ?? 0
        const fresh = decision.household.messages.filter(({ seq }) => seq > last)
        return {
          ...decision,
          household: { ...decision.household, messages: [...messages, ...fresh] },
        }
      },
    },
  },
  'tell-plans-to-everybody': {
    foundBy: 'I18',
    parts: {
      decide: alsoTo((household, { kind }) => (kind === 'plan' ? onOf(household) : [])),
    },
  },
  'forget-what-is-doubtful': {
    foundBy: 'I5',
    parts: {
      decide: then(({ household }) => ({
        deliveries: household.deliveries.map((each) => ({ ...each, doubtful: false })),
      })),
    },
  },
  'save-after-sending': { foundBy: 'I5', parts: { savesFirst: false } },
  'send-everything-twice': {
    foundBy: 'I5',
    parts: {
      decide: (command, household, now) => {
        const decision = decide(command, household, now)
        return { ...decision, effects: [...decision.effects, ...decision.effects] }
      },
    },
  },
  'forget-to-arm': { foundBy: 'I6', parts: { arms: ({ type }) => type !== 'wake' } },
  'forget-to-arm-after-a-send': {
    foundBy: 'I6',
    parts: { arms: ({ type }) => type !== 'attempted' },
  },
  'forget-the-release': {
    foundBy: 'I7',
    parts: {
      decide: then(({ household }) => ({
        reminders: household.reminders.filter(({ kind }) => kind !== 'release'),
      })),
    },
  },
  'forget-to-let-it-run-again': {
    foundBy: 'I7',
    parts: {
      decide: then(({ household }) => ({
        reminders: household.reminders.map((each) =>
          each.kind === 'restore' && isOpen(each)
            ? { ...each, state: 'lapsed', sentAt: each.dueAt, nextAt: null }
            : each,
        ),
        messages: household.messages.filter(
          ({ reminderKey }) => reminderKey?.startsWith('restore') !== true,
        ),
        deliveries: household.deliveries.filter(({ kind }) => kind !== 'restore'),
      })),
    },
  },
  'send-what-is-over': {
    foundBy: 'I8',
    parts: {
      stillWanted: (household, id, now) => stillWanted(household, id, now) || isLate(household, id),
      decide: (command, household, now) => {
        const decision = decide(command, household, now)
        // What would be tried again too late stays, and what is given up at the end goes out all the same.
        const deliveries = decision.household.deliveries.map((each) =>
          command.type === 'attempted' &&
          command.attempt.kind === 'try-again' &&
          each.id === command.deliveryId &&
          each.state === 'dropped' &&
          each.attempts < 5 &&
          isTooLate(decision.household, each, now + command.attempt.afterMs)
            ? {
                ...each,
                state: 'queued' as const,
                nextAt: asInstant(now + command.attempt.afterMs),
              }
            : each,
        )
        const late = household.deliveries
          .filter(({ id, state }) => state === 'queued' && isLate(decision.household, id))
          .map(({ id }) => ({ type: 'send', deliveryId: id }) as const)
        return {
          ...decision,
          household: { ...decision.household, deliveries },
          effects: [...decision.effects, ...late],
        }
      },
    },
  },
  'say-something-at-each-wake': {
    foundBy: 'I9',
    parts: {
      decide: (command, household, now) => {
        const decision = decide(command, household, now)
        if (command.type !== 'wake') return decision
        const { revision } = decision.household
        return { ...decision, household: { ...decision.household, revision: revision + 1 } }
      },
    },
  },
  'put-off-for-as-long-as-is-wished': {
    foundBy: 'I10',
    parts: {
      decide: (command, household, now) => {
        const decision = decide(command, household, now)
        if (command.type !== 'snooze' || !decision.outcome.ok) return decision
        const until = asInstant(now + command.minutes * MINUTE_MS)
        const reminders = decision.household.reminders.map((each) =>
          each.key === command.key ? { ...each, nextAt: until } : each,
        )
        return { ...decision, household: { ...decision.household, reminders } }
      },
    },
  },
  'be-an-hour-wrong': {
    foundBy: 'I11',
    parts: {
      words: (text) =>
        text.replaceAll(/(\d\d):(\d\d)/g, (_, hour: string, minute: string) =>
          [String((Number(hour) + 23) % 24).padStart(2, '0'), minute].join(':'),
        ),
    },
  },
  'word-without-a-value': {
    foundBy: 'I11',
    parts: { words: (text) => text.replace(/\d+\s%/, 'NaN %') },
  },
  'make-a-reminder-twice': {
    foundBy: 'I12',
    parts: {
      decide: then(({ household }) => ({
        reminders: household.reminders.flatMap((each) =>
          each.kind === 'hold' && each.state === 'waiting'
            ? [each, { ...each, key: `${each.key}b` }]
            : [each],
        ),
      })),
    },
  },
  'never-hand-over': {
    foundBy: 'I13',
    parts: {
      decide: (command, household, now) =>
        (command.type === 'attempted'
          ? without((each, before) => isAsk(each) && isNew(each, before))
          : decide)(command, household, now),
    },
  },
  'never-settle': {
    foundBy: 'I14',
    parts: { decide: without(({ purpose }) => purpose === 'settle') },
  },
  'go-on-with-what-is-gone': {
    foundBy: 'I15',
    parts: {
      decide: (command, household, now) => {
        const decision = decide(command, household, now)
        if (command.type !== 'attempted' || command.attempt.kind !== 'gone') return decision
        return { ...decision, household: { ...decision.household, channels: household.channels } }
      },
    },
  },
  hurry: { foundBy: 'I16', parts: { waitMs: () => 1000 } },
  'wake-who-sleeps': {
    foundBy: 'I17',
    parts: {
      stillWanted: () => true,
      decide: (command, household, now) => {
        const { settings } = household
        const people = settings.people.map((each) => ({ ...each, quiet: null }))
        const decision = decide(command, { ...household, settings: { ...settings, people } }, now)
        return { ...decision, household: { ...decision.household, settings } }
      },
    },
  },
  'ask-everywhere-what-can-wait': {
    foundBy: 'I18',
    parts: {
      decide: alsoTo((household, { kind }) =>
        kind === 'reading' || kind === 'outcome' ? onOf(household) : [],
      ),
    },
  },
}
