// The ledger of a plan: every figure of each event, in the order in which one comes of the other.

import type { Format } from '../words/index.ts'
import { type AnyInput, type AnyPlan, type Case, casesOf } from './case.ts'
import { daysRows } from './days.ts'
import { holdRows } from './hold.ts'
import { leftRows, shortRows } from './left.ts'
import { releaseRows } from './need.ts'
import { reserveRows } from './reserve.ts'
import type { Draft } from './row.ts'
import { type LedgerRow, written } from './write.ts'

/**
 * The rows of each event of a plan, from the input that it was made from: redoing a row's sum with the figures as printed
 * gives the value as printed. Where the plan has a figure that the input alone does not give, the row has no sum.
 */
export const explained = (
  plan: AnyPlan,
  input: AnyInput,
  f: Format,
): readonly (readonly LedgerRow[])[] =>
  casesOf(plan, input, f).map((each) => written([...releaseRows(each), ...rowsOf(each)], f))

function rowsOf(c: Case): readonly Draft[] {
  if (c.days !== null) return daysRows(c, c.days)
  const kept = reserveRows(c, c.load)
  const { rows, onTime, atRelease } = holdRows(c, kept)
  const left =
    c.event.short === null ? leftRows(c, kept, atRelease) : shortRows(c, kept, atRelease, c.load)
  return onTime ? [...kept.rows, ...left, ...rows] : [...kept.rows, ...rows, ...left]
}
