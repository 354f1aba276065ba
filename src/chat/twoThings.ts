// `done 58`, `it shows 58 and done`, `held at 46 %`: one message that says two things; `paused at 15:40`
// says one.

import type { Token } from '../announcement/index.ts'
import { clockAt } from '../announcement/index.ts'
import { ask } from './choices.ts'
import type { ChatContext, Intent } from './intent.ts'
import { fixedPhrase } from './phrases.ts'
import { pastInstant, reading } from './reading.ts'

/** A longer message is none of these. */
const MAX_TOKENS = 24

const BETWEEN = new Set(['and', ',', '.', ';', '-', ':', 'at', 'with'])

const own = ({ kind, text }: Token) => kind !== 'break' && !BETWEEN.has(text)

function trimmed(tokens: readonly Token[]): readonly Token[] {
  return tokens.slice(tokens.findIndex(own), tokens.findLastIndex(own) + 1)
}

const isDone = (intent: Intent | null) => intent?.kind === 'done'

/** A message that says what was done, and beside it a time or what the battery shows; null when it is not. */
export function twoThings(tokens: readonly Token[], context: ChatContext): Intent | null {
  if (tokens.length > MAX_TOKENS) return null
  for (let cut = 1; cut < tokens.length; cut += 1) {
    const one = trimmed(tokens.slice(0, cut))
    const other = trimmed(tokens.slice(cut))
    const first = fixedPhrase(one)
    const clock = tokens[cut - 1]?.text === 'at' ? clockAt(tokens, cut) : null
    if (first?.kind === 'done' && clock !== null && clock.next === tokens.length)
      return pastInstant(clock.value, context) === 'future' ? null : first
    const shown = isDone(first)
      ? reading(other, context)
      : isDone(fixedPhrase(other))
        ? reading(one, context)
        : null
    if (shown?.kind === 'reading')
      return ask({ reason: 'two_things' }, [
        { label: { kind: 'done' }, send: 'done' },
        { label: { kind: 'reading', socPct: shown.socPct }, send: `${shown.socPct} %` },
      ])
  }
  return null
}
