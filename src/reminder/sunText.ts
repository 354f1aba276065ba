// What the sun is expected to give today and for the next event, in sentences.

import { DateTime } from 'luxon'
import { type Instant, type Span, type Step, asInstant, hoursBetween } from '../plan/index.ts'
import { expectedSolar, placeOf } from '../solar/index.ts'
import { type Format, format, sunWords as words } from '../words/index.ts'
import { upcoming } from './planning.ts'
import { sunAhead } from './sun.ts'
import type { Household } from './types.ts'

/** Less than this is said to be nothing, kWh. */
const WORTH_SAYING_KWH = 0.05

/** The sentences in their order; none where the household's settings say nothing of the sun. */
export function sunTexts(household: Household, now: Instant): readonly string[] {
  const { settings } = household
  const { solar, timeZone, language } = settings
  if (solar === null) return []
  if ('kwhPerDay' in solar && placeOf(timeZone) === null) return [words.noPlace]
  const f = format(language, timeZone)
  const today = dayOf(now, timeZone)
  const event = upcoming(household, now)[0]
  const days = [
    today,
    ...(event === undefined || event.start < today.end ? [] : [dayOf(event.start, timeZone)]),
  ]
  const sunOf = ({ start, end }: Span) => sunAhead(settings, start, end)
  return [
    ...days.map((day) =>
      dayText(day === today ? words.today : words.on(f.day(day.start)), sunOf(day), f),
    ),
    ...(event === undefined ? [] : [eventText(event, sunOf(event), f)]),
    ...('kwp' in solar
      ? [words.clear(words.kwh(kwhOf(expectedSolar(solar, today, timeZone, { clearSkyShare: 1 }))))]
      : []),
  ]
}

function dayText(when: string, steps: readonly Step[], f: Format): string {
  const kwh = kwhOf(steps)
  const dark = steps[steps.findLastIndex(({ kw }) => kw > 0) + 1]
  return kwh < WORTH_SAYING_KWH || dark === undefined
    ? words.nothing(when)
    : words.day(when, words.kwh(kwh), f.time(dark.start))
}

function eventText({ start, end }: Span, steps: readonly Step[], f: Format): string {
  const kwh = kwhOf(steps)
  return kwh < WORTH_SAYING_KWH
    ? words.notInEvent(f.range(start, end))
    : words.inEvent(f.range(start, end), words.kwh(kwh))
}

/** The local day of an instant, of 23 to 25 hours. */
function dayOf(at: Instant, timeZone: string): Span {
  const start = DateTime.fromMillis(at, { zone: timeZone }).startOf('day')
  const end = start.plus({ days: 1 }).startOf('day')
  return { start: asInstant(start.toMillis()), end: asInstant(end.toMillis()) }
}

/** Energy of steps that end in none. */
const kwhOf = (steps: readonly Step[]): number =>
  steps.reduce(
    (sum, { start, kw }, i) => sum + kw * hoursBetween(start, steps[i + 1]?.start ?? start),
    0,
  )
