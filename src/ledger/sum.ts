// A line of arithmetic as data: figures joined by signs, so that the same thing is evaluated and printed. Products come
// before sums, so that a calculator that works from left to right gets the same as one that knows what binds first.

/** A number and how many decimals it is shown with at least. */
export type Figure = {
  readonly exact: number
  readonly decimals: number
  /** Whether noughts at the end are left out: what somebody gave is shown as it was given. */
  readonly trimmed: boolean
}

export type Sign = '+' | '−' | '×' | '÷'

/** `0.8 × 65 ÷ 60`: the first figure, then each next one with its sign. */
export type Sum = readonly [Figure, ...(readonly [Sign, Figure])[]]

/** Energies and powers are shown to the hundredth at least, small ones to the thousandth. */
export const worked = (exact: number): Figure => ({
  exact,
  decimals: Math.abs(exact) < 0.05 && exact !== 0 ? 3 : 2,
  trimmed: false,
})

/** Whole, unless a sum needs more of it. */
export const whole = (exact: number): Figure => ({ exact, decimals: 0, trimmed: true })

/** A longer number than that was hardly given by a person. */
const MOST_GIVEN_DECIMALS = 4

/** A number as it was given: with the decimals that it has, or three. */
export function asGiven(exact: number): Figure {
  for (let decimals = 0; decimals <= MOST_GIVEN_DECIMALS; decimals++)
    if (Math.abs(rounded(exact, decimals) - exact) < 1e-9) return { exact, decimals, trimmed: true }
  return { exact, decimals: 3, trimmed: true }
}

export const rounded = (value: number, decimals: number): number =>
  Math.round(value * 10 ** decimals) / 10 ** decimals

/** The sum's value, with each figure taken as `read` says. */
export function evaluated([first, ...rest]: Sum, read: (figure: Figure) => number): number {
  let value = read(first)
  for (const [sign, figure] of rest) value = applied(sign, value, read(figure))
  return value
}

function applied(sign: Sign, a: number, b: number): number {
  switch (sign) {
    case '+':
      return a + b
    case '−':
      return a - b
    case '×':
      return a * b
    case '÷':
      return a / b
  }
}

/** The sum as it is keyed in. */
export const printed = ([first, ...rest]: Sum, print: (figure: Figure) => string): string =>
  [print(first), ...rest.map(([sign, figure]) => `${sign} ${print(figure)}`)].join(' ')

export const figuresOf = ([first, ...rest]: Sum): readonly Figure[] => [
  first,
  ...rest.map(([, figure]) => figure),
]

/** Adds figures, leaving out those that there are not. */
export const added = (first: Figure, ...more: readonly (Figure | null)[]): Sum => [
  first,
  ...more.flatMap((figure) => (figure === null ? [] : [['+', figure] as const])),
]

/** A signed difference as a term, or none where it is a hair: the figure itself is positive. */
export const term = (exact: number): (readonly [Sign, Figure])[] =>
  Math.abs(exact) < HAIR_KWH ? [] : [[exact < 0 ? '−' : '+', worked(Math.abs(exact))]]

/** Under this, energies are the same, kWh: instants are whole milliseconds. */
export const HAIR_KWH = 1e-5
