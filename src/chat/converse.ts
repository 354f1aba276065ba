// A message typed by a person: understood, carried out through `decide`, answered. What is said, by both
// sides, becomes part of the household's conversation.

import type { FoundEvent } from '../announcement/index.ts'
import { HOUR_MS, type Instant } from '../plan/index.ts'
import {
  type Command,
  type Decision,
  type Household,
  type HouseholdEvent,
  type Reminder,
  SAME_DAY_MS,
  decide,
  formatOf,
  isHeld,
  isOpen,
  upcoming,
  withMessage,
} from '../reminder/index.ts'
import { answerWords as say, peopleWords } from '../words/index.ts'
import { applianceAnswer } from './appliances.ts'
import { choiceText, questionText } from './ask.ts'
import type { Intent, Question } from './intent.ts'
import { planAnswer, whyAnswer } from './explain.ts'
import { changesNothing, noted, pricesNow, whoIsThere } from './people.ts'
import { refusalText } from './refused.ts'
import { sunAnswer } from './sun.ts'
import { understand } from './understand.ts'
import { worthAnswer } from './worth.ts'

/** Longer messages are kept cut: the conversation is to be read. */
const KEPT_CHARACTERS = 600

/** "Done" before it was asked for is taken for the hold that is due next, this long ahead. */
const EARLY_MS = 3 * HOUR_MS

/** Who says it, and by which of the household's channels, if by one. */
export type Speaker = {
  readonly by: string
  readonly channel?: string
  /** When it was written, where that may be long ago. */
  readonly saidAt?: Instant
}

type Fits = (reminder: Reminder) => boolean

const HANDS = new Set(['hold', 'release', 'restore', 'overnight'])

/** The household after the message, with the answers in its conversation. */
export function converse(
  household: Household,
  text: string,
  now: Instant,
  speaker: Speaker = { by: 'chat' },
): Decision {
  const { timeZone, dayFirst, language } = household.settings
  const events = upcoming(household, now).map(({ id, start, end }) => ({ id, start, end }))
  const people = household.settings.people.map(({ name }) => name)
  const intent = understand(text, { now, timeZone, dayFirst, language, events, people })
  const heard = withMessage(household, now, 'household', cut(text))
  return answer(heard, intent, speaker, now)
}

function answer(household: Household, intent: Intent, speaker: Speaker, now: Instant): Decision {
  switch (intent.kind) {
    case 'announce':
      return announced(household, intent.events, now)
    case 'move': {
      const { start, end } = intent.to
      const decision = carriedOut(
        household,
        { type: 'move', eventId: intent.eventId, start, end },
        now,
      )
      return withAssumptions(decision, [intent.to], now)
    }
    case 'cancel':
      return carriedOut(household, { type: 'cancel', eventId: intent.eventId }, now)
    case 'reading': {
      const { socPct, at } = intent
      return carriedOut(
        household,
        { type: 'reading', at: at ?? speaker.saidAt ?? now, socPct },
        now,
      )
    }
    case 'done':
      if (speaker.saidAt !== undefined) return doneLongAgo(household, intent.did, speaker, now)
      return handsDid(household, intent.did, speaker, now)
    case 'not-yet':
      if (speaker.saidAt !== undefined) return said(household, say.cameLate, now)
      return notYet(household, now)
    case 'snooze': {
      if (speaker.saidAt !== undefined) return said(household, say.cameLate, now)
      const reminder = waitingForHands(household) ?? household.reminders.findLast(isAsking) ?? null
      if (reminder === null) return said(household, say.nothingToSnooze, now)
      const { minutes } = intent
      return carriedOut(household, { type: 'snooze', key: reminder.key, minutes }, now)
    }
    case 'plan':
      return said(household, planAnswer(household, now), now)
    case 'why':
      return said(household, whyAnswer(household, now), now)
    case 'worth':
      return said(household, worthAnswer(household, now), now)
    case 'appliance':
      return said(household, applianceAnswer(household, intent.name, now), now)
    case 'away':
    case 'asleep':
      return present(household, intent, now)
    case 'presence-unclear':
      return said(
        household,
        intent.about === 'away' ? peopleWords.askTimes : peopleWords.askNight,
        now,
      )
    case 'who-is-there':
      return said(household, whoIsThere(household, now), now)
    case 'sun':
      return said(household, sunAnswer(household, now), now)
    case 'prices':
      return said(household, pricesNow(household, now), now)
    case 'help':
      return said(household, say.help, now)
    case 'meter':
      return said(household, intent.pasted ? say.meterPasted : say.meter, now)
    case 'question':
      return asked(household, intent, now)
    case 'thanks':
    case 'stop':
    case 'danger':
    case 'medical':
    case 'outage':
      return said(household, say[intent.kind], now)
    case 'unknown':
      return said(household, say.unknown(say.example), now)
  }
}

