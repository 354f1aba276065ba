// The ways that are compared. Each sees earlier days alone, and of today only what it asks for.

import type { DaysEventPlan, DaysInput, HalfHour, Reading } from '../../src/plan/index.ts'
import {
  comparableDays,
  overlayDays,
  planHolds,
  planOverDays,
  seasonedDays,
} from '../../src/plan/index.ts'
import { type Evening, type Outcome, played, shownAt } from './evening.ts'

export type Way = {
  readonly name: string
  readonly play: (evening: Evening) => Outcome
}

/** Fewer earlier days of the same kind, and an evening is not scored. */
export const LEAST_DAYS = 19

export const scored = ({ home, today }: Evening): boolean =>
  comparableDays(home.days, today.day).length >= LEAST_DAYS

export const noHold: Way = {
  name: 'no hold',
  play: (evening) => played(evening, evening.at(evening.setting.start), 0),
}

/** The mean event-hour load of the comparable days as a share of capacity, rounded up to 5 %, for each hour and one more. */
export function thumbPct(evening: Evening): number {
  const { home, today, setting } = evening
  const days = comparableDays(home.days, today.day)
  const [from, to] = [2 * setting.start, 2 * setting.end]
  const kwh = days.map((day) => day.kwh.slice(from, to).reduce((a, b) => a + b, 0))
  const meanKw = kwh.reduce((a, b) => a + b, 0) / kwh.length / (setting.end - setting.start)
  return 5 * Math.ceil((100 * meanKw) / home.capacityKwh / 5 - 1e-9)
}

export const thumbByClock: Way = {
  name: 'rule of thumb, by the clock',
  play(evening) {
    const { home, today, at, setting, input } = evening
    const loads = overlayDays(home.days, halvesFrom(evening), today.day)
    const mean = (loads[0] ?? []).map(({ start }, i) => ({
      start,
      kw: loads.reduce((sum, load) => sum + (load[i]?.kw ?? 0), 0) / loads.length,
    }))
    const rule = { pctPerHour: thumbPct(evening), extraHours: 1 }
    const plan = planHolds({ ...input, load: mean, rule })
    if (!plan.ok) throw new TypeError(plan.refusal.reason)
    return played(evening, plan.value.events[0]?.holdBy ?? at(setting.start), 0)
  },
}

export const thumbWatched: Way = {
  name: 'rule of thumb, display watched all the time',
  play(evening) {
    const { setting, at } = evening
    const pct = thumbPct(evening) * (setting.end - setting.start + 1)
    let [low, high]: [number, number] = [at(setting.now), at(setting.start)]
    if (shownAt(evening, high) > pct) return played(evening, high, 0)
    while (high - low > 1) {
      const middle = (low + high) / 2
      if (shownAt(evening, middle) > pct) low = middle
      else high = middle
    }
    return played(evening, low, 0)
  },
}

/** The model's plain ensemble: comparable days as they were, no reading. */
export const ensemble = (confidence: number): Way => ({
  name: `ensemble at ${percent(confidence)}, no reading`,
  play(evening) {
    const { home, today, input, at, setting } = evening
    const days = overlayDays(home.days, halvesFrom(evening), today.day)
    const first = planned({
      ...input,
      days,
      heavier: null,
      confidence,
      maxReadings: 0,
      calibrated: null,
      before: null,
    })
    return played(evening, first.holdBy ?? at(setting.start), 0)
  },
})

/** Calibrated by replay, and followed as a household would: it looks when asked, and tells what it sees. */
export const calibrated = (confidence: number, maxReadings: number): Way => ({
  name: `calibrated to ${percent(confidence)}, at most ${maxReadings} readings`,
  play(evening) {
    const { home, today, input, at, setting } = evening
    const laid = seasonedDays(home.days, halvesFrom(evening), today.day)
    let asking: DaysInput = {
      ...input,
      ...laid,
      confidence,
      maxReadings,
      calibrated: null,
      before: null,
    }
    for (let asked = 0; ; asked++) {
      const { holdBy, nextReadingAt, holdAtPct, confidence: kept } = planned(asking)
      if (nextReadingAt === null) return played(evening, holdBy ?? at(setting.start), asked)
      const reading: Reading = { at: nextReadingAt, socPct: shownAt(evening, nextReadingAt) }
      if (reading.socPct <= holdAtPct) return played(evening, nextReadingAt, asked + 1)
      asking = {
        ...asking,
        now: nextReadingAt,
        reading,
        before: asking.reading,
        maxReadings: asking.maxReadings - 1,
        calibrated: kept,
      }
    }
  },
})

function planned(input: DaysInput): DaysEventPlan {
  const plan = planOverDays(input)
  const first = plan.ok ? plan.value.events[0] : undefined
  if (first === undefined) throw new TypeError('Evening must be planned')
  return first
}

const halvesFrom = ({ at, setting, today }: Evening): readonly HalfHour[] =>
  Array.from({ length: 2 * (setting.end - setting.now) }, (_, i) => ({
    start: at(setting.now + i / 2),
    day: today.day,
    half: 2 * setting.now + i,
  }))

const percent = (share: number): string => `${Number((100 * share).toFixed(1))} %`
