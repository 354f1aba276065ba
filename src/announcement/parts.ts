// A text taken apart: its tokens, what they name, and its sentences. For whoever needs its days and times
// without its meaning.

import type { Instant } from '../plan/index.ts'
import type { Attached } from './attach.ts'
import { attach, onOneClock } from './attach.ts'
import { sentencesOf } from './change.ts'
import { localDayOf, localTimeOf } from './localTime.ts'
import type { Item } from './scan.ts'
import { scan } from './scan.ts'
import { withoutAnswered, withoutHeaders, withoutSentAt } from './smallPrint.ts'
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

function partsOfPlain(plain: string, context: AnnouncementContext): Parts {
  const tokens = tokensOf(plain)
  const today = localDayOf(context.now, context.timeZone)
  const { hour, minute } = localTimeOf(context.now, context.timeZone)
  const around = { today, minuteOfDay: hour * 60 + minute, dayFirst: context.dayFirst }
  const sentences = sentencesOf(tokens)
  const all = scan(around, tokens)
  const items = onOneClock(withoutAnswered(all, tokens, sentences))
  return { tokens, items, ranges: attach(items, tokens), sentences }
}

/** Takes a text apart; the small print is left out, the heading of an e-mail only where a range remains. */
export function partsOf(text: string, context: AnnouncementContext): Parts {
  const plain = withoutSentAt(plainText(text))
  const body = withoutHeaders(plain)
  if (body === plain) return partsOfPlain(plain, context)
  const parts = partsOfPlain(body, context)
  return parts.ranges.length > 0 ? parts : partsOfPlain(plain, context)
}

const PLAIN_WORDS = new Set(
  "event session saving saver peak battery demand response new next time times window hour please pls the a an is it on at from for and next it's there's there will be this our your pm am local yes confirmed energy grid date when start starts begins end ends announced announcement".split(
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

const isUnread = (token: Token | undefined): boolean =>
  token?.kind === 'word' && !PLAIN_WORDS.has(token.text) && !VERBS.has(token.text)

const BEFORE_TIMES = new Set(['from', 'at', 'between', ',', ':', '('])

/** Whether a word stands beside the time that may well name a day, in words that are not known here: `lundi`, `on lundi`, `xmas eve`. */
export function hasUnreadDay(parts: Parts, { from, next, sentence }: Item): boolean {
  const { tokens } = parts
  let at = from - 1
  while (at > from - 3 && BEFORE_TIMES.has(textAt(tokens, at))) at -= 1
  const eve = textAt(tokens, at) === 'eve'
  const placed = eve || textAt(tokens, at - 1) === 'on'
  if (placed && isUnread(tokens[eve ? at - 1 : at])) return true
  const words = leftover(parts, sentence).filter(isUnread)
  const beside = [tokens[from - 1], tokens[next]]
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