/** Notes an absence or a night, and says what it changes. */
function present(
  household: Household,
  intent: Extract<Intent, { kind: 'away' | 'asleep' }>,
  now: Instant,
): Decision {
  const found = noted(household, intent, now)
  if (found.kind !== 'change')
    return said(household, found.text, now, found.kind === 'ask' ? found.buttons : [])
  const answered = withMessage(household, now, 'holdbell', found.text)
  const decision = carriedOut(answered, found.command, now)
  if (decision.household.plan !== household.plan) return decision
  const text = changesNothing(decision.household, now)
  return { ...decision, household: withMessage(decision.household, now, 'holdbell', text) }
}

/** Carries a command out; a refusal is answered in words. */
function carriedOut(household: Household, command: Command, now: Instant): Decision {
  const decision = decide(command, household, now)
  if (decision.outcome.ok) return decision
  const text = refusalText(decision.household, decision.outcome.refusal)
  return { ...decision, household: withMessage(decision.household, now, 'holdbell', text) }
}

function announced(household: Household, events: readonly FoundEvent[], now: Instant): Decision {
  const [first, ...more] = events.map(({ start, end }) => ({ start, end }))
  if (first === undefined) return said(household, say.unknown(say.example), now)
  const done = carriedOut(household, { type: 'announce', ...first, more }, now)
  return withAssumptions(done, events, now)
}

/** Says what was taken for granted, once each. */
function withAssumptions(
  decision: Decision,
  events: readonly FoundEvent[],
  now: Instant,
): Decision {
  if (!decision.outcome.ok) return decision
  const assumed = new Set(events.flatMap((event) => event.assumed))
  const household = [...assumed].reduce(
    (state, each) => withMessage(state, now, 'holdbell', say.assumed[each]),
    decision.household,
  )
  return { ...decision, household }
}

function asked(household: Household, question: Question, now: Instant): Decision {
  const f = formatOf(household)
  const buttons = question.choices.map(({ label, send }) => ({ label: choiceText(label, f), send }))
  return said(household, questionText(question.why, f), now, buttons)
}

/** It answers what was asked by then, and is still: not what was asked since. */
function doneLongAgo(
  household: Household,
  did: 'held' | 'running' | null,
  { by, channel, saidAt }: Speaker,
  now: Instant,
): Decision {
  const askedByThen = (reminder: Reminder) =>
    isWhatHandsDid(reminder, did) && (reminder.sentAt ?? now) <= (saidAt ?? now)
  const reminder = waitingForHands(household, askedByThen)
  if (reminder === null) return said(household, say.cameLate, now)
  const through = channel === undefined ? {} : { channel }
  return carriedOut(household, { type: 'acknowledge', key: reminder.key, by, ...through }, now)
}

const isWhatHandsDid = ({ kind }: Reminder, did: 'held' | 'running' | null): boolean =>
  did === null || (did === 'held' ? kind === 'hold' : kind === 'release' || kind === 'restore')

