// Why this time: what the charge is kept for, line by line, and how the instant comes of it.

import type { EventPlan } from '../../plan/index.ts'
import { hoursBetween } from '../../plan/index.ts'
import type { Household, HouseholdPlan } from '../../reminder/index.ts'
import type { Format } from '../../words/index.ts'
import { pageWords } from '../../words/index.ts'

export type LedgerLine = { readonly text: string; readonly kwh: number; readonly sum: boolean }

/** The reserve as a sum, kWh: floor, need, and the rest (margin, later events, a rule of thumb), or what the battery cannot hold. */
export function ledger(household: Household, plan: EventPlan, f: Format): LedgerLine[] {
  const { battery, loadKw, rule } = household.settings
  const words = pageWords.why
  const floor = (battery.outageReservePct / 100) * battery.capacityKwh
  const rest = plan.reserveKwh - floor - plan.needKwh
  const beyond = rest < 0 ? words.missing : rule === null ? words.beyond : words.beyondRule
  const hours = f.duration(hoursBetween(plan.releaseAt, plan.end))
  return [
    { text: words.floor, kwh: floor, sum: false },
    { text: words.need(hours, f.kw(loadKw)), kwh: plan.needKwh, sum: false },
    ...(Math.abs(rest) < 0.005 ? [] : [{ text: beyond, kwh: rest, sum: false }]),
    { text: words.reserve, kwh: plan.reserveKwh, sum: true },
  ]
}

export const Why = (props: {
  readonly household: Household
  readonly householdPlan: HouseholdPlan
  readonly plan: EventPlan
  readonly f: Format
}) => {
  const { household, householdPlan, plan, f } = props
  const words = pageWords.why
  const { capacityKwh } = household.settings.battery
  return (
    <details class="why" id="why">
      <summary>{words.heading}</summary>
      <table>
        <caption>{words.caption(f.day(plan.start), f.range(plan.start, plan.end))}</caption>
        <thead>
          <tr>
            <th scope="col">{words.item}</th>
            <th scope="col" class="figure">
              {words.kwh}
            </th>
            <th scope="col" class="figure">
              {words.pct}
            </th>
          </tr>
        </thead>
        <tbody>
          {ledger(household, plan, f).map(({ text, kwh, sum }) => (
            <tr class={sum ? 'sum' : undefined}>
              <th scope="row">{text}</th>
              <td class="figure">{f.kwh(kwh)}</td>
              <td class="figure">{f.pct((kwh / capacityKwh) * 100)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {account(household, householdPlan, plan, f).map((line) => (
        <p>{line}</p>
      ))}
    </details>
  )
}

/** How the time comes about, where the plan is a plain hold still to come; a charge in between would need more than a sentence. */
function account(
  household: Household,
  { plan: { trajectory } }: HouseholdPlan,
  plan: EventPlan,
  f: Format,
): string[] {
  const words = pageWords.why
  const first = trajectory[0]
  const held = household.events.some((event) => event.start === plan.start && event.heldAt !== null)
  const plain = !held && !trajectory.some((point) => point.mode === 'fill' && point.at < plan.start)
  if (first === undefined || !plain) return [words.forecast]
  const stored = (first.socPct / 100) * household.settings.battery.capacityKwh
  const spare = stored - plan.reserveKwh
  const load = f.kw(household.settings.loadKw)
  const [at, energy] = [f.time(first.at), f.kwh(stored)]
  if (plan.verdict === 'no-hold') return [words.noHold(at, energy, load), words.forecast]
  return plan.verdict === 'hold' && plan.holdBy !== null && spare > 0
    ? [words.hold(at, energy, f.kwh(spare), load, f.time(plan.holdBy)), words.forecast]
    : [words.holdNow(at, energy), words.forecast]
}
