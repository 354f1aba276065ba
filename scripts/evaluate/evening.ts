// The standard evening (the model, §4): a battery, an event, and what came of it on the day as it really was.

import type { DaysInput, Instant, PastDay } from '../../src/plan/index.ts'
import { asInstant } from '../../src/plan/index.ts'
import type { Home } from './homes.ts'

export type Setting = {
  /** Local clock, hours. */
  readonly now: number
  readonly start: number
  readonly end: number
  readonly startPct: number
}

export const STANDARD: Setting = { now: 13, start: 17.5, end: 18.5, startPct: 75 }

const DAY_MS = 86_400_000
const HOUR_MS = 3_600_000
const HALF_MS = HOUR_MS / 2
const OUTAGE_PCT = 10
const DISCHARGE_KW = 3.6
const EFFICIENCY = 0.95

export type Evening = {
  readonly home: Home
  readonly today: PastDay
  readonly setting: Setting
  readonly at: (hour: number) => Instant
  /** What a planner is told, before anything of past days. */
  readonly input: Omit<
    DaysInput,
    'days' | 'heavier' | 'confidence' | 'maxReadings' | 'calibrated' | 'before'
  >
}

export function eveningOf(home: Home, today: PastDay, setting: Setting): Evening {
  const at = (hour: number) => asInstant(today.day * DAY_MS + hour * HOUR_MS)
  const now = at(setting.now)
  return {
    home,
    today,
    setting,
    at,
    input: {
      now,
      reading: { at: now, socPct: setting.startPct },
      battery: {
        capacityKwh: home.capacityKwh,
        outageReservePct: OUTAGE_PCT,
        maxDischargeKw: DISCHARGE_KW,
        maxChargeKw: DISCHARGE_KW,
        dischargeEfficiency: EFFICIENCY,
        chargeEfficiency: EFFICIENCY,
        standbyKw: 0,
        taper: null,
      },
      solar: [],
      events: [{ start: at(setting.start), end: at(setting.end) }],
      margin: { kwh: 0 },
      spareMargin: { pct: 5 },
      rule: null,
      releaseLeadMinutes: 0,
      topUpWindows: [],
      outOfReach: [],
      heldSince: null,
    },
  }
}

const floorOf = ({ home }: Evening): number => (OUTAGE_PCT / 100) * home.capacityKwh

/** The real load at an instant as the battery gives it, kW. */
const servedKw = ({ today }: Evening, at: number): number =>
  Math.min(DISCHARGE_KW, 2 * (today.kwh[Math.floor((at - today.day * DAY_MS) / HALF_MS)] ?? 0))

/** The energy after running from one instant to another on the real day, kWh stored. */
export function ran(evening: Evening, from: number, to: number, kwh: number): number {
  const floor = floorOf(evening)
  let left = kwh
  for (let at = from; at < to - 1e-6;) {
    const next = Math.min(to, (Math.floor(at / HALF_MS + 1e-9) + 1) * HALF_MS)
    left = Math.max(
      floor,
      left - (servedKw(evening, at + 1) / EFFICIENCY) * ((next - at) / HOUR_MS),
    )
    at = next
  }
  return left
}

/** What the display shows at an instant, if the battery ran until then, per cent. */
export const shownAt = (evening: Evening, at: number): number => {
  const { home, input } = evening
  const startKwh = (input.reading.socPct / 100) * home.capacityKwh
  return (100 * ran(evening, input.now, at, startKwh)) / home.capacityKwh
}

export type Outcome = {
  readonly covered: boolean
  readonly importedKwh: number
  readonly eventKwh: number
  readonly heldMinutes: number
  readonly readings: number
  /** Above the floor at the end of the event, share of capacity, per cent. */
  readonly leftPct: number
}

/** What comes of a hold from `holdAt` to the event's start; covered is: nothing imported below the inverter's limit. */
export function played(evening: Evening, holdAt: number, readings: number): Outcome {
  const { home, setting, at } = evening
  const start = at(setting.start)
  const floor = floorOf(evening)
  let kwh = (shownAt(evening, holdAt) / 100) * home.capacityKwh
  let [importedKwh, eventKwh] = [0, 0]
  for (let half: number = start; half < at(setting.end) - 1; half += HALF_MS) {
    const wanted = servedKw(evening, half + 1) / 2
    const given = Math.min(wanted, (kwh - floor) * EFFICIENCY)
    eventKwh += wanted
    importedKwh += wanted - given
    kwh -= given / EFFICIENCY
  }
  return {
    covered: importedKwh < 1e-9,
    importedKwh,
    eventKwh,
    heldMinutes: (start - Math.min(holdAt, start)) / 60_000,
    readings,
    leftPct: (100 * (kwh - floor)) / home.capacityKwh,
  }
}
