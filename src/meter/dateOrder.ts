// Day or month first: decided by the dates of the whole file, and asked only when none of them tells.

import { isoDate } from './calendar.ts'
import type { Stamp } from './stamp.ts'
import { type Step, ask, refuseFile } from './stop.ts'
import type { Asked, DateOrder } from './types.ts'

/** The order of a file's dates; `null` where each reads one way only. */
export function dateOrderOf(
  stamps: readonly (Stamp | null)[],
  asked: Asked,
): Step<DateOrder | null> {
  const either = stamps.filter(
    (stamp): stamp is Stamp => stamp !== null && stamp.dayFirst !== stamp.monthFirst,
  )
  if (either.length === 0) return { ok: true, value: null }
  const onlyDayFirst = either.find(({ monthFirst }) => monthFirst === null)?.dayFirst
  const onlyMonthFirst = either.find(({ dayFirst }) => dayFirst === null)?.monthFirst
  if (isDay(onlyDayFirst) && isDay(onlyMonthFirst))
    return refuseFile({
      reason: 'mixed_dates',
      dayFirst: isoDate(onlyDayFirst),
      monthFirst: isoDate(onlyMonthFirst),
    })
  if (isDay(onlyDayFirst)) return { ok: true, value: 'day-first' }
  if (isDay(onlyMonthFirst)) return { ok: true, value: 'month-first' }
  const days = shareOfNextDays(stamps.map((stamp) => stamp?.dayFirst))
  const months = shareOfNextDays(stamps.map((stamp) => stamp?.monthFirst))
  if (days > 0.5 && months < 0.5) return { ok: true, value: 'day-first' }
  if (months > 0.5 && days < 0.5) return { ok: true, value: 'month-first' }
  const told =
    asked.answers?.dateOrder ??
    (asked.dayFirst === undefined ? null : asked.dayFirst ? 'day-first' : 'month-first')
  if (told !== null) return { ok: true, value: told }
  return ask({
    about: 'date-order',
    days: {
      dayFirst: isoDate(either[0]?.dayFirst ?? 0),
      monthFirst: isoDate(either[0]?.monthFirst ?? 0),
    },
    choices: [{ dateOrder: 'day-first' }, { dateOrder: 'month-first' }],
  })
}

const isDay = (day: number | null | undefined): day is number => typeof day === 'number'

/** A file runs from day to day: the share of its days that follow the one before. */
function shareOfNextDays(days: readonly (number | null | undefined)[]): number {
  const distinct = [...new Set(days.filter(isDay))].sort((a, b) => a - b)
  const steps = distinct.length - 1
  if (steps < 1) return 0.5
  return distinct.filter((day, i) => i > 0 && day - (distinct[i - 1] ?? 0) === 1).length / steps
}
