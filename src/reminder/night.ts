// The battery's own nightly charge, on the household's clock.

import { DateTime } from 'luxon'
import { type Battery, type Instant, type Step, asInstant } from '../plan/index.ts'
import type { Settings } from './types.ts'

/** The battery's own nightly charge as a surplus that the planner can walk through, so that the forecast rises by it. */
export function nightCharges(
  { nightCharge, timeZone, battery, loadKw }: Settings,
  from: Instant,
  to: Instant,
): readonly Step[] {
  if (nightCharge === null) return []
  const chargeKw = usualChargeKw(battery)
  const steps: Step[] = []
  let day = DateTime.fromMillis(from, { zone: timeZone }).startOf('day').minus({ days: 1 })
  while (day.toMillis() < to) {
    const start = onDay(day, nightCharge.from)
    const until = onDay(day, nightCharge.until)
    steps.push(
      { start: asInstant(start.toMillis()), kw: chargeKw + loadKw },
      {
        start: asInstant(
          (until > start ? until : onDay(day.plus({ days: 1 }), nightCharge.until)).toMillis(),
        ),
        kw: 0,
      },
    )
    day = day.plus({ days: 1 })
  }
  return steps
}

/** The charge limit; one that nobody gave is taken as a third of the capacity an hour (common practice, no source). */
export const usualChargeKw = ({ maxChargeKw, capacityKwh }: Battery): number =>
  Number.isFinite(maxChargeKw) ? maxChargeKw : capacityKwh / 3

function onDay(day: DateTime, clock: string): DateTime {
  const [hour = 0, minute = 0] = clock.split(':').map(Number)
  return day.set({ hour, minute })
}
