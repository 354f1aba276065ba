// Which days a range belongs to: those written just before it, those just after when the text puts times
// first, or the heading above.

import type { Clock } from './clock.ts'
import type { DayPart, DayWords } from './dayWords.ts'
import type { Item } from './scan.ts'
import type { Token } from './tokens.ts'
import { textAt } from './tokens.ts'

type DayItem = Extract<Item, { kind: 'day' }>
export type RangeItem = Extract<Item, { kind: 'range' }>

export type Attached = {
  readonly item: RangeItem
  /** Empty: no day was named. */
  readonly days: readonly DayWords[]
  readonly part: DayPart | null
  /** The day stands in the range's own sentence. */
  readonly near: boolean
}

const isDay = (item: Item): item is DayItem => item.kind === 'day' && !item.deadline

// Days joined as `thursday, friday and saturday`, or `thursday to saturday`, around one of them.
function joined(days: readonly DayItem[], at: number, step: 1 | -1, tokens: readonly Token[]) {
  const run: DayItem[] = []
  for (let i = at; days[i] !== undefined; i += step) {
    const day = days[i]
    const last = run.at(-1)
    if (day === undefined) break
    if (last !== undefined) {
      const [a, b] = step === 1 ? [last, day] : [day, last]
      const link = textAt(tokens, a.next)
      if (b.from > a.next + 1 || !['and', ',', '&', '+', '/', 'to', '-'].includes(link)) break
      if (link === 'to' || link === '-') {
        const between = Array.from(
          { length: Math.min(7, Math.max(0, b.day.day - a.day.day - 1)) },
          (_, n) => ({ ...a, day: { ...a.day, day: a.day.day + n + 1 } }),
        )
        run.push(...between)
      }
    }
    run.push(day)
  }
  return run.map((item) => item.day).sort((a, b) => a.day - b.day)
}

const plainly24 = ({ range: { start } }: RangeItem): boolean =>
  'hour' in start && start.half === null && start.hour >= 13

const certain = (clock: Clock): Clock => ({ ...clock, either: false })

/** The items with one clock of 24 hours for all, where one range is plainly so: `7:00-9:00 and 17:00-19:00`. */
export function onOneClock(items: readonly Item[]): readonly Item[] {
  if (!items.some((item) => item.kind === 'range' && plainly24(item))) return items
  return items.map((item) => {
    if (item.kind !== 'range') return item
    const { start, end } = item.range
    if (
      !('hour' in start) ||
      start.weak ||
      start.hour < 7 ||
      start.hour > 12 ||
      end.kind !== 'clock'
    )
      return item
    const range = {
      ...item.range,
      start: certain(start),
      end: { ...end, clock: certain(end.clock) },
    }
    return { ...item, range }
  })
}

/** Gives each range its days and its part of the day. */
export function attach(items: readonly Item[], tokens: readonly Token[]): readonly Attached[] {
  const ranges = items.filter((item) => item.kind === 'range')
  const days = items.filter(isDay)
  const distinct = new Set(days.map((item) => item.day.day)).size
  return ranges.map((item) => {
    const inSentence = (other: Item) => other.sentence === item.sentence
    const near = days.filter(inSentence)
    const parts = new Set(
      items.flatMap((other) => (other.kind === 'part' && inSentence(other) ? [other.part] : [])),
    )
    const [onlyPart] = parts
    const part = parts.size === 1 && onlyPart !== undefined ? onlyPart : null
    const done = (found: readonly DayWords[]) => ({
      item,
      days: found,
      part,
      near: near.length > 0,
    })
    if (item.range.day !== null) return { ...done([item.range.day]), near: true }
    if ('minuteOfDay' in item.range.start) return done([])
    const firstRange = ranges.find(inSentence)
    const [firstDay] = near
    const timesFirst =
      firstRange !== undefined && firstDay !== undefined && firstRange.from < firstDay.from
    if (timesFirst) {
      const after = near.findIndex((day) => day.from > item.from)
      if (after >= 0) return done(joined(near, after, 1, tokens))
    }
    const before = days.findLastIndex(
      (day) => day.from < item.from && (near.length === 0 || inSentence(day)),
    )
    if (before >= 0) return done(joined(days, before, -1, tokens))
    const [only] = days
    return done(distinct === 1 && only !== undefined ? [only.day] : [])
  })
}
