// A plan calibrated by replay over sixty past days of 48 half-hours with two readings, and the same once it is
// calibrated; then the longest list of days that is used.

import {
  type Calibrated,
  type DaysInput,
  asInstant,
  planOverDays,
  seasonedDays,
} from '../../src/plan/index.ts'
import { battery } from './battery.ts'
import { type Row, inTime, microseconds } from './table.ts'

const TODAY = 22_294
const HOUR = 3_600_000
const at = (hour: number) => asInstant(TODAY * 24 * HOUR + hour * HOUR)

/** Uneven days without chance, higher in the evening; one in nine with something heavy at seven. */
export const pastDays = Array.from({ length: 200 }, (_, ago) => ({
  day: TODAY - 1 - ago,
  kwh: Array.from({ length: 48 }, (_half, half) => {
    const evening = half >= 32 && half < 44 ? 0.35 : 0
    const heavy = ago % 9 === 4 && half >= 34 && half < 37 ? 0.9 : 0
    return 0.1 + ((ago * 31 + half * 17) % 23) / 60 + evening + heavy
  }),
}))

export const daysInput = (count: number, calibrated: Calibrated | null): DaysInput => {
  const ahead = Array.from({ length: 48 }, (_, half) => ({ start: at(half / 2), day: TODAY, half }))
  const { days, heavier } = seasonedDays(pastDays, ahead, TODAY)
  return {
    now: at(13),
    battery,
    reading: { at: at(13), socPct: 60 },
    before: null,
    days: days.slice(0, count),
    heavier: heavier.slice(0, count),
    solar: [],
    events: [{ start: at(17.5), end: at(18.5) }],
    margin: { kwh: 0 },
    spareMargin: { pct: 5 },
    rule: null,
    releaseLeadMinutes: 5,
    topUpWindows: [],
    outOfReach: [],
    heldSince: null,
    confidence: 0.9,
    maxReadings: 2,
    calibrated,
  }
}

export async function benchDays(): Promise<Row[]> {
  return [60, 139].flatMap((count) => {
    const fresh = daysInput(count, null)
    const plan = planOverDays(fresh)
    const first = plan.ok ? plan.value.events[0] : undefined
    if (first === undefined) throw new TypeError('Plan over days must not be refused')
    const kept = daysInput(count, first.confidence)
    return [
      {
        what: `plan over ${count} days, 2 readings, calibrated by replay`,
        result: inTime(microseconds(() => planOverDays(fresh), 1, 40)),
      },
      {
        what: '  the same once it is calibrated',
        result: inTime(microseconds(() => planOverDays(kept), 2, 40)),
      },
    ]
  })
}
