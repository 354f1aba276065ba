// A text taken apart: its tokens, what they name, and its sentences. For whoever needs its days and times
// without its meaning.

import type { Instant } from '../plan/index.ts'
import type { Attached } from './attach.ts'
import { attach } from './attach.ts'
import { sentencesOf } from './change.ts'
import { localDayOf } from './localTime.ts'
import type { Item } from './scan.ts'
import { scan } from './scan.ts'
import type { Token } from './tokens.ts'
import { plainText, textAt, tokensOf } from './tokens.ts'

export type AnnouncementContext = {
  readonly now: Instant
  /** IANA name. */
  readonly timeZone: string
  /** 10/11 is the tenth of November. */
  readonly dayFirst: boolean
  readonly language: 'en'
  /** A person has said yes to what would be asked as too long or too far ahead. */
  readonly confirmed?: boolean
}

export type Parts = {
  readonly tokens: readonly Token[]
  readonly items: readonly Item[]
  readonly ranges: readonly Attached[]
  readonly sentences: readonly string[]
}

export function partsOf(text: string, context: AnnouncementContext): Parts {
  const tokens = tokensOf(plainText(text))
  const today = localDayOf(context.now, context.timeZone)
  const items = scan({ today, dayFirst: context.dayFirst }, tokens)
  return { tokens, items, ranges: attach(items, tokens), sentences: sentencesOf(tokens) }
}

const PLAIN_WORDS = new Set(
  "event session saving saver peak battery demand response new next time times window hour please pls the a an is it on at from for and next it's there's there will be this our your pm am local yes confirmed energy grid date when start starts end ends announced announcement".split(
    ' ',
  ),
)

// The tokens of a sentence that belong to no item.
function leftover({ tokens, items }: Parts, sentence: number): readonly Token[] {
  const covered = new Set<number>()
  for (const item of items) for (let i = item.from; i < item.next; i += 1) covered.add(i)
  let current = 0
  return tokens.filter((token, index) => {
    if (token.kind === 'break') current += 1
    return current === sentence && !covered.has(index) && token.kind !== 'break'
  })
}

/** Whether a sentence says nothing besides its times. */
export const isBare = (parts: Parts, sentence: number): boolean =>
  leftover(parts, sentence).every(({ kind, text }) =>
    kind === 'mark' ? !/[£$€#%]/.test(text) : PLAIN_WORDS.has(text),
  )

/** Whether a sentence has a figure that was not understood. */
export const hasFigure = (parts: Parts, sentence: number): boolean =>
  leftover(parts, sentence).some(({ kind }) => kind === 'number')

const VERBS = new Set('runs run starts begins lasts happens goes takes place'.split(' '))

/** Whether a short sentence has a word beside the time that may well name a day, in words that are not known here. */
export function hasUnreadDay(parts: Parts, { from, next, sentence }: Item): boolean {
  const words = leftover(parts, sentence).filter(
    ({ kind, text }) => kind === 'word' && !PLAIN_WORDS.has(text) && !VERBS.has(text),
  )
  const beside = [parts.tokens[from - 1], parts.tokens[next]]
  return words.length > 0 && words.length <= 2 && words.some((word) => beside.includes(word))
}

const MOVES = new Set('moved changed shifted rescheduled postponed forward back'.split(' '))
const OLD = new Set([
  'instead',
  'rather',
  'not',
  'was',
  'previously',
  'originally',
  'old',
  'formerly',
])

/** Of several ranges in a change of time, the new one: not the one called old, and the last. */
export function newRange({ tokens }: Parts, ranges: readonly Attached[]): Attached | undefined {
  const isOld = ({ item }: Attached) =>
    (item.range.from && MOVES.has(textAt(tokens, item.from - 1))) ||
    [1, 2, 3].some((back) => OLD.has(textAt(tokens, item.from - back)))
  const fresh = ranges.filter((one) => !isOld(one))
  return (fresh.length > 0 ? fresh : ranges).at(-1)
}
