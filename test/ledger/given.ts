// The ledger of an input that must not be refused, its rows by their id.

import type { CheapestPlan, DaysInput, PlanInput, Result, UnitRate } from '../../src/plan/index.ts'
import { planCheapest, planHolds, planOverDays } from '../../src/plan/index.ts'
import { type AnyInput, type AnyPlan, type LedgerRow, explained } from '../../src/ledger/index.ts'
import { format } from '../../src/words/index.ts'

export const UTC = format('en', 'UTC')

export type Told = {
  readonly plan: AnyPlan
  readonly events: readonly (readonly LedgerRow[])[]
}

const told = <Refusal>(result: Result<AnyPlan, Refusal>, input: AnyInput, f = UTC): Told => {
  if (!result.ok) throw new TypeError(`Plan must not be refused: ${JSON.stringify(result.refusal)}`)
  const events = explained(result.value, input, f).map((rows) =>
    rows.map((row) => ({ ...row, what: row.what.replaceAll('\u00a0', ' ') })),
  )
  return { plan: result.value, events }
}

export const ledgerOf = (input: PlanInput, f = UTC): Told => told(planHolds(input), input, f)

export const ledgerOfDays = (input: DaysInput): Told => told(planOverDays(input), input)

export const ledgerOfCheapest = (
  input: PlanInput,
  rates: readonly UnitRate[],
  maxActions = 2,
): Told & { readonly plan: CheapestPlan } => {
  const result = planCheapest(input, rates, maxActions)
  return { ...told(result, input), plan: (result as { value: CheapestPlan }).value }
}

/** The rows of one event by their id. */
export const byId = ({ events }: Told, index = 0): Readonly<Record<string, LedgerRow>> =>
  Object.fromEntries((events[index] ?? []).map((row) => [row.id, row]))

/** `0.8 × 65 ÷ 60 = 0.87 kWh`, each row of one event on a line. */
export const lines = ({ events }: Told, index = 0): readonly string[] =>
  (events[index] ?? []).map(({ sum, value, unit }) =>
    `${sum} = ${value} ${unit}`.replace(/^ = /, '').trim(),
  )
