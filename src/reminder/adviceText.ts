// The words of advice, and of who can do it.

import { HOUR_MS, type Instant } from '../plan/index.ts'
import { type Format, format, reachWords as say } from '../words/index.ts'
import { type Advice, adviceFor, onlyThese } from './advice.ts'
import type { Household, HouseholdEvent } from './types.ts'

/** All there is to know about an event to come besides its plan, a few sentences on each matter; shown where the plan is, and given in the API. */
export const advice = (
  household: Household,
  event: HouseholdEvent,
  now: Instant,
): readonly string[] =>
  adviceFor(household, event, now).map((each) => adviceText(household, each, event, now))

export function adviceText(
  household: Household,
  about: Advice,
  event: HouseholdEvent,
  now: Instant,
): string {
  const f = format(household.settings.language, household.settings.timeZone)
  const when = (at: Instant) => whenText(f, at, event.start)
  switch (about.kind) {
    case 'hold-before-gone':
      return say.holdBeforeGone(when(about.gone.start), when(about.gone.end))
    case 'hold-when-back':
      return say.holdWhenBack(f.list(about.back.names), when(about.back.at))
    case 'release-before-gone':
      return say.releaseBeforeGone(when(about.gone.start), when(about.gone.end))
    case 'nobody-releases': {
      const { gone, back, releaseAt } = about
      const release = when(releaseAt)
      const late = back === null ? '' : f.duration((back.at - releaseAt) / HOUR_MS)
      return [
        back === null
          ? say.nobodyReleasesForLong(when(gone.start), release)
          : say.nobodyReleases(when(gone.start), when(gone.end), release),
        ...(back === null ? [] : [say.backFirst(f.list(back.names), when(back.at), late)]),
        ...(gone.start > now ? [say.runsFrom(when(gone.start))] : []),
        gone.start > now ? say.schedule(when(gone.start), release) : say.scheduleNow(release),
        say.orSkip,
      ].join(' ')
    }
    case 'top-up-would-do':
      return say.topUpWouldDo[about.hours]
    case 'not-when-freezing':
      return say.notWhenFreezing
    case 'not-cheapest':
      return say.notCheapest[about.why]
  }
}

/** Who can do it at a time, where that is not everybody. */
export function whoCan(household: Household, at: Instant): readonly string[] {
  const f = format(household.settings.language, household.settings.timeZone)
  const names = onlyThese(household, at)
  if (names.length === 0) return []
  return [names.length === 1 ? say.onlyOne(f.list(names)) : say.onlySome(f.list(names))]
}

/** A time, with its day when that is not the event's. */
export const whenText = (f: Format, at: Instant, eventStart: Instant): string =>
  f.isoDay(at) === f.isoDay(eventStart) ? f.time(at) : `${f.time(at)} (${f.shortDay(at)})`
