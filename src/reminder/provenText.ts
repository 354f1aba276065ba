// What past days say of a plan, in words: on how many of them it would have worked, and when somebody is to look.

import type { DaysPlan, Instant } from '../plan/index.ts'
import { reminderWords as say } from '../words/index.ts'
import { fedFromElsewhere, looksAsked } from './pastDays.ts'
import { lookAt } from './planning.ts'
import type { Household, HouseholdEvent } from './types.ts'

/** The sentences for an event that is still to be held; none where it was not planned from past days. */
export function provenText(
  household: Household,
  event: HouseholdEvent,
  whenText: (at: Instant) => string,
): readonly string[] {
  const { plan: kept, settings, meter } = household
  if (meter !== null && fedFromElsewhere(meter) && settings.rule === null)
    return [say.fedFromElsewhere]
  const plan = kept?.plan
  const i = kept?.eventIds.indexOf(event.id) ?? -1
  const planned = plan?.events[i]
  if (plan === undefined || planned === undefined || !('unpromised' in plan)) return []
  const { unpromised, events } = plan as DaysPlan
  const confidence = events[i]?.confidence
  if (confidence === undefined) return []
  const look = lookAt(planned)
  const next = look === null ? [] : [say.lookNext(whenText(look))]
  if (unpromised?.reason === 'too_few_days')
    return [say.tooFewDays(unpromised.days, unpromised.needed), ...next]
  const { coveredOn, days } = confidence
  const looksLeft = Math.max(0, settings.maxReadings - looksAsked(household, event))
  return unpromised !== null && i === 0
    ? [say.provenLess(coveredOn, days), ...next]
    : [say.proven(i === 0 ? looksLeft : 0, coveredOn, days), ...next]
}
