// What a cell says about time: a date, a clock time, both, or neither. Every expression here is anchored, its
// repeats are bounded, and a cell is cut to a length first, so that hostile text costs no more than plain text.

import { dayNumber } from './calendar.ts'
import { FIRST_YEAR, LAST_YEAR } from './limits.ts'

export type Stamp = {
  /** Day numbers as the date reads with the day or the month first; equal where there is one reading only. */
  readonly dayFirst: number | null
  readonly monthFirst: number | null
  readonly hasDate: boolean
  /** Minutes from 00:00, up to 1440 for 24:00; `null` for a date alone. */
  readonly minute: number | null
  /** Minutes before UTC, where the stamp says it. */
  readonly offset: number | null
}

const LONGEST = 48

const MONTHS = 'jan feb mar apr may jun jul aug sep oct nov dec'.split(' ')

const ISO = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?!\d)/
const NUMERIC = /^(\d{1,2})[-/.](\d{1,2})[-/.](\d{4}|\d{2})(?!\d)/
const DAY_NAMED = /^(\d{1,2})[-./ ]?([a-z]{3,9})[.,]?[-./ ]?(\d{4}|\d{2})(?!\d)/i
const NAMED_DAY = /^([a-z]{3,9})[. ] ?(\d{1,2}),? (\d{4})(?!\d)/i
const COMPACT = /^(\d{4})(\d{2})(\d{2})(?:[T ]?(\d{2}):?(\d{2})(?::?(\d{2}))?)?(?!\d)/
const WEEKDAY = /^(?:mon|tue|wed|thu|fri|sat|sun)[a-z]{0,6}[.,]{0,2} /i
const TIME =
  /^(\d{1,2})(?:[:.h](\d{2})(?:[:.](\d{2})(?:[.,]\d{1,9})?)?)?(?: ?([ap])\.?m\.?)?(?: ?(z|utc|gmt|[+-]\d{2}(?::?\d{2})?))?$/i
const RANGE = /^(.{4,24}?) ?(?: - | – |–| to | bis |\/) ?(.{4,24})$/i

/** Reads a cell; `null` where it tells no time. A range such as `00:00 - 00:30` is read as its start. */
export function readStamp(cell: string): Stamp | null {
  const text = cell.trim()
  if (text.length < 3 || text.length > LONGEST) return null
  const whole = readOne(text)
  if (whole !== null) return whole
  const range = RANGE.exec(text) ?? /^(\d{1,2}:\d{2}) ?- ?(\d{1,2}:\d{2})$/.exec(text)
  return range?.[1] !== undefined && range[2] !== undefined && readOne(range[2]) !== null
    ? readOne(range[1])
    : null
}

function readOne(text: string): Stamp | null {
  const clock = readClock(text, true)
  if (clock !== null) return { dayFirst: null, monthFirst: null, hasDate: false, ...clock }
  const date = readDate(text.replace(WEEKDAY, ''))
  if (date === null) return null
  const { dayFirst, monthFirst, rest } = date
  if (dayFirst === null && monthFirst === null) return null
  if (rest === '') return { dayFirst, monthFirst, hasDate: true, minute: null, offset: null }
  const time = readClock(rest, false)
  return time === null ? null : { dayFirst, monthFirst, hasDate: true, ...time }
}

type DatePart = { dayFirst: number | null; monthFirst: number | null; rest: string }

function readDate(text: string): DatePart | null {
  const iso = ISO.exec(text)
  if (iso) return sure(iso[1], iso[2], iso[3], text.slice(iso[0].length))
  const numeric = NUMERIC.exec(text)
  if (numeric) {
    const [matched, a, b, year] = numeric
    return {
      dayFirst: dayOf(year, b, a),
      monthFirst: dayOf(year, a, b),
      rest: afterDate(text.slice(matched.length)),
    }
  }
  const dayNamed = DAY_NAMED.exec(text)
  if (dayNamed) {
    const month = monthNamed(dayNamed[2])
    return month === null
      ? null
      : sure(dayNamed[3], month, dayNamed[1], text.slice(dayNamed[0].length))
  }
  const namedDay = NAMED_DAY.exec(text)
  if (namedDay) {
    const month = monthNamed(namedDay[1])
    return month === null
      ? null
      : sure(namedDay[3], month, namedDay[2], text.slice(namedDay[0].length))
  }
  const compact = COMPACT.exec(text)
  if (compact) {
    const [matched, year, month, day, hour, minute] = compact
    const time = hour === undefined ? '' : `${hour}:${minute}`
    return sure(year, month, day, time + text.slice(matched.length))
  }
  return null
}

const sure = (
  year: string | undefined,
  month: string | undefined,
  day: string | undefined,
  rest: string,
): DatePart => {
  const number = dayOf(year, month, day)
  return { dayFirst: number, monthFirst: number, rest: afterDate(rest) }
}

const afterDate = (rest: string): string => rest.replace(/^[T,]? {0,3}/i, '')

const monthNamed = (name: string | undefined): string | null => {
  const index = MONTHS.indexOf((name ?? '').slice(0, 3).toLowerCase())
  return index < 0 ? null : String(index + 1)
}

function dayOf(
  year: string | undefined,
  month: string | undefined,
  day: string | undefined,
): number | null {
  const full = Number(year) + ((year ?? '').length === 2 ? 2000 : 0)
  if (!(full >= FIRST_YEAR && full <= LAST_YEAR)) return null
  return dayNumber(full, Number(month), Number(day))
}

/** A time of day; alone in a cell it needs a colon or am/pm, or every number would be one. */
function readClock(text: string, alone: boolean): { minute: number; offset: number | null } | null {
  const match = TIME.exec(text)
  if (!match) return null
  const [, hours, minutes, , half, zone] = match
  if (minutes === undefined && half === undefined) return null
  if (alone && half === undefined && text.charAt((hours ?? '').length) === '.') return null
  const hour = Number(hours)
  const minute = Number(minutes ?? 0)
  if (minute > 59 || hour > 24 || (hour === 24 && minute > 0)) return null
  if (half !== undefined && (hour < 1 || hour > 12)) return null
  const of24 = half === undefined ? hour : (hour % 12) + (half.toLowerCase() === 'p' ? 12 : 0)
  return { minute: of24 * 60 + minute, offset: zone === undefined ? null : offsetOf(zone) }
}

function offsetOf(zone: string): number {
  if (/^[a-z]/i.test(zone)) return 0
  const minutes = Number(zone.slice(1, 3)) * 60 + Number(zone.slice(3).replace(':', '') || 0)
  return zone.startsWith('-') ? -minutes : minutes
}

/** Unix time in seconds or milliseconds, as a number of milliseconds; `null` for any other cell. */
export function readEpoch(cell: string): number | null {
  const text = cell.trim()
  const ms = /^\d{10}$/.test(text)
    ? Number(text) * 1000
    : /^\d{13}$/.test(text)
      ? Number(text)
      : null
  return ms !== null && ms >= 946_684_800_000 && ms < 4_102_444_800_000 ? ms : null
}
