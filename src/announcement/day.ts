// One day as people write it: `today`, `thursday`, `Thu 14 Jan`, `14/1`, `2027-01-14`, `a week today`.
// Gives day numbers; where the words allow several, all of them.

import { weekdayOf } from './calendarDay.ts'
import type { Found } from './clock.ts'
import { withMonthName, withNumbers } from './dayDate.ts'
import { counted, inSomeWeek, onWeekday, relative } from './dayNear.ts'
import type { DayContext, DayWords } from './dayWords.ts'
import type { Token } from './tokens.ts'
import { textAt } from './tokens.ts'

/** The day that begins at a token, if one does; a weekday written beside a date must agree with it. */
export function dayAt(
  context: DayContext,
  tokens: readonly Token[],
  index: number,
): Found<DayWords> | null {
  const simple =
    counted(context, tokens, index) ??
    relative(context, tokens, index) ??
    inSomeWeek(context, tokens, index)
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
