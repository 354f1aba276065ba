// One time of day as people write it: `17:30`, `5.30pm`, `1730`, `17h30`, `half past five`, `noon`.
// Says what was written, not which half of the day was meant.

import type { Token } from './tokens.ts'
import { isGlued, numberAt, textAt } from './tokens.ts'

export type Clock = {
  /** As written: 0 to 24. */
  readonly hour: number
  readonly minute: number
  readonly half: 'am' | 'pm' | null
  /** One of twelve hours with no half named: it could be either. */
  readonly either: boolean
  /** Nothing but digits: it may be no time at all. */
  readonly weak: boolean
  /** `530`: a time only beside one that says am or pm. */
  readonly short: boolean
}

export type Found<T> = { readonly value: T; readonly next: number }

const HOURS = ' one two three four five six seven eight nine ten eleven twelve'.split(' ')
const PARTS = new Map([
  ['half', 30],
  ['quarter', 15],
  ['five', 5],
  ['ten', 10],
  ['twenty', 20],
])

// What a number may follow without a space, and still be a time.
const OPENERS = new Set(['@', '(', '[', '"', "'", '*', '_', '~', '-', ':', '>', ',', '='])

// What makes a number something else, before it and after it.
const MONEY = new Set(['£', '$', '€', '¥', '#', '+'])
const BEFORE = new Set('ref reference no number tel phone code pin ext page flat unit'.split(' '))
const UNITS = new Set(
  'kwh wh kw w v c f % p pence cents percent points credits hours hour hrs hr h minutes minute mins min seconds days day weeks week months years people customers households homes km miles degrees ° kg euros euro dollars pounds times'.split(
    ' ',
  ),
)

/** Whether a number at `index` begins something of its own, rather than the middle of a longer figure. */
export function beginsClean(tokens: readonly Token[], index: number): boolean {
  const before = tokens[index - 1]
  if (before === undefined || before.kind === 'break') return true
  if (MONEY.has(before.text) || BEFORE.has(before.text)) return false
  if (!isGlued(tokens, index)) return true
  if (before.kind !== 'mark' || !OPENERS.has(before.text)) return false
  const further = tokens[index - 2]
  const joined = before.glued && further !== undefined && further.kind === 'number'
  return !joined
}

/** Whether nothing is stuck to the end at `next` that makes the figure before it something else. */
export function endsClean(tokens: readonly Token[], next: number): boolean {
  const token = tokens[next]
  if (token === undefined) return true
  if (UNITS.has(token.text)) return false
  if (!token.glued) return true
  if (token.kind === 'word') return token.text === 'z'
  if (token.kind === 'number') return false
  if (token.text === '/' || token.text === '%') return false
  const followed = tokens[next + 1]
  return !('.,:'.includes(token.text) && followed?.kind === 'number' && followed.glued)
}

const isUnit = (text: string) => UNITS.has(text) && text !== 'h' && text !== 'hrs'

const hourWord = (tokens: readonly Token[], index: number): number => {
  const named = HOURS.indexOf(textAt(tokens, index))
  return named > 0 ? named : (numberAt(tokens, index, 2) ?? 0)
}

function halfAt(tokens: readonly Token[], index: number): Found<'am' | 'pm' | null> {
  const text = textAt(tokens, index)
  if (text === 'am' || text === 'pm') return { value: text, next: index + 1 }
  if (text === "o'clock" || text === 'oclock') return halfAt(tokens, index + 1)
  return { value: null, next: index }
}

function clock(
  hour: number,
  minute: number,
  half: 'am' | 'pm' | null,
  certain: boolean,
  weak: boolean,
  short = false,
): Clock | null {
  if (minute > 59 || hour > 24 || (hour === 24 && minute > 0)) return null
  if (half !== null && (hour < 1 || hour > 12)) return null
  const either = half === null && !certain && hour >= 1 && hour <= 12
  return { hour, minute, half, either, weak: weak && half === null, short: short && half === null }
}

