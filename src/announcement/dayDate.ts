// Days named by their date: `14 Jan`, `January 14, 2027`, `the 14th`, `14/1`, `2027-01-14`, `14.01.2027`.

import { dateExists, dateOf, dayNumber } from './calendarDay.ts'
import type { Found } from './clock.ts'
import { beginsClean } from './clock.ts'
import type { DayContext, DayWords } from './dayWords.ts'
import { noSuchDay, plainDay } from './dayWords.ts'
import { monthName } from './names.ts'
import type { Token } from './tokens.ts'
import { isGlued, numberAt, textAt } from './tokens.ts'

const ORDINALS = new Set(['st', 'nd', 'rd', 'th'])
/** Without a year: the one that puts the date nearest. */
function nearestYear(month: number, day: number, today: number): number | null {
  const { year } = dateOf(today)
  const days = [year - 1, year, year + 1]
    .map((y) => ({ year: y, month, day }))
    .filter(dateExists)
    .map(dayNumber)
    .sort((a, b) => Math.abs(a - today) - Math.abs(b - today))
  return days[0] ?? null
}

const dated = (year: number | null, month: number, day: number, today: number): number | null =>
  year === null
    ? nearestYear(month, day, today)
    : dateExists({ year, month, day })
      ? dayNumber({ year, month, day })
      : null

// A year after a date; `14 Jan 2030-2130` has none.
function yearAt(tokens: readonly Token[], index: number): Found<number> | null {
  const start = textAt(tokens, index) === ',' ? index + 1 : index
  const year = numberAt(tokens, start)
  if (year === null || year < 2000 || year > 2199) return null
  const after = textAt(tokens, start + 1)
  const clock =
    (after === '-' || after === 'to' || after === 'until' || after === 'till') &&
    (tokens[start + 2]?.text.length ?? 0) === 4 &&
    numberAt(tokens, start + 2) !== null
  return clock || after === 'h' || after === 'hrs' ? null : { value: year, next: start + 1 }
}

export function withMonthName({ today }: DayContext, tokens: readonly Token[], index: number) {
  const finish = (day: number, month: number, next: number): Found<DayWords> | null => {
    if (day < 1 || day > 31) return null
    const year = yearAt(tokens, next)
    const found = dated(year?.value ?? null, month + 1, day, today)
    return { value: found === null ? noSuchDay(today) : plainDay(found), next: year?.next ?? next }
  }
  const ordinal = (at: number) => (ORDINALS.has(textAt(tokens, at)) && isGlued(tokens, at) ? 1 : 0)
  const first = numberAt(tokens, index, 2)
  if (first !== null && beginsClean(tokens, index)) {
    const after = index + 1 + ordinal(index + 1)
    const linked = textAt(tokens, after) === 'of' || textAt(tokens, after) === '-'
    const month = monthName(tokens, linked ? after + 1 : after)
    if (month >= 0) return finish(first, month, (linked ? after + 1 : after) + 1)
    if (after > index + 1) {
      // `the 14th`: this month's, or the next month's once it is over.
      const { year, month: now, day } = dateOf(today)
      const later = first < day ? 1 : 0
      const { year: y, month: m } = dateOf(dayNumber({ year, month: now + later, day: 1 }))
      return dateExists({ year: y, month: m, day: first })
        ? { value: plainDay(dayNumber({ year: y, month: m, day: first })), next: after }
        : null
    }
    return null
  }
  const month = monthName(tokens, index)
  const linked = textAt(tokens, index + 1) === 'the' ? index + 2 : index + 1
  const day = month < 0 ? null : numberAt(tokens, linked, 2)
  if (day === null || textAt(tokens, linked + 1) === ':') return null
  return finish(day, month, linked + 1 + ordinal(linked + 1))
}

const isFigure = ({ kind }: Token) => kind !== 'mark' && kind !== 'break'

// `14/1`, `14/1/27`, `2027-01-14`, `14.01.2027`: the household's order, and the other one when both exist.
export function withNumbers(
  { today, dayFirst }: DayContext,
  tokens: readonly Token[],
  index: number,
) {
  if (!beginsClean(tokens, index)) return null
  const sep = textAt(tokens, index + 1)
  const parts: number[] = []
  let at = index
  while (parts.length < 3 && numberAt(tokens, at) !== null) {
    if (parts.length > 0 && !isGlued(tokens, at)) break
    parts.push(numberAt(tokens, at) ?? 0)
    at += 1
    if (parts.length === 3 || textAt(tokens, at) !== sep || !isGlued(tokens, at)) break
    if (tokens[at + 1]?.kind !== 'number' || !isGlued(tokens, at + 1)) break
    at += 1
  }
  const [a = 0, b = 0, c] = parts
  const stuck = tokens[at]
  if (stuck?.glued === true && (isFigure(stuck) || stuck.text === '%')) return null
  if (!['/', '-', '.'].includes(sep) || parts.length < 2) return null
  if (stuck?.glued === true && '/.-:'.includes(stuck.text) && tokens[at + 1]?.glued === true)
    return null
  const build = (year: number | null, month: number, day: number) =>
    month >= 1 && month <= 12 && day >= 1 ? dated(year, month, day, today) : null
  const yearFirst = a >= 2000 && a < 2200
  if (yearFirst) {
    const day = c === undefined || sep === '.' ? null : build(a, b, c)
    if (c === undefined || sep === '.') return null
    return { value: day === null ? noSuchDay(today) : { ...plainDay(day), iso: true }, next: at }
  }
  // `14.1.` with its second dot is a date, `14.1` is not.
  const dotted = c === undefined && sep === '.' && stuck?.text === '.' && stuck.glued && b <= 12
  if (dotted) {
    const day = build(null, b, a)
    return day === null ? null : { value: plainDay(day), next: at + 1 }
  }
  if (c === undefined && (sep !== '/' || (a === 24 && b === 7) || a > 31 || b > 31)) return null
  const year = c === undefined ? null : c < 100 ? 2000 + c : c
  const readings = [build(year, b, a), build(year, a, b)]
  if (!dayFirst) readings.reverse()
  const days = readings.filter((day) => day !== null)
  const [day, other] = days
  if (day === undefined)
    return a <= 31 && b <= 31 && Math.min(a, b) <= 12 ? { value: noSuchDay(today), next: at } : null
  return {
    value: { ...plainDay(day), others: other === undefined || other === day ? [] : [other] },
    next: at,
  }
}
