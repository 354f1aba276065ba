// The words of a charge by hand: how far, from when, what it takes and costs.

import { HOUR_MS, type Instant } from '../plan/index.ts'
import { unitRateSteps } from '../schedule/index.ts'
import { type Format, format, reachWords as say } from '../words/index.ts'
import type { Household, Reminder, TopUp } from './types.ts'

/** Longer ahead than this a night is not "tonight". */
const TONIGHT_MS = 14 * HOUR_MS

/** What the display is to show when it is over, per cent, not rounded: the forecast under the plan. */
export const pctAfter = ({ plan }: Household, { until }: TopUp): number =>
  plan?.plan.trajectory.findLast(({ at }) => at <= until)?.socPct ?? 100

/** From when to when, with the day. */
export const chargeSpan = (f: Format, { from, until }: TopUp): string =>
  `${f.shortDay(from)} ${f.range(from, until)}`

/** What is asked for the night before. */
export function overnightText(
  household: Household,
  { repeat }: Reminder,
  charge: TopUp,
  releaseAt: Instant,
  now: Instant,
): string {
  const { settings } = household
  const f = format(settings.language, settings.timeZone)
  const pct = f.pctUp(pctAfter(household, charge))
  const words = say.overnight
  const cold = say.notWhenFreezing
  if (now >= charge.from) return [words.late(f.time(charge.until), pct), cold].join(' ')
  if (repeat > 0) return [words.again(f.time(charge.from), pct), cold].join(' ')
  const release = f.time(releaseAt)
  const kwh = charge.kwh / settings.battery.chargeEfficiency
  const cost = costOf(household, charge, kwh)
  const [from, until] = [f.time(charge.from), f.time(charge.until)]
  return [
    charge.from - now < TONIGHT_MS && (from >= '20:00' || from < '07:00')
      ? words.tonight(from, until, pct, release)
      : words.later(chargeSpan(f, charge), pct, release),
    cost === null ? words.takes(f.kwh(kwh)) : words.costs(f.kwh(kwh), cost(f)),
    words.how,
    cold,
  ].join(' ')
}

/** At the rates, spread evenly over the charge; `null` where they are not known. */
function costOf({ settings }: Household, { from, until }: TopUp, kwh: number) {
  const { unitRates, timeZone } = settings
  if (unitRates === null) return null
  const within = { start: from, end: until }
  const steps = unitRateSteps(unitRates, timeZone, within)
  const cost = steps.reduce((sum, { start, perKwh }, i) => {
    const end = steps[i + 1]?.start ?? until
    return sum + perKwh * kwh * ((end - start) / (until - from))
  }, 0)
  return (f: Format) => f.money(cost, unitRates.currency)
}
