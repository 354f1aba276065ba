// The battery's own nightly charge, on the household's clock.

import { DateTime } from 'luxon'
import { type Instant, type Step, asInstant } from '../plan/index.ts'
import type { Settings } from './types.ts'

/**
 * The battery's own nightly charge as a surplus that the planner can walk through, so that the forecast rises by
 * it. A charge limit that nobody gave is taken as a third of the capacity an hour (common practice, no source).
 */
export function nightCharges(
  { nightCharge, timeZone, battery, loadKw }: Settings,
  from: Instant,
  to: Instant,
): readonly Step[] {
  if (nightCharge === null) return []
  const chargeKw = Number.isFinite(battery.maxChargeKw)
    ? battery.maxChargeKw
    : battery.capacityKwh / 3
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

function onDay(day: DateTime, clock: string): DateTime {
  const [hour = 0, minute = 0] = clock.split(':').map(Number)
  return day.set({ hour, minute })
}
