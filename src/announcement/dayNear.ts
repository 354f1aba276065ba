// Days named from today: `today`, `tomorrow`, `thursday`, `next monday`, `in 3 days`, `a week today`.

import { weekdayOf } from './calendarDay.ts'
import type { Found } from './clock.ts'
import type { DayContext, DayPart, DayWords } from './dayWords.ts'
import { noDay, plainDay } from './dayWords.ts'
import { weekdayName } from './names.ts'
import type { Token } from './tokens.ts'
import { numberAt, textAt } from './tokens.ts'

const TOMORROW = new Set(['tomorrow', 'tomorow', 'tommorow', 'tommorrow', 'tmrw', 'tmr', '2moro'])
const PARTS = new Map<string, DayPart>([
  ['morning', 'morning'],
  ['afternoon', 'afternoon'],
  ['evening', 'evening'],
  ['eve', 'evening'],
  ['night', 'night'],
])
const COUNTS = new Map([
  ['a', 1],
  ['one', 1],
  ['two', 2],
  ['three', 3],
])

/** The part of the day that a word names, if it does. */
export function partAt(tokens: readonly Token[], index: number): DayPart | null {
  const text = textAt(tokens, index)
  return text === 'tonight' || text === 'tonite' ? 'evening' : (PARTS.get(text) ?? null)
}

const comingWeekday = (weekday: number, today: number) =>
  today + ((weekday - weekdayOf(today) + 7) % 7)

const inNextWeek = (weekday: number, today: number) => today - weekdayOf(today) + 7 + weekday

// `in 3 days`, `a week today`, `a week on thursday`, `today week`.
export function counted(context: DayContext, tokens: readonly Token[], index: number) {
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

export function relative({ today }: DayContext, tokens: readonly Token[], index: number) {
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

export function onWeekday({ today }: DayContext, tokens: readonly Token[], index: number) {
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
  if (textAt(tokens, next) === 'next' && textAt(tokens, next + 1) === 'week')
    return { value: plainDay(inNextWeek(weekday, today)), next: next + 2 }
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

/** `next week on thursday`; `next week` or `the weekend` alone names no day. */
export function inSomeWeek(
  { today }: DayContext,
  tokens: readonly Token[],
  index: number,
): Found<DayWords> | null {
  const first = textAt(tokens, index)
  if (first === 'weekend') return { value: noDay(today), next: index + 1 }
  const period = textAt(tokens, index + 1)
  if (!['next', 'this'].includes(first) || !['week', 'month', 'weekend'].includes(period))
    return null
  const after = ['on', ','].includes(textAt(tokens, index + 2)) ? index + 3 : index + 2
  const weekday = weekdayName(tokens, after)
  if (weekday < 0 || period !== 'week') return { value: noDay(today), next: index + 2 }
  const day = first === 'next' ? inNextWeek(weekday, today) : inNextWeek(weekday, today) - 7
  return { value: plainDay(day), next: after + 1 }
}
