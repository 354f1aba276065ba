// One day as people write it: `today`, `thursday`, `Thu 14 Jan`, `14/1`, `2027-01-14`, `a week today`.
// Gives day numbers; where the words allow several, all of them.

import { dateExists, dateOf, dayNumber, weekdayOf } from './calendarDay.ts'
import type { Found } from './clock.ts'
import { beginsClean } from './clock.ts'
import type { Token } from './tokens.ts'
import { isGlued, numberAt, textAt } from './tokens.ts'

export type DayPart = 'morning' | 'afternoon' | 'evening' | 'night'

export type DayWords = {
  /** The day meant, and what else the same words could mean. */
  readonly day: number
  readonly others: readonly number[]
  /** Why it takes a question, if it does. */
  readonly unsure: 'which_week' | 'weekday_mismatch' | 'no_such_day' | null
  /** By the name of a weekday alone: it comes again in seven days. */
  readonly byWeekday: boolean
  readonly part: DayPart | null
  /** Written as ISO 8601 has it: clocks beside it run to 24. */
  readonly iso: boolean
}

export type DayContext = { readonly today: number; readonly dayFirst: boolean }

const WEEKDAYS = ['monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday', 'sunday']
const MONTHS =
  'january february march april may june july august september october november december'.split(' ')
const TOMORROW = new Set(['tomorrow', 'tomorow', 'tommorow', 'tommorrow', 'tmrw', 'tmr', '2moro'])
const PARTS = new Map<string, DayPart>([
  ['morning', 'morning'],
  ['afternoon', 'afternoon'],
  ['evening', 'evening'],
  ['eve', 'evening'],
  ['night', 'night'],
])
const ORDINALS = new Set(['st', 'nd', 'rd', 'th'])
const COUNTS = new Map([
  ['a', 1],
  ['one', 1],
  ['two', 2],
  ['three', 3],
])

const nameIn = (names: readonly string[], text: string, shortest: number): number => {
  const word = text.endsWith("'s") ? text.slice(0, -2) : text
  if (word === 'weds') return names === WEEKDAYS ? 2 : -1
  if (word.length < shortest) return -1
  return names.findIndex((name) => name.startsWith(word) || `${name}s` === word)
}
const weekdayName = (tokens: readonly Token[], index: number) =>
  nameIn(WEEKDAYS, textAt(tokens, index), 3)
const monthName = (tokens: readonly Token[], index: number) =>
  nameIn(MONTHS, textAt(tokens, index), 3)

export const plainDay = (day: number, part: DayPart | null = null): DayWords => ({
  day,
  others: [],
  unsure: null,
  byWeekday: false,
  part,
  iso: false,
})

// 31 April: said to be wrong, never read as some other day.
const noSuchDay = (today: number): DayWords => ({ ...plainDay(today), unsure: 'no_such_day' })

/** The part of the day that a word names, if it does. */
export function partAt(tokens: readonly Token[], index: number): DayPart | null {
  const text = textAt(tokens, index)
  return text === 'tonight' || text === 'tonite' ? 'evening' : (PARTS.get(text) ?? null)
}

const comingWeekday = (weekday: number, today: number) =>
  today + ((weekday - weekdayOf(today) + 7) % 7)

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

