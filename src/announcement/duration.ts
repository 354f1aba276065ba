// How long, as people write it: `90 min`, `1 h 30`, `1.5 hours`, `an hour and a half`, `PT1H`. Minutes.

import type { Found } from './clock.ts'
import type { Token } from './tokens.ts'
import { isGlued, numberAt, textAt } from './tokens.ts'

const HOUR = new Set(['h', 'hr', 'hrs', 'hour', 'hours'])
const MINUTE = new Set(['m', 'min', 'mins', 'minute', 'minutes'])
const NUMBERS = new Map(
  'a:1 an:1 one:1 two:2 three:3 four:4 five:5 six:6 ten:10 fifteen:15 twenty:20 thirty:30 forty:40 fortyfive:45 sixty:60 ninety:90'
    .split(' ')
    .map((entry) => {
      const [word = '', value] = entry.split(':')
      return [word, Number(value)] as const
    }),
)

function amountAt(tokens: readonly Token[], index: number): Found<number> | null {
  const word = NUMBERS.get(textAt(tokens, index))
  if (word !== undefined) return { value: word, next: index + 1 }
  const whole = numberAt(tokens, index)
  if (whole === null) return null
  const decimals = tokens[index + 2]
  const decimal =
    (textAt(tokens, index + 1) === '.' || textAt(tokens, index + 1) === ',') &&
    isGlued(tokens, index + 1) &&
    decimals?.kind === 'number' &&
    decimals.glued &&
    decimals.text.length <= 2
  return decimal
    ? { value: Number(`${whole}.${decimals.text}`), next: index + 3 }
    : { value: whole, next: index + 1 }
}

function period(text: string): number | null {
  const parts = /^pt(\d+)([hm])(?:(\d+)m)?$/.exec(text)
  if (parts === null) return null
  const first = Number(parts[1])
  return parts[2] === 'h' ? first * 60 + Number(parts[3] ?? 0) : first
}

// `and a half`, `30`, `30 min`, `and 30 minutes` after hours.
function restAt(tokens: readonly Token[], index: number): Found<number> {
  const start = textAt(tokens, index) === 'and' ? index + 1 : index
  if (textAt(tokens, start) === 'a' && textAt(tokens, start + 1) === 'half')
    return { value: 30, next: start + 2 }
  const minutes = numberAt(tokens, start, 2)
  if (minutes !== null && minutes < 60) {
    if (MINUTE.has(textAt(tokens, start + 1))) return { value: minutes, next: start + 2 }
    if (start === index && isGlued(tokens, index)) return { value: minutes, next: start + 1 }
  }
  return { value: 0, next: index }
}

/** The duration in minutes that begins at a token, if one does. */
export function durationAt(tokens: readonly Token[], index: number): Found<number> | null {
  if (tokens[index]?.kind === 'period') {
    const value = period(textAt(tokens, index))
    return value === null ? null : { value, next: index + 1 }
  }
  if (textAt(tokens, index) === 'half' && textAt(tokens, index + 1) === 'an')
    return HOUR.has(textAt(tokens, index + 2)) ? { value: 30, next: index + 3 } : null
  const amount = amountAt(tokens, index)
  if (amount === null) return null
  const dash = textAt(tokens, amount.next) === '-' ? amount.next + 1 : amount.next
  const unit = textAt(tokens, dash)
  if (MINUTE.has(unit)) return { value: amount.value, next: dash + 1 }
  if (!HOUR.has(unit)) {
    // `one and a half hours`
    const half = textAt(tokens, dash) === 'and' && textAt(tokens, dash + 2) === 'half'
    return half && HOUR.has(textAt(tokens, dash + 3))
      ? { value: amount.value * 60 + 30, next: dash + 4 }
      : null
  }
  const rest = restAt(tokens, dash + 1)
  return { value: amount.value * 60 + rest.value, next: rest.next }
}
