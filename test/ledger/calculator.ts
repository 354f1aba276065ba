// A pocket calculator: reads a row's sum as it is printed and works it out, from left to right, as the simplest
// calculators do, and once more with products first, as the others do. Knows nothing of the ledger's own arithmetic.

import type { LedgerRow } from '../../src/ledger/index.ts'

type Token = { readonly sign: string; readonly value: number }

/** A number, `3 h 28 min`, `45 min` or `17:30`; lengths and times of day in hours. */
function read(text: string): number {
  const clock = /^(\d\d):(\d\d)$/.exec(text)
  if (clock) return Number(clock[1]) + Number(clock[2]) / 60
  const length = /^(?:(\d+) h)? ?(?:(\d+) min)?$/.exec(text)
  if (length) return Number(length[1] ?? 0) + Number(length[2] ?? 0) / 60
  const value = Number(text)
  if (text.trim() === '' || Number.isNaN(value)) throw new TypeError(`Cannot key in "${text}"`)
  return value
}

function tokens(sum: string): readonly Token[] {
  const parts = sum.split(/ ([+−×÷]) /)
  return parts
    .filter((_, i) => i % 2 === 0)
    .map((text, i) => ({ sign: i === 0 ? '+' : (parts[i * 2 - 1] ?? ''), value: read(text) }))
}

const apply = (a: number, { sign, value }: Token): number =>
  sign === '+' ? a + value : sign === '−' ? a - value : sign === '×' ? a * value : a / value

const leftToRight = (all: readonly Token[]): number => all.reduce(apply, 0)

function productsFirst(all: readonly Token[]): number {
  const terms: number[] = []
  for (const token of all) {
    if (token.sign === '×' || token.sign === '÷') terms.push(apply(terms.pop() ?? NaN, token))
    else terms.push(token.sign === '−' ? -token.value : token.value)
  }
  return terms.reduce((a, b) => a + b, 0)
}

/** The last printed digit of a value: a hundredth of a kWh, a minute. */
function lastDigit(value: string): number {
  if (/h|min|:/.test(value)) return 1 / 60
  return 10 ** -(value.split('.')[1] ?? '').length
}

/** By how many last digits the sum redone misses the value; `null` where the row has no sum. Times of day begin anew at midnight. */
export function missedBy({ sum, value }: LedgerRow): number | null {
  if (sum === '') {
    read(value)
    return null
  }
  const all = tokens(sum)
  const redone = leftToRight(all)
  if (Math.abs(redone - productsFirst(all)) > 1e-9)
    throw new TypeError(`It depends on the calculator: ${sum}`)
  const off = Math.abs(redone - read(value))
  return (value.includes(':') ? Math.min(off % 24, 24 - (off % 24)) : off) / lastDigit(value)
}
