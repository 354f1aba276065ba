// From when on an event is planned where nobody knows what the battery will hold tomorrow (R14), and when a reading is
// asked for it: on its day, while somebody can look; the evening before where it may be charged by hand at night.

import { DAY_MS, type Instant, type Span, asInstant, earlier } from '../plan/index.ts'
import { EVERY_DAY, lastOutside, mergedSpans, spanAt, weeklySpans } from '../schedule/index.ts'
import { outOfReach } from './reach.ts'
import {
  ASK_ON_DAY_MS,
  BEFORE_LEAVING_MS,
  HOLD_AHEAD_MS,
  NIGHT_BEFORE_MS,
  READING_AHEAD_MS,
  SAME_DAY_MS,
  STILL_GOOD_MS,
} from './timing.ts'
import { chargeWindows } from './topUp.ts'
import type { HouseholdEvent, Settings } from './types.ts'

export type WhenPlanned = {
  /** When a reading is asked for. */
  readonly askAt: Instant
  /** A reading told from then on is one to plan it from. */
  readonly readingSince: Instant
}

export function whenPlanned(settings: Settings, event: HouseholdEvent): WhenPlanned {
  const away = outOfReach(settings, [event])
  const onDay = beforeGone(away, asInstant(event.start - ASK_ON_DAY_MS), BEFORE_LEAVING_MS)
  const from = asInstant(event.start - NIGHT_BEFORE_MS)
  const evenings = chargeWindows(settings, [event], from)
    .filter(({ start }) => start < event.start)
    .map(({ start }) => beforeTheNight(settings, event, start, READING_AHEAD_MS))
  const askAt = evenings.reduce(earlier, onDay)
  const early = askAt - (askAt < onDay ? STILL_GOOD_MS : SAME_DAY_MS - ASK_ON_DAY_MS)
  return { askAt, readingSince: asInstant(Math.min(event.start - SAME_DAY_MS, early)) }
}

/** An instant while somebody is up and there: so long before a charge in the night, and before people go to bed (R18). */
export function beforeTheNight(
  settings: Settings,
  event: HouseholdEvent,
  charge: Instant,
  aheadMs: number,
): Instant {
  const around = { start: asInstant(charge - DAY_MS), end: charge }
  const nights = weeklySpans([NIGHT], settings.timeZone, around)
  const asleep = mergedSpans([...outOfReach(settings, [event]), ...nights])
  return beforeGone(asleep, asInstant(charge - HOLD_AHEAD_MS), aheadMs)
}

/** When people are not asked to do anything by hand, though nobody said so (common practice, no source). */
const NIGHT = { days: EVERY_DAY, from: '22:00', until: '07:00' }

/** An instant; where all are gone at it, so long before they go. */
function beforeGone(away: readonly Span[], at: Instant, aheadMs: number): Instant {
  const gone = spanAt(away, at)
  return gone === null ? at : lastOutside(away, asInstant(gone.start - aheadMs))
}

/** Whether an event is near enough for a battery paused now to be paused for it. */
export const isNear = (settings: Settings, event: HouseholdEvent, now: Instant): boolean =>
  event.start <= now + SAME_DAY_MS || whenPlanned(settings, event).readingSince <= now
