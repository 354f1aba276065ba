// What the sun is expected to give a household, as a surplus that the planner can walk through. Less than will come, rather than more.

import { DateTime } from 'luxon'
import { DAY_MS, type Instant, type Step, asInstant, earlier } from '../plan/index.ts'
import { expectedSolar } from '../solar/index.ts'
import type { Solar } from './habits.ts'
import type { Settings } from './types.ts'

/** Sun further ahead is not counted on: by then it is planned again, and each day of it costs. */
export const SUN_AHEAD_MS = 14 * DAY_MS

/**
 * Power of the sun from an instant to another, kW, for a fortnight at most: none without sun in the settings, exactly none
 * between sunset and sunrise, and none from the end on. Any part of a day has the power that the whole day has then.
 */
export function sunAhead(
  { solar, timeZone }: Pick<Settings, 'solar' | 'timeZone'>,
  from: Instant,
  until: Instant,
): readonly Step[] {
  const end = earlier(until, asInstant(from + SUN_AHEAD_MS))
  if (solar === null || end <= from) return []
  const days: Day[] = []
  const first = DateTime.fromMillis(from, { zone: timeZone }).startOf('day')
  const household = `${JSON.stringify(solar)} ${timeZone}`
  for (let start = asInstant(first.toMillis()); start < end;) {
    const day = dayFrom(start, solar, timeZone, household)
    days.push(day)
    start = day.end
  }
  // Where the sun shines over midnight, one day's last step and the next one's first are at one instant.
  const whole = days
    .flatMap(({ steps }) => steps)
    .filter(({ start }, i, all) => start !== all[i + 1]?.start)
  const before = whole.findLast(({ start }) => start <= from)?.kw ?? 0
  return [
    { start: from, kw: before },
    ...whole.filter(({ start }) => start > from && start < end),
    { start: end, kw: 0 },
  ]
}

/** A local day, of 23 to 25 hours. */
type Day = { readonly end: Instant; readonly steps: readonly Step[] }

// A day costs a fifth of a millisecond, and one decision asks for the same days again and again.
const known = new Map<string, Day>()
const MOST_KNOWN = 64

function dayFrom(start: Instant, solar: Solar, timeZone: string, household: string): Day {
  const key = `${household} ${start}`
  const found = known.get(key)
  if (found !== undefined) return found
  const next = DateTime.fromMillis(start, { zone: timeZone }).plus({ days: 1 }).startOf('day')
  const end = asInstant(next.toMillis())
  const day = { end, steps: expectedSolar(solar, { start, end }, timeZone) }
  if (known.size >= MOST_KNOWN) known.clear()
  known.set(key, day)
  return day
}
