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
  const days: (readonly Step[])[] = []
  let day = DateTime.fromMillis(from, { zone: timeZone }).startOf('day')
  while (day.toMillis() < end) {
    const next = day.plus({ days: 1 }).startOf('day')
    days.push(sunOfDay(solar, timeZone, asInstant(day.toMillis()), asInstant(next.toMillis())))
    day = next
  }
  const whole = days.flat()
  const before = whole.findLast(({ start }) => start <= from)?.kw ?? 0
  return [
    { start: from, kw: before },
    ...whole.filter(({ start }) => start > from && start < end),
    { start: end, kw: 0 },
  ]
}

// A day costs a fifth of a millisecond, and one decision asks for the same days again and again.
const known = new Map<string, readonly Step[]>()
const MOST_KNOWN = 64

function sunOfDay(solar: Solar, timeZone: string, start: Instant, end: Instant): readonly Step[] {
  const key = `${JSON.stringify(solar)} ${timeZone} ${start}`
  const found = known.get(key) ?? expectedSolar(solar, { start, end }, timeZone)
  if (!known.has(key) && known.size >= MOST_KNOWN) known.clear()
  known.set(key, found)
  return found
}
