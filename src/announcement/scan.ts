// Walks the tokens of a text once and notes every day, range, clock and part of a day in it, with where
// it stands. What belongs to what is decided afterwards.

import type { Clock } from './clock.ts'
import { beginsClean, clockAt } from './clock.ts'
import type { DayContext, DayPart, DayWords } from './dayWords.ts'
import { dayAt } from './day.ts'
import { partAt } from './dayNear.ts'
import type { Range } from './range.ts'
import { rangeAt } from './range.ts'
import type { Timestamp } from './timestamp.ts'
import { timestampAt } from './timestamp.ts'
import type { Token } from './tokens.ts'
import { textAt } from './tokens.ts'

type Place = {
  /** Token indexes. */
  readonly from: number
  readonly next: number
  readonly sentence: number
}

export type Item = Place &
  (
    | { readonly kind: 'day'; readonly day: DayWords; readonly deadline: boolean }
    | { readonly kind: 'range'; readonly range: Range }
    | { readonly kind: 'clock'; readonly clock: Clock; readonly deadline: boolean }
    | { readonly kind: 'timestamp'; readonly timestamp: Timestamp }
    | { readonly kind: 'part'; readonly part: DayPart }
  )

/** More than any announcement names; the rest of a longer text is not read. */
const MAX_ITEMS = 200

const DEADLINE = new Set(['by', 'before', 'deadline', 'latest'])
const LINKING = new Set(['on', 'at', ',', 'the', ':', 'is'])

function afterDeadline(tokens: readonly Token[], from: number, last: Item | undefined): boolean {
  let at = from - 1
  while (at > from - 4 && LINKING.has(textAt(tokens, at))) at -= 1
  if (DEADLINE.has(textAt(tokens, at))) return true
  const follows = last !== undefined && last.next >= at + 1
  return follows && (last.kind === 'day' || last.kind === 'clock') && last.deadline
}

export function scan(context: DayContext, tokens: readonly Token[]): readonly Item[] {
  const items: Item[] = []
  let sentence = 0
  let index = 0
  while (index < tokens.length && items.length < MAX_ITEMS) {
    const from = index
    const kind = tokens[index]?.kind
    if (kind === 'break') sentence += 1
    const inside = kind === 'number' && !beginsClean(tokens, index)
    if (kind === 'break' || kind === 'mark' || inside) {
      index += 1
      continue
    }
    const deadline = () => afterDeadline(tokens, from, items.at(-1))
    const day = dayAt(context, tokens, index)
    const range = day === null ? rangeAt(context, tokens, index) : null
    const clock = day === null && range === null ? clockAt(tokens, index) : null
    const timestamp = range === null ? timestampAt(tokens, index) : null
    const part = partAt(tokens, index)
    index += 1
    if (day !== null) {
      items.push({
        kind: 'day',
        day: day.value,
        deadline: deadline(),
        from,
        next: day.next,
        sentence,
      })
      index = day.next
    } else if (range !== null) {
      items.push({ kind: 'range', range: range.value, from, next: range.next, sentence })
      index = range.next
    } else if (clock !== null) {
      items.push({
        kind: 'clock',
        clock: clock.value,
        deadline: deadline(),
        from,
        next: clock.next,
        sentence,
      })
      index = clock.next
    } else if (timestamp !== null) {
      items.push({ kind: 'timestamp', timestamp, from, next: index, sentence })
    } else if (part !== null && textAt(tokens, from - 1) !== 'good') {
      items.push({ kind: 'part', part, from, next: index, sentence })
    }
    // `Start: 17:30` and `End: 18:30` may stand on two lines.
    for (let i = from; i < index; i += 1) if (tokens[i]?.kind === 'break') sentence += 1
  }
  return items
}
