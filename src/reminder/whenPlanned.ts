// From when on an event is planned where nobody knows what the battery will hold tomorrow (R14), and when a reading is
// asked for it: on its day, while somebody can look; the evening before where it may be charged by hand at night.

import { type Instant, type Span, asInstant, earlier } from '../plan/index.ts'
import { lastOutside } from '../schedule/index.ts'
import { outOfReach } from './reach.ts'
import {
  ASK_ON_DAY_MS,
  BEFORE_LEAVING_MS,
  NIGHT_BEFORE_MS,
  READING_AHEAD_MS,
  SAME_DAY_MS,
  STILL_GOOD_MS,
} from './timing.ts'
import { topUpSpans } from './topUp.ts'
import type { HouseholdEvent, Settings } from './types.ts'

export type WhenPlanned = {
  /** When a reading is asked for. */
  readonly askAt: Instant
  /** A reading told from then on is one to plan it from. */
  readonly readingSince: Instant
}

export function whenPlanned(settings: Settings, event: HouseholdEvent): WhenPlanned {
  const away = outOfReach(settings, [event])
  const onDay = whileSomebodyCan(away, asInstant(event.start - ASK_ON_DAY_MS))
  const nights = topUpSpans(settings, [event], asInstant(event.start - NIGHT_BEFORE_MS))
  const evenings = nights
    .filter(({ start }) => start < event.start)
    .map(({ start }) => asInstant(lastOutside(away, start) - READING_AHEAD_MS))
    .map((at) => whileSomebodyCan(away, at))
  const askAt = evenings.reduce(earlier, onDay)
  const early = askAt - (askAt < onDay ? STILL_GOOD_MS : SAME_DAY_MS - ASK_ON_DAY_MS)
  return { askAt, readingSince: asInstant(Math.min(event.start - SAME_DAY_MS, early)) }
}

/** An instant, or some time before the last moment at which somebody could look before it. */
function whileSomebodyCan(away: readonly Span[], at: Instant): Instant {
  const last = lastOutside(away, at)
  return last === at ? at : lastOutside(away, asInstant(last - BEFORE_LEAVING_MS))
}

/** Whether an event is near enough for a battery paused now to be paused for it. */
export const isNear = (settings: Settings, event: HouseholdEvent, now: Instant): boolean =>
  event.start <= now + SAME_DAY_MS || whenPlanned(settings, event).readingSince <= now
