// A date and time as ISO 8601 writes it (`2027-01-14T17:30-04:00`), with or without an offset.

import { dateExists, dayNumber } from './calendarDay.ts'
import type { Token } from './tokens.ts'

export type Timestamp = {
  readonly day: number
  readonly minuteOfDay: number
  /** East positive; null: the household's own clock. */
  readonly offsetMinutes: number | null
}

const PARTS =
  /^(\d{4})-?(\d\d)-?(\d\d)t(\d\d):?(\d\d)(?::?\d\d(?:\.\d+)?)?(?:(z)|([+-])(\d\d)(?::?(\d\d))?)?$/

/** The timestamp at a token, or null when it names no real time. */
export function timestampAt(tokens: readonly Token[], index: number): Timestamp | null {
  const token = tokens[index]
  const parts = token?.kind === 'timestamp' ? PARTS.exec(token.text) : null
  if (parts === null) return null
  const part = (group: number) => Number(parts[group] ?? 0)
  const date = { year: part(1), month: part(2), day: part(3) }
  const minuteOfDay = part(4) * 60 + part(5)
  if (!dateExists(date) || part(5) > 59 || minuteOfDay > 1440) return null
  const sign = parts[7] === '-' ? -1 : 1
  const offsetMinutes =
    parts[6] !== undefined ? 0 : parts[7] !== undefined ? sign * (part(8) * 60 + part(9)) : null
  return { day: dayNumber(date), minuteOfDay, offsetMinutes }
}
