// Builders for plans from past days, and what came of a day when such a plan is followed by hand.

import type { DaysInput, DaysPlan, Instant, PlanInput, Step } from '../../src/plan/index.ts'
import { planOverDays } from '../../src/plan/index.ts'
import { MINUTE, clock, given, ms } from './given.ts'
import { simulate } from './simulate.ts'

type Spoilt = Parameters<typeof given>[0] & Partial<Omit<DaysInput, keyof PlanInput>>

/** The worked example over past days without a margin; every day alike unless the test says otherwise. */
export const givenDays = (spoilt: Spoilt = {}): DaysInput => {
  const { days, heavier, confidence, maxReadings, calibrated, before, spareMargin, ...rest } =
    spoilt
  const { load, ...input } = given({ margin: { kwh: 0 }, ...rest })
  return {
    ...input,
    days: days ?? [load],
    confidence: confidence ?? 0.9,
    maxReadings: maxReadings ?? 0,
    heavier: heavier ?? null,
    calibrated: calibrated ?? null,
    before: before ?? null,
    spareMargin: spareMargin ?? { pct: 5 },
  }
}

export const plannedDays = (input: DaysInput): DaysPlan => {
  const result = planOverDays(input)
  if (!result.ok) throw new TypeError(`Plan must not be refused: ${JSON.stringify(result.refusal)}`)
  return result.value
}

export const firstOf = (input: DaysInput) => {
  const [event] = plannedDays(input).events
  if (event === undefined) throw new TypeError('Plan must have an event')
  return event
}

/** Half-hours from 13:00 on. */
export const halfHoursOf = (kw: readonly number[]): Step[] =>
  kw.map((value, i) => ({ start: ms(clock('13:00') + i * 30 * MINUTE), kw: value }))

const walked = (input: DaysInput, load: readonly Step[], holdBy: Instant, until: Instant) =>
  simulate({
    input: { ...input, load },
    from: input.now,
    until,
    startKwh: (input.reading.socPct / 100) * input.battery.capacityKwh,
    legs: [
      { from: input.now, mode: 'run' },
      { from: holdBy, mode: 'hold' },
    ],
    stepMs: Infinity,
  }).energyKwh

/** Whether the event is covered to the floor on a day of this load when the discharge is paused at `holdBy`. */
export const coversDay = (input: DaysInput, load: readonly Step[], holdBy: Instant): boolean => {
  const [event] = input.events
  if (event === undefined) throw new TypeError('Input must have an event')
  const release = ms(event.start - input.releaseLeadMinutes * MINUTE)
  const during = simulate({
    input: { ...input, load },
    from: release,
    until: event.end,
    startKwh: walked(input, load, holdBy, release),
    legs: [{ from: release, mode: 'run' }],
    stepMs: Infinity,
  })
  return during.unservedKwh < 1e-6
}

/** When a household that follows the plan holds on a day of this load: looks when asked, reports what it sees. */
export const followedHold = (input: DaysInput, load: readonly Step[]): Instant => {
  let asking = input
  for (;;) {
    const { nextReadingAt, holdBy, holdAtPct, releaseAt, confidence } = firstOf(asking)
    if (nextReadingAt === null) return holdBy ?? releaseAt
    const kwh = walked(input, load, releaseAt, nextReadingAt)
    const socPct = (100 * kwh) / input.battery.capacityKwh
    if (socPct <= holdAtPct + 1e-9) return nextReadingAt
    asking = {
      ...asking,
      now: nextReadingAt,
      reading: { at: nextReadingAt, socPct },
      before: asking.reading,
      maxReadings: asking.maxReadings - 1,
      calibrated: confidence,
    }
  }
}
