// Why this time: every figure with its sum, in the order in which one comes of the other.

import { householdLedger } from '../../chat/index.ts'
import type { LedgerRow } from '../../ledger/index.ts'
import type { EventPlan } from '../../plan/index.ts'
import type { Household, HouseholdPlan } from '../../reminder/index.ts'
import type { Format } from '../../words/index.ts'
import { ledgerWords as words } from '../../words/index.ts'

export const Why = (props: {
  readonly household: Household
  readonly householdPlan: HouseholdPlan
  readonly plan: EventPlan
  readonly f: Format
}) => {
  const { household, householdPlan, plan, f } = props
  const index = householdPlan.plan.events.findIndex((event) => event.start === plan.start)
  const rows = householdLedger(household, householdPlan)[index] ?? []
  return (
    <details class="why" id="why">
      <summary>{words.heading}</summary>
      <table>
        <caption>{words.caption(f.day(plan.start), f.range(plan.start, plan.end))}</caption>
        <thead>
          <tr>
            <th scope="col">{words.item}</th>
            <th scope="col">{words.sum}</th>
            <th scope="col" class="figure">
              {words.value}
            </th>
          </tr>
        </thead>
        <tbody>{rows.map((row) => Row(row))}</tbody>
      </table>
      <p>{words.footnote}</p>
    </details>
  )
}

/** What a person goes by: the percentage and the time. */
const ANSWERS: readonly LedgerRow['id'][] = ['display', 'hold']

/** A sum that needs two lines breaks before a sign. */
const unbroken = (sum: string) => sum.replaceAll(/ (?![+−×÷])/g, '\u00a0')

const Row = ({ id, what, sum, value, unit }: LedgerRow) => (
  <tr class={ANSWERS.includes(id) ? 'noted' : undefined}>
    <th scope="row">{what}</th>
    <td>{unbroken(sum)}</td>
    <td class="figure">{words.made(value, unit)}</td>
  </tr>
)