/** "Done", "held", "it runs again": answers what is asked, or notes it unasked. */
function handsDid(
  household: Household,
  did: 'held' | 'running' | null,
  speaker: Speaker,
  now: Instant,
): Decision {
  const { by, channel } = speaker
  const fits = (reminder: Reminder) => isWhatHandsDid(reminder, did)
  const open = waitingForHands(household, fits) ?? dueSoon(household, now, fits)
  const reminder = open ?? (did === 'running' ? releaseOfHeld(household) : null)
  if (reminder !== null)
    return carriedOut(
      household,
      { type: 'acknowledge', key: reminder.key, by, ...(channel === undefined ? {} : { channel }) },
      now,
    )
  const event = did === 'running' ? null : toBeHeld(household, now)
  return event === null
    ? said(household, say.nothingToDo, now)
    : carriedOut(household, { type: 'held', eventId: event.id, by }, now)
}

/** The release of a battery that is held, however far ahead. */
const releaseOfHeld = (household: Household): Reminder | null =>
  household.reminders.find((each) => {
    const event = household.events.find(({ id }) => id === each.eventId)
    const held = event !== undefined && isHeld(event)
    return held && isOpen(each) && (each.kind === 'release' || each.kind === 'restore')
  }) ?? null

/** "Not yet": takes the last answer back, or puts off what is being asked. */
function notYet(household: Household, now: Instant): Decision {
  const answered = household.reminders
    .filter((each) => each.state === 'acknowledged' && HANDS.has(each.kind))
    .filter((each) => now < each.uselessAfter)
    .toSorted((a, b) => (a.acknowledgedAt ?? 0) - (b.acknowledgedAt ?? 0))
    .at(-1)
  const open = waitingForHands(household)
  const f = formatOf(household)
  if (open !== null && open.nextAt !== null)
    return said(household, say.reopened(f.time(open.nextAt)), now)
  if (answered === undefined) return said(household, say.nothingToReopen, now)
  const decision = carriedOut(household, { type: 'reopen', key: answered.key }, now)
  const again = decision.household.reminders.find((each) => each.key === answered.key)?.nextAt
  if (!decision.outcome.ok) return decision
  const text = again ? say.reopened(f.time(again)) : say.reopenedOnly
  return { ...decision, household: withMessage(decision.household, now, 'holdbell', text) }
}

function said(
  household: Household,
  text: string,
  now: Instant,
  buttons: Household['messages'][number]['buttons'] = [],
): Decision {
  const decision = decide({ type: 'wake' }, household, now)
  return {
    ...decision,
    household: withMessage(decision.household, now, 'holdbell', text, { buttons }),
  }
}

const isAsking = (reminder: Reminder): boolean =>
  reminder.state === 'sent' && reminder.kind !== 'plan'

/** What hands are asked for now; the one asked last, if there are several. */
const waitingForHands = (household: Household, fits: Fits = () => true): Reminder | null =>
  household.reminders
    .filter((each) => isAsking(each) && HANDS.has(each.kind) && fits(each))
    .toSorted((a, b) => (a.sentAt ?? 0) - (b.sentAt ?? 0))
    .at(-1) ?? null

/** What will be asked of hands next, if that is soon: the hold, or the release of what is held. */
const dueSoon = (household: Household, now: Instant, fits: Fits): Reminder | null =>
  household.reminders
    .filter((each) => isOpen(each) && HANDS.has(each.kind) && fits(each))
    .filter((each) => each.dueAt <= now + EARLY_MS)
    .toSorted((a, b) => a.dueAt - b.dueAt)[0] ?? null

/** The event of this day for which the battery may have been paused, though no hold was asked for. */
const toBeHeld = (household: Household, now: Instant): HouseholdEvent | null => {
  const event = upcoming(household, now)[0]
  const soon = event !== undefined && now < event.start && event.start <= now + SAME_DAY_MS
  return soon && event.heldAt === null ? event : null
}

const cut = (text: string): string =>
  text.length <= KEPT_CHARACTERS ? text : `${text.slice(0, KEPT_CHARACTERS)} …`
