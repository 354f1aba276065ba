// Figures as people's programs write them: decimal point or comma, thousands apart, a unit behind.

export type Decimals = 'point' | 'comma'

const FIGURE = /^([-+]?)([\d.,'’ \u00a0\u202f]{1,24}?)(?:[ \u00a0]?(kwh|wh|kw|w))?$/i

/** Which sign parts the decimals in a column, from all its cells. */
export function decimalsOf(cells: readonly string[]): Decimals {
  let commas = 0
  let points = 0
  let thousandsLike = 0
  let wholeAndLarge = 0
  let lastIsComma = 0
  for (const cell of cells) {
    const comma = cell.lastIndexOf(',')
    const point = cell.lastIndexOf('.')
    if (comma >= 0 && point >= 0) lastIsComma += comma > point ? 1 : -1
    if (comma >= 0) {
      commas += 1
      if (/^[-+]?[1-9]\d{0,2}(?:,\d{3}){1,4}(?!\d)/.test(cell.trim())) thousandsLike += 1
    } else if (point >= 0) points += 1
    else if (Math.abs(Number(cell)) >= 100) wholeAndLarge += 1
  }
  if (commas === 0) return 'point'
  if (lastIsComma !== 0) return lastIsComma > 0 ? 'comma' : 'point'
  if (points > 0) return 'point'
  // Every comma stands before three digits: thousands, if there are also figures of hundreds without any.
  return thousandsLike === commas && wholeAndLarge > 0 ? 'point' : 'comma'
}

/** The number in a cell; `null` for an empty one or a word for none, `undefined` where it is no number. */
export function readNumber(cell: string, decimals: Decimals): number | null | undefined {
  const plain = Number(cell)
  if (decimals === 'point' && cell !== '' && Number.isFinite(plain) && !/[xob\s]/i.test(cell))
    return plain
  const text = cell.trim()
  if (/^(?:|-{1,3}|null|n\/?a|nan|none|missing|no data)$/i.test(text)) return null
  const match = FIGURE.exec(text)
  const digits = match?.[2]?.replace(/['’ \u00a0\u202f]/g, '')
  if (digits === undefined || !/\d/.test(digits)) {
    return decimals === 'point' && /^[-+]?\d{1,9}(?:\.\d{1,9})?e[-+]?\d{1,2}$/i.test(text)
      ? Number(text)
      : undefined
  }
  const standard =
    decimals === 'comma' ? digits.replaceAll('.', '').replace(',', '.') : digits.replaceAll(',', '')
  const value = Number(standard)
  if (!Number.isFinite(value)) return undefined
  return match?.[1] === '-' ? -value : value
}

/** A number in either style, for telling what a column holds. */
export const looksNumeric = (cell: string): boolean =>
  typeof readNumber(cell, 'point') === 'number' || typeof readNumber(cell, 'comma') === 'number'
