// Whom a sending of a reminder goes to (R21, R22): first the first person's first channel, then all of theirs, then
// everybody's. Who is away is turned to where nobody else can be told, who sleeps is not.

import type { Instant } from '../plan/index.ts'
import { EVERY_DAY, spanAt, weeklySpans } from '../schedule/index.ts'
import type { HouseholdChannel } from './channels.ts'
import { deadlineOf } from './deadline.ts'
import { lastTold } from './planning.ts'
import { whoReaches } from './reach.ts'
import { AT_HAND_MS, EVERYBODY_MS } from './timing.ts'
import type { Household, Reminder, ReminderKind } from './types.ts'

const URGENT: ReadonlySet<ReminderKind> = new Set(['hold', 'release', 'restore'])

/** What hands are asked for, and cannot wait. */
export const isUrgent = ({ kind }: Pick<Reminder, 'kind'>): boolean => URGENT.has(kind)

/** The channels that a sending of a reminder goes to at once. Empty: the page alone. */
export function channelsFor(
  household: Household,
  reminder: Reminder,
  now: Instant,
): readonly HouseholdChannel[] {
  // A plan asks for nothing.
  if (reminder.kind === 'plan') return []
  const all = inTurn(household, now)
  const [first] = all
  if (first === undefined) return []
  if (!isUrgent(reminder)) return [first]
  const wider = [[first], all.filter(({ person }) => person === first.person), all]
  const rungs = wider.filter((each, i) => i === 0 || each.length > (wider[i - 1]?.length ?? 0))
  const pressing = lastMoment(household, reminder) - now < EVERYBODY_MS
  // Whoever was asked to hold may have done so without a word: the one time that this is asked, all are asked.
  const unsure = reminder.kind === 'release' && !isKnownToBeHeld(household, reminder)
  const everybody = unsure || (pressing && !isSomebodyAtHand(household, now))
  const rung = everybody ? Infinity : reminder.repeat
  return rungs[Math.min(rung, rungs.length - 1)] ?? []
}

const isKnownToBeHeld = ({ events }: Household, { eventId }: Reminder): boolean =>
  events.some(({ id, heldAt }) => id === eventId && heldAt !== null)

/** A release that comes after its lead is still in time until the event starts. */
function lastMoment(household: Household, reminder: Reminder): Instant {
  const event = household.events.find(({ id }) => id === reminder.eventId)
  return reminder.kind === 'release' && event !== undefined
    ? event.start
    : deadlineOf(household, reminder)
}

/** Whom to turn to when a channel did not take it: the next one that was not tried in this sending. */
export const nextInTurn = (
  household: Household,
  tried: ReadonlySet<string>,
  now: Instant,
): HouseholdChannel | null => inTurn(household, now).find(({ id }) => !tried.has(id)) ?? null

/** All channels that can be used now, person by person, in the order in which people are turned to. */
function inTurn(household: Household, now: Instant): readonly HouseholdChannel[] {
  const { people } = household.settings
  const working = household.channels.filter(({ state }) => state === 'on')
  const listed = people.map(({ name }) => name)
  // Who is not among the people is somebody of the house, who never said when not.
  const others = working.map(({ person }) => person).filter((name) => !listed.includes(name))
  const order = [...new Set([...listed, ...others])]
  const of = (names: readonly string[]) =>
    names.flatMap((name) => working.filter(({ person }) => person === name))
  const there = new Set([...whoReaches(household.settings, now), ...others])
  const able = of(order.filter((name) => there.has(name)))
  if (able.length > 0) return able
  return of(order.filter((name) => !isAsleep(household, name, now)))
}

/** Whether a person is asleep, or not to be disturbed. */
export function isAsleep({ settings }: Household, name: string, now: Instant): boolean {
  const quiet = settings.people.find((person) => person.name === name)?.quiet ?? null
  if (quiet === null) return false
  const instant = { start: now, end: (now + 1) as Instant }
  const nights = weeklySpans([{ days: EVERY_DAY, ...quiet }], settings.timeZone, instant)
  return spanAt(nights, now) !== null
}

/** Somebody announced, read or wrote a moment ago, and sees what is asked. */
function isSomebodyAtHand(household: Household, now: Instant): boolean {
  const wrote = household.messages.findLast(({ from }) => from === 'household')?.at
  const announced = household.events.map(({ changedAt }) => changedAt)
  const times = [wrote, lastTold(household)?.at, ...announced].filter((at) => at !== undefined)
  return times.some((at) => at <= now && now - at < AT_HAND_MS)
}