// `half past five`, `quarter to 6`, `ten past five pm`, `half five` (British: half past).
function spoken(tokens: readonly Token[], index: number): Found<Clock> | null {
  const first = textAt(tokens, index) === 'a' ? index + 1 : index
  const part = PARTS.get(textAt(tokens, first)) ?? null
  if (part === null) {
    const hour = HOURS.indexOf(textAt(tokens, index))
    const half = halfAt(tokens, index + 1)
    if (hour <= 0 || half.next === index + 1) return null
    const value = clock(hour, 0, half.value, false, false)
    return value === null ? null : { value, next: half.next }
  }
  const link = textAt(tokens, first + 1)
  const linked = link === 'past' || link === 'to'
  if (!linked && textAt(tokens, first) !== 'half') return null
  const at = linked ? first + 2 : first + 1
  const hour = hourWord(tokens, at)
  if (hour < 1 || hour > 12) return null
  const half = halfAt(tokens, at + 1)
  if (!linked && UNITS.has(textAt(tokens, at + 1))) return null
  const back = link === 'to'
  const value = clock(
    back ? ((hour + 10) % 12) + 1 : hour,
    back ? 60 - part : part,
    // `quarter to 12 pm` is still before noon.
    back && hour === 12 && half.value !== null ? (half.value === 'am' ? 'pm' : 'am') : half.value,
    false,
    false,
  )
  return value === null ? null : { value, next: half.next }
}

function namedClock(tokens: readonly Token[], index: number): Found<Clock> | null {
  const at = textAt(tokens, index) === '12' ? index + 1 : index
  const plain = { minute: 0, either: false, weak: false, short: false }
  const word = textAt(tokens, at)
  if (word === 'noon' || word === 'midday')
    return { value: { ...plain, hour: 12, half: 'pm' }, next: at + 1 }
  // 24: the midnight that ends a day; as a start it is asked about.
  if (word === 'midnight') return { value: { ...plain, hour: 24, half: null }, next: at + 1 }
  return null
}

function digits(tokens: readonly Token[], index: number, inRange: boolean): Found<Clock> | null {
  const token = tokens[index]
  const number = numberAt(tokens, index)
  if (token === undefined || number === null) return null
  if (!inRange && !beginsClean(tokens, index)) return null
  const padded = token.text.startsWith('0')
  if (token.text.length > 2) {
    const half = halfAt(tokens, index + 1)
    const military = ['h', 'hrs', 'hours'].includes(textAt(tokens, half.next))
    const next = military ? half.next + 1 : half.next
    const short = token.text.length === 3
    if ((short && military) || !endsClean(tokens, next)) return null
    const value = clock(
      Math.floor(number / 100),
      number % 100,
      half.value,
      !short,
      !military,
      short,
    )
    return value === null ? null : { value, next }
  }
  const sep = textAt(tokens, index + 1)
  const minute = tokens[index + 2]
  const full =
    (sep === ':' || sep === '.' || sep === 'h') &&
    isGlued(tokens, index + 1) &&
    minute?.kind === 'number' &&
    minute.glued &&
    minute.text.length === 2
  if (full) {
    const seconds =
      textAt(tokens, index + 3) === ':' &&
      isGlued(tokens, index + 3) &&
      isGlued(tokens, index + 4) &&
      tokens[index + 4]?.text.length === 2 &&
      numberAt(tokens, index + 4, 2) !== null
    const half = halfAt(tokens, index + (seconds ? 5 : 3))
    const hours = ['h', 'hrs', 'hours'].includes(textAt(tokens, half.next)) && half.value === null
    const next = hours && sep === ':' ? half.next + 1 : half.next
    if (!endsClean(tokens, next)) return null
    const certain = padded || sep === 'h' || (hours && sep === ':')
    // `5.30` may be a price: only a colon or a half of the day makes it surely a time.
    const value = clock(number, Number(minute.text), half.value, certain, sep === '.')
    return value === null ? null : { value, next }
  }
  const half = halfAt(tokens, index + 1)
  const after = half.next > index + 1 ? half.next : index + 1
  if (half.next === index + 1 && ['h', 'hrs'].includes(textAt(tokens, after))) {
    // `17h` is an hour of the day, `2h` a duration.
    if (number < 13 || isUnit(textAt(tokens, after + 1))) return null
    const value = clock(number, 0, null, true, false)
    return value === null || !endsClean(tokens, after + 1) ? null : { value, next: after + 1 }
  }
  if (!endsClean(tokens, after)) return null
  const value = clock(number, 0, half.value, padded, half.next === index + 1)
  return value === null ? null : { value, next: after }
}

/** The time of day that begins at a token, if one does; the end of a range may be stuck to its dash. */
export const clockAt = (
  tokens: readonly Token[],
  index: number,
  inRange = false,
): Found<Clock> | null =>
  namedClock(tokens, index) ?? digits(tokens, index, inRange) ?? spoken(tokens, index)

/** `five`, where only a time is expected: beside another, in a range. */
export function hourWordAt(tokens: readonly Token[], index: number): Found<Clock> | null {
  const hour = HOURS.indexOf(textAt(tokens, index))
  const value = hour > 0 ? clock(hour, 0, null, false, true) : null
  return value === null ? null : { value, next: index + 1 }
}
