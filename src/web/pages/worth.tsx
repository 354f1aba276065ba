// Is it worth it: one sentence, and both sides beside each other, also where the answer is no.

import type { Bill, Instant } from '../../plan/index.ts'
import { type Household, worthOfEvent, worthText } from '../../reminder/index.ts'
import type { Format } from '../../words/index.ts'
import { worthWords as words } from '../../words/index.ts'

/** Nothing without prices, or with nothing left to choose. */
export const WorthIt = (props: {
  readonly household: Household
  readonly eventId: string
  readonly f: Format
}) => {
  const { household, eventId, f } = props
  const worth = worthOfEvent(household, eventId)
  if (worth === null) return null
  const { horizon, withPlan, withoutPlan, difference, currency, baselineKwh } = worth
  const costs = f.rounded(difference.cost - difference.leftWorth, currency) > 0
  const event = withPlan.events.at(-1) ?? horizon
  // The day is named where it is not the event's.
  const at = (instant: Instant) =>
    f.isoDay(instant) === f.isoDay(event.start)
      ? f.time(instant)
      : `${f.shortDay(instant)}, ${f.time(instant)}`
  const money = (value: number) => f.money(value, currency)
  const sides = (what: string, of: (bill: Bill) => string, sum = false) => (
    <tr class={sum ? 'noted' : undefined}>
      <th scope="row">{what}</th>
      <td class="figure">{of(withPlan)}</td>
      <td class="figure">{of(withoutPlan)}</td>
    </tr>
  )
  const paid = baselineKwh === null ? () => words.unknown : (bill: Bill) => money(bill.reward)
  return (
    <section id="worth">
      <h2>{words.heading}</h2>
      <p>{worthText(worth, f)}</p>
      <table>
        <caption>
          {words.caption(
            `${f.shortDay(event.start)}, ${f.range(event.start, event.end)}`,
            at(horizon.start),
            at(horizon.end),
          )}
        </caption>
        <thead>
          <tr>
            <th scope="col">{words.item}</th>
            <th scope="col" class="figure">
              {words.withPlan}
            </th>
            <th scope="col" class="figure">
              {words.withoutPlan}
            </th>
          </tr>
        </thead>
        <tbody>
          {sides(words.inEvent, (bill) => f.kwh(bill.events.at(-1)?.importKwh ?? 0))}
          {sides(words.inAll, (bill) => f.kwh(bill.importKwh))}
          {sides(words.cost, (bill) => money(bill.cost))}
          {sides(words.left, (bill) => f.kwh(bill.leftKwh))}
          {sides(words.leftWorth, (bill) => money(bill.leftWorth))}
          {sides(words.reward, paid)}
          {sides(words.net, (bill) => money(bill.net), true)}
        </tbody>
      </table>
      <p class="hint">{words.leftNote}</p>
      {costs && !household.settings.cheapest ? <p class="hint">{words.cheaper}</p> : null}
      {baselineKwh === null ? null : <p class="hint">{words.footnote(f.kwh(baselineKwh))}</p>}
    </section>
  )
}
