// Free text to tokens: numbers, words, marks, breaks between sentences, and timestamps as ISO 8601
// writes them. One pass, linear in the text; nothing here knows what a time means.

export type Token = {
  readonly kind: 'number' | 'word' | 'mark' | 'break' | 'timestamp' | 'period'
  /** Lower case. */
  readonly text: string
  /** No space between it and the token before. */
  readonly glued: boolean
}

/** Longer text is cut: no announcement needs more. */
const MAX_CHARS = 100_000

const DASHES = /[\u2010-\u2015\u2212\ufe58\ufe63\uff0d]/g
const QUOTES = /[\u2018\u2019\u02bc`\u00b4]/g
const INVISIBLE = /\u00ad|[\u200b-\u200f]|\u2060|\ufe0e|\ufe0f|\ufeff/g

/** The same text in plain characters: full-width digits, dashes, quotes, spaces, `p.m.`; lower case. */
export const plainText = (text: string): string =>
  text
    .slice(0, MAX_CHARS)
    .replace(INVISIBLE, '')
    .replace(DASHES, '-')
    .replace(QUOTES, "'")
    .replaceAll('½', ' 1/2')
    .normalize('NFKC')
    .slice(0, MAX_CHARS)
    .toLowerCase()
    .replace(/([ap])\. ?m\b\.?/g, '$1m')

// A dot after these ends no sentence.
const SHORTENED = new Set(
  'jan feb mar apr jun jul aug sep sept oct nov dec mon tue tues wed thu thur thurs fri sat sun hr hrs min mins approx'.split(
    ' ',
  ),
)

// Every part is bounded or a single class repeated: no way to match one text in two ways.
const TOKEN =
  /(?<timestamp>\d{4}-?\d\d-?\d\dt\d\d:?\d\d(?::?\d\d(?:\.\d{1,9})?)?(?:z|[+-](?:0\d|1[0-4])(?::?[0-5]\d)?)?(?![\d:]))|(?<period>pt\d{1,3}[hm](?:\d{1,3}m)?(?![a-z\d]))|(?<number>\d+)|(?<word>[\p{L}\p{M}][\p{L}\p{M}']*)|(?<break>[\n\r;!?•|])|(?<mark>\S)|(?<space>\s)/gu

export function tokensOf(plain: string): readonly Token[] {
  const tokens: Token[] = []
  let spaced = true
  for (const match of plain.matchAll(TOKEN)) {
    const groups = match.groups ?? {}
    const text = match[0]
    if (groups['space'] !== undefined) {
      spaced = true
      continue
    }
    const last = tokens.at(-1)
    const ends = text === '.' && /^\s?$/.test(plain.slice(match.index + 1, match.index + 2))
    if (ends && last !== undefined && !spaced && SHORTENED.has(last.text)) continue
    const kind =
      groups['timestamp'] !== undefined
        ? 'timestamp'
        : groups['period'] !== undefined
          ? 'period'
          : groups['number'] !== undefined
            ? 'number'
            : groups['word'] !== undefined
              ? 'word'
              : groups['break'] !== undefined || ends
                ? 'break'
                : 'mark'
    tokens.push({ kind, text, glued: !spaced })
    spaced = false
  }
  return tokens
}

/** The text of a token, or '' past the end. */
export const textAt = (tokens: readonly Token[], index: number): string => tokens[index]?.text ?? ''

export const isGlued = (tokens: readonly Token[], index: number): boolean =>
  tokens[index]?.glued ?? false

/** The value of a number of at most `digits` digits, or null. */
export function numberAt(tokens: readonly Token[], index: number, digits = 4): number | null {
  const token = tokens[index]
  return token?.kind === 'number' && token.text.length <= digits ? Number(token.text) : null
}
