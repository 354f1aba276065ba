// What stands in a household's calendar: for each event the event itself, the hold and the release.
// Values only; how they are written is ical.ts.

import { DAY_MS, later, minutesAfter } from '../plan/index.ts'
import type { EventPlan, Instant } from '../plan/index.ts'
import type { Household, HouseholdEvent } from '../reminder/index.ts'
import { calendarWords as words, format } from '../words/index.ts'
import type { Format } from '../words/index.ts'
import { lines, oneLine, uri } from './text.ts'
import { entryUid } from './uid.ts'
import type { EntryKind } from './uid.ts'

export type Entry = {
  readonly uid: string
  /** Never falls, and rises when the start, the end or the state changes (RFC 5546 §2.1.4). */
  readonly sequence: number
  /** When it last changed; never when it was rendered (RFC 5545 §3.8.7.2, object without METHOD). */
  readonly changedAt: Instant
  readonly start: Instant
  /** `null`: a moment. */
  readonly end: Instant | null
  readonly cancelled: boolean
  readonly title: string
  readonly detail: string
  readonly page: string
  /** Minutes before the start at which it may ring. */
  readonly alarms: readonly number[]
}

/** How long an event stays after its end, and how long it still shows that it was cancelled. */
const KEEP_MS = 60 * DAY_MS
const KEEP_CANCELLED_MS = 14 * DAY_MS

const HOLD_ALARMS = [15, 0]
const RELEASE_ALARMS = [5]

/** The events that the calendar still shows at `now`, in the household's own order. */
export const eventsToShow = (household: Household, now: Instant): readonly HouseholdEvent[] =>
  household.events.filter(
    ({ state, end }) => now < end + (state === 'cancelled' ? KEEP_CANCELLED_MS : KEEP_MS),
  )

/** The entries of these events of the household, whatever their age. */
export function entriesOf(
  household: Household,
  events: readonly HouseholdEvent[],
  page: string,
): Entry[] {
  const { language, timeZone } = household.settings
  // Once for all: a formatter is dear to build.
  const f = format(language, timeZone)
  const link = uri(page)
  return events.flatMap((event) => eventEntries(f, household, event, link))
}

function eventEntries(
  f: Format,
  household: Household,
  event: HouseholdEvent,
  link: string,
): Entry[] {
  const { releaseLeadMinutes } = household.settings
  const entry = (kind: EntryKind, about: About): Entry => ({
    uid: entryUid(household.id, event.id, kind),
    // The event's own times change with its sequence alone. A hold's also change with the plan; both
    // counters only rise, so their sum rises with either.
    sequence: kind === 'event' ? event.sequence : household.revision + event.sequence,
    changedAt: about.plannedAt === null ? event.changedAt : later(event.changedAt, about.plannedAt),
    start: about.start,
    end: about.end > about.start ? about.end : null,
    cancelled: event.state === 'cancelled',
    title: oneLine(about.title),
    detail: lines([...about.detail, words.mayBeOld(link)].join('\n\n')),
    page: link,
    alarms: about.alarms,
  })
  return event.state === 'cancelled'
    ? cancelled(event, minutesAfter(event.start, -releaseLeadMinutes), entry)
    : announced(f, household, event, entry)
}

type About = {
  readonly plannedAt: Instant | null
  readonly start: Instant
  readonly end: Instant
  readonly title: string
  readonly detail: readonly string[]
  readonly alarms: readonly number[]
}

type ToEntry = (kind: EntryKind, about: About) => Entry

// The plan of a cancelled event is gone, so its hold and release stand where a release would.
function cancelled(event: HouseholdEvent, releaseAt: Instant, entry: ToEntry): Entry[] {
  const detail = [words.cancelledDetail]
  const about = { plannedAt: null, detail, alarms: [] }
  const lead = { ...about, start: releaseAt, end: event.start }
  return [
    entry('event', {
      ...about,
      start: event.start,
      end: event.end,
      title: words.cancelledEventTitle,
    }),
    entry('hold', { ...lead, title: words.cancelledHoldTitle }),
    entry('release', { ...lead, title: words.cancelledReleaseTitle }),
  ]
}

function announced(
  f: Format,
  { settings, plan }: Household,
  event: HouseholdEvent,
  entry: ToEntry,
): Entry[] {
  const { start, end, heldAt, releasedAt } = event
  const index = plan === null ? -1 : plan.eventIds.indexOf(event.id)
  const eventPlan = plan?.plan.events[index] ?? null
  const plannedAt = eventPlan === null ? null : (plan?.at ?? null)

  const entries = [
    entry('event', {
      plannedAt,
      start,
      end,
      title: words.eventTitle,
      detail: [words.eventDetail(f.range(start, end)), ...outlook(f, event, eventPlan)],
      alarms: [],
    }),
  ]

  // What a person did comes before what was planned; after the event only that is known.
  const holdFrom = heldAt ?? eventPlan?.holdBy ?? null
  if (holdFrom === null) return entries
  const releaseAt =
    releasedAt ?? eventPlan?.releaseAt ?? minutesAfter(start, -settings.releaseLeadMinutes)

  entries.push(
    entry('hold', {
      plannedAt,
      start: holdFrom,
      end: releaseAt,
      ...(heldAt === null && eventPlan !== null
        ? {
            title: words.holdTitle(f.time(holdFrom), f.pctUp(eventPlan.holdAtPct)),
            detail: [
              words.holdDetail(f.time(holdFrom), f.pctUp(eventPlan.holdAtPct), f.range(start, end)),
              ...howTo(settings.howToHold),
            ],
            alarms: HOLD_ALARMS,
          }
        : { title: words.heldTitle, detail: [words.heldDetail(f.time(holdFrom))], alarms: [] }),
    }),
    entry('release', {
      plannedAt,
      start: releaseAt,
      end: start,
      title: words.releaseTitle(f.time(releaseAt)),
      detail: [
        words.releaseDetail(f.time(releaseAt), f.time(start)),
        ...howTo(settings.howToRelease),
      ],
      alarms: releasedAt === null ? RELEASE_ALARMS : [],
    }),
  )
  return entries
}

function outlook(f: Format, { heldAt }: HouseholdEvent, plan: EventPlan | null): string[] {
  if (plan === null) return []
  if (plan.short !== null)
    return [words.short(f.time(plan.short.coveredUntil), f.kw(plan.short.loadKw))]
  return plan.holdBy === null && heldAt === null ? [words.noHold] : []
}

const howTo = (ownWords: string) => {
  const text = lines(ownWords)
  return text === '' ? [] : [words.howTo(text)]
}
