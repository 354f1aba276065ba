// Instants as text (RFC 3339 §5.6): strict in, UTC out. Not a reader of human dates.

import { asInstant } from '../../plan/index.ts'
import type { Instant, Result } from '../../plan/index.ts'
import { ok, refuse } from '../../plan/index.ts'

export const FIRST_YEAR = 2000
export const LAST_YEAR = 2200

export type InstantRefusal = 'form' | 'no-such-instant' | 'leap-second' | 'year'

// §5.6: "T" and "Z" may be lower case; the offset is required, the seconds too.
const FORM =
  /^(\d{4})-(\d\d)-(\d\d)[Tt](\d\d):(\d\d):(\d\d)(\.\d{1,12})?(?:[Zz]|([+-])(\d\d):(\d\d))$/

/** Reads an instant, exact to the millisecond; more digits are cut off. */
export function parseInstant(text: string): Result<Instant, InstantRefusal> {
  const match = FORM.exec(text)
  if (match === null) return refuse('form')
  const part = (index: number) => Number(match[index] ?? 0)
  const [year, month, day] = [part(1), part(2), part(3)]
  const [hour, minute, second] = [part(4), part(5), part(6)]
  if (second === 60) return refuse('leap-second')
  if (hour > 23 || minute > 59 || second > 59 || part(9) > 23 || part(10) > 59)
    return refuse('no-such-instant')
  if (!dayExists(year, month, day)) return refuse('no-such-instant')
  if (year < FIRST_YEAR || year > LAST_YEAR) return refuse('year')
  const ms = Math.floor(part(7) * 1000 + 1e-6)
  const offsetMinutes = (match[8] === '-' ? -1 : 1) * (part(9) * 60 + part(10))
  return ok(
    asInstant(Date.UTC(year, month - 1, day, hour, minute, second, ms) - offsetMinutes * 60_000),
  )
}

/** Whether a day is in the calendar: `2027-02-29` is not. */
export function dayExists(year: number, month: number, day: number): boolean {
  const date = new Date(0)
  date.setUTCFullYear(year, month - 1, day)
  return date.getUTCMonth() === month - 1 && date.getUTCDate() === day
}

/** `2027-01-14T20:28:36Z`; milliseconds only where there are some. */
export const printInstant = (at: Instant): string =>
  new Date(Math.floor(at)).toISOString().replace('.000Z', 'Z')

/** The same for what was computed: the whole second before, so that a limit is never told too late, but not before `now`. */
export function printComputed(at: Instant, now: Instant): string {
  const second = asInstant(Math.floor(at / 1000) * 1000)
  return printInstant(at >= now && second < now ? now : second)
}
