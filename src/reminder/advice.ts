// What a household is to know about a plan besides the plan: that hands are gone when they are wanted, and what would
// help; what a charge at night would do. Values; the words are in text.ts.

import {
  DAY_MS,
  HOUR_MS,
  type Instant,
  type NotCheapest,
  type Span,
  asInstant,
  minutesAfter,
  planHolds,
} from '../plan/index.ts'
import { EVERY_DAY, spanAt, weeklySpans } from '../schedule/index.ts'
import { hasNothingToGive, planInput, plannedEvent } from './planning.ts'
import { outOfReach, whoReaches } from './reach.ts'
import { usualChargeKw } from './night.ts'
import type { Household, HouseholdEvent } from './types.ts'

/** Who is first in reach again. */
export type Back = { readonly at: Instant; readonly names: readonly string[] }

export type Advice =
  /** The hold comes before hands are gone, earlier than it would otherwise have to. */
  | { readonly kind: 'hold-before-gone'; readonly gone: Span }
  /** Hands are gone until after the latest safe hold: it is as early as somebody can. */
  | { readonly kind: 'hold-when-back'; readonly back: Back }
  /** The release comes before hands are gone, a little earlier than planned. */
  | { readonly kind: 'release-before-gone'; readonly gone: Span }
  /** Nobody can let it run again anywhere near the event. */
  | {
      readonly kind: 'nobody-releases'
      readonly gone: Span
      readonly releaseAt: Instant
      /** Not where the way back is more than a day off. */
      readonly back: Back | null
    }
  /** There is not enough, and a charge in the night before would make it so; in the hours that cost least, where they are known. */
  | { readonly kind: 'top-up-would-do'; readonly hours: 'off-peak' | 'night' }
  /** It is to be charged by hand: not in the cold. */
  | { readonly kind: 'not-when-freezing' }
  | { readonly kind: 'not-cheapest'; readonly why: NotCheapest }

/** A release so much before its time is none: the battery would have to carry the house for all of it. */
const NEAR_MS = HOUR_MS

/** All there is to say about one event to come, the most pressing first. */
export function adviceFor(
  household: Household,
  event: HouseholdEvent,
  now: Instant,
): readonly Advice[] {
  const plan = plannedEvent(household, event.id)
  const first = household.plan?.eventIds[0] === event.id ? household.plan.plan : null
  const why = first !== null && 'notCheapest' in first ? (first.notCheapest as NotCheapest) : null
  return [
    ...aboutHands(household, event, now),
    ...(plan !== null && plan.short !== null && nightWouldDo(household, event, now)
      ? [
          {
            kind: 'top-up-would-do',
            hours: offPeak(household) === null ? 'night' : 'off-peak',
          } as const,
        ]
      : []),
    ...(plan?.topUp && plan.topUp.until > now ? [{ kind: 'not-when-freezing' } as const] : []),
    ...(why === null || why === undefined ? [] : [{ kind: 'not-cheapest', why } as const]),
  ]
}

function aboutHands(household: Household, event: HouseholdEvent, now: Instant): readonly Advice[] {
  const { settings } = household
  if (event.releasedAt !== null || now >= event.start) return []
  const away = outOfReach(settings, [event])
  const releaseAt = minutesAfter(event.start, -settings.releaseLeadMinutes)
  const plan = plannedEvent(household, event.id)
  const gone = releaseAt > now ? spanAt(away, releaseAt) : null
  if (gone !== null && (plan === null || plan.releaseAt < releaseAt || gone.start <= now)) {
    const near = gone.start > now && releaseAt - gone.start <= NEAR_MS
    const back = gone.end - releaseAt > DAY_MS ? null : backAt(household, gone.end)
    return [
      near
        ? { kind: 'release-before-gone', gone }
        : { kind: 'nobody-releases', gone, releaseAt, back },
    ]
  }
  if (event.heldAt !== null || plan === null || plan.holdBy === null || hasNothingToGive(plan))
    return []
  const { holdBy } = plan
  const after = away.find(({ start }) => start - 1 === holdBy)
  const before = away.find(({ end }) => end === holdBy)
  if (after !== undefined && holdBy > now) return [{ kind: 'hold-before-gone', gone: after }]
  return before !== undefined && holdBy > now
    ? [{ kind: 'hold-when-back', back: backAt(household, before.end) }]
    : []
}

const backAt = ({ settings }: Household, at: Instant): Back => ({
  at,
  names: whoReaches(settings, at),
})

/** Who can do it then, where that is not everybody. */
export function onlyThese({ settings }: Household, at: Instant): readonly string[] {
  const names = whoReaches(settings, at)
  return names.length < settings.people.length ? names : []
}

/** The hours of the cheapest band, where one is cheaper than the usual price. */
function offPeak({ settings }: Household) {
  const { unitRates } = settings
  const bands = unitRates?.bands.toSorted((a, b) => a.perKwh - b.perKwh) ?? []
  const [cheapest] = bands
  return cheapest !== undefined && cheapest.perKwh < (unitRates?.perKwh ?? 0) ? cheapest : null
}

/** Where no hours are known, those of a night (common practice, no source). */
const NIGHT = { days: EVERY_DAY, from: '23:00', until: '07:00' }

/** Whether a charge by hand that nobody has allowed so far would make up what is missing. */
function nightWouldDo(household: Household, event: HouseholdEvent, now: Instant): boolean {
  const { settings } = household
  if (settings.topUpWindows.length > 0 || event.topUp) return false
  const input = planInput(household, [event], now)
  const until = { start: now, end: asInstant(Math.min(event.start, now + 2 * DAY_MS)) }
  const windows = weeklySpans([offPeak(household) ?? NIGHT], settings.timeZone, until)
  if (input === null || windows.length === 0) return false
  const battery = { ...settings.battery, maxChargeKw: usualChargeKw(settings.battery) }
  const planned = planHolds({ ...input, battery, topUpWindows: windows })
  return planned.ok && planned.value.events[0]?.short === null
}
