// Charging from the grid by hand: where people are willing to, and what they said that they have set.

import { DAY_MS, type Instant, type Span, type Step, asInstant, later } from '../plan/index.ts'
import { mergedSpans, weeklySpans } from '../schedule/index.ts'
import type { HouseholdEvent, Settings } from './types.ts'

/** So long before an event a charge by hand is of use: the nights before and the day between. */
const BEFORE_MS = 2 * DAY_MS

/** The charges for these events that somebody said are done or set. */
const chargesSet = (events: readonly HouseholdEvent[]) =>
  events.flatMap(({ topUp }) => (topUp === undefined || topUp === null ? [] : [topUp]))

/** Where it may still be charged by hand for some events, and after the last of them. A window in which a charge is set already is used up. */
export function topUpSpans(
  settings: Settings,
  events: readonly HouseholdEvent[],
  from: Instant,
): readonly Span[] {
  const set = chargesSet(events)
  return chargeWindows(settings, events, from).filter(
    ({ start, end }) => !set.some((charge) => start < charge.until && charge.from < end),
  )
}

/** The windows around some events, used up or not; none without a limit of what it can charge with. */
export function chargeWindows(
  { topUpWindows, timeZone, battery }: Settings,
  events: readonly Span[],
  from: Instant,
): readonly Span[] {
  if (topUpWindows.length === 0 || !Number.isFinite(battery.maxChargeKw)) return []
  const around = mergedSpans(
    events.map(({ start, end }) => ({
      start: later(from, asInstant(start - BEFORE_MS)),
      end: asInstant(end + DAY_MS),
    })),
  )
  return around.flatMap((span) => weeklySpans(topUpWindows, timeZone, span))
}

/** The charges that are set, as a surplus that the forecast walks through: the battery takes what it can in that time. */
export const chargesAsSurplus = (
  { battery, loadKw }: Settings,
  events: readonly HouseholdEvent[],
): readonly Step[] =>
  chargesSet(events)
    .toSorted((a, b) => a.from - b.from)
    .flatMap(({ from, until }) => [
      { start: from, kw: battery.maxChargeKw + loadKw },
      { start: until, kw: 0 },
    ])