function withMonthName({ today }: DayContext, tokens: readonly Token[], index: number) {
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

// `14/1`, `14/1/27`, `2027-01-14`, `14.01.2027`: the household's order, and the other one when both exist.
function withNumbers({ today, dayFirst }: DayContext, tokens: readonly Token[], index: number) {
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
  if (stuck?.glued === true && (stuck.kind !== 'mark' || stuck.text === '%')) return null
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

// `in 3 days`, `a week today`, `a week on thursday`, `today week`.
function counted(context: DayContext, tokens: readonly Token[], index: number) {
  const begins = textAt(tokens, index) === 'in' ? index + 1 : index
  const count = COUNTS.get(textAt(tokens, begins)) ?? numberAt(tokens, begins, 2)
  if (count === null || count === undefined) return null
  const unit = textAt(tokens, begins + 1)
  const days = /^weeks?$/.test(unit) ? 7 * count : /^days?$/.test(unit) ? count : null
  if (days === null) return null
  if (begins > index) return { value: plainDay(context.today + days), next: begins + 2 }
  const link = ['on', 'from'].includes(textAt(tokens, begins + 2)) ? begins + 3 : begins + 2
  const base = relative(context, tokens, link) ?? onWeekday(context, tokens, link)
  return base === null
    ? null
    : { value: { ...plainDay(base.value.day + days), part: base.value.part }, next: base.next }
}

function relative({ today }: DayContext, tokens: readonly Token[], index: number) {
  const text = textAt(tokens, index).replace(/'s$/, '')
  const bare =
    text === 'today'
      ? today
      : TOMORROW.has(text)
        ? today + 1
        : text === 'yesterday'
          ? today - 1
          : null
  if (bare !== null) {
    const week = textAt(tokens, index + 1) === 'week' ? 7 : 0
    const part = week === 0 ? partAt(tokens, index + 1) : null
    return {
      value: plainDay(bare + week, part),
      next: index + (week > 0 || part !== null ? 2 : 1),
    }
  }
  if (text === 'tonight' || text === 'tonite')
    return { value: plainDay(today, 'evening'), next: index + 1 }
  const part = text === 'this' ? partAt(tokens, index + 1) : null
  if (part !== null) return { value: plainDay(today, part), next: index + 2 }
  if (text === 'day' && textAt(tokens, index + 1) === 'after')
    return TOMORROW.has(textAt(tokens, index + 2))
      ? { value: plainDay(today + 2), next: index + 3 }
      : null
  return null
}

function onWeekday({ today }: DayContext, tokens: readonly Token[], index: number) {
  const which = textAt(tokens, index)
  const prefixed = ['this', 'coming', 'next', 'last', 'past'].includes(which)
  const weekday = weekdayName(tokens, prefixed ? index + 1 : index)
  if (weekday < 0) return null
  const coming = comingWeekday(weekday, today)
  const next = index + (prefixed ? 2 : 1)
  const part = partAt(tokens, next)
  const value: DayWords = { ...plainDay(coming, part), byWeekday: true }
  const end = part === null ? next : next + 1
  if (which === 'last' || which === 'past')
    return { value: plainDay(coming === today ? today - 7 : coming - 7, part), next: end }
  if (textAt(tokens, next) === 'week') return { value: plainDay(coming + 7), next: next + 1 }
  if (which === 'next') {
    const first = coming === today ? today + 7 : coming
    // From a Saturday, `next Thursday` is the coming one; from a Monday, people differ.
    const sure = first - today > 6 - weekdayOf(today)
    if (sure) return { value: { ...value, day: first }, next: end }
    return {
      value: { ...value, day: first, others: [first + 7], unsure: 'which_week' as const },
      next: end,
    }
  }
  return { value, next: end }
}

/** The day that begins at a token, if one does; a weekday written beside a date must agree with it. */
export function dayAt(
  context: DayContext,
  tokens: readonly Token[],
  index: number,
): Found<DayWords> | null {
  const simple = counted(context, tokens, index) ?? relative(context, tokens, index)
  if (simple !== null) return simple
  const weekday = onWeekday(context, tokens, index)
  const gap = weekday === null ? index : skipTo(tokens, weekday.next)
  const date = withMonthName(context, tokens, gap) ?? withNumbers(context, tokens, gap)
  if (weekday === null) return date
  if (date === null) return weekday
  const wanted = weekdayOf(weekday.value.day)
  if (weekdayOf(date.value.day) === wanted) return { ...date, value: { ...date.value, others: [] } }
  const others = [...date.value.others, weekday.value.day]
  return { ...date, value: { ...date.value, others, unsure: 'weekday_mismatch' } }
}

const skipTo = (tokens: readonly Token[], index: number): number =>
  [',', '(', 'the', 'on'].includes(textAt(tokens, index)) ? index + 1 : index
