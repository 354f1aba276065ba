// A household's own past days as the planner's input (the planner's H16, H17): which days, how many looks are left, and
// what the day's first plan was calibrated to.

import {
  DAY_MS,
  type DaysInput,
  type DaysPlan,
  type Instant,
  type PlanInput,
  type Reading,
  type Step,
  planOverDays,
  seasonedDays,
} from '../plan/index.ts'
import { halfHoursOf, localDay } from '../schedule/index.ts'
import { SAME_STRETCH_MS } from './timing.ts'
import type { Household, HouseholdEvent, HouseholdPlan, MeterHistory } from './types.ts'

/** Past days are laid ahead so far; further off, nothing is known of how the battery was charged in between. */
const MOST_AHEAD_MS = 8 * DAY_MS

/** Fewer days that stand in than this, and the household's own figure for its load is better. */
const LEAST_DAYS = 5

/** More idle half-hours than this, and the meter did not see what the house used. */
const MOST_IDLE = 0.05

/** Whether something else than the grid fed the house on the days that its meter counted. */
export const fedFromElsewhere = ({ idleShare }: Pick<MeterHistory, 'idleShare'>): boolean =>
  idleShare > MOST_IDLE

/** Plans from past days; `null` where there are too few or they do not tell, or the household goes by its rule of thumb. */
export function planFromDays(
  household: Household,
  events: readonly HouseholdEvent[],
  input: PlanInput,
  charges: readonly Step[],
): DaysPlan | null {
  const asked = daysInput(household, events, input, charges)
  const planned = asked && planOverDays(asked)
  return planned?.ok ? planned.value : null
}

/** What such a plan is made from. */
export function daysInput(
  household: Household,
  events: readonly HouseholdEvent[],
  input: PlanInput,
  /** What charges it besides the sun. */
  charges: readonly Step[],
): DaysInput | null {
  const { settings, meter } = household
  const [first] = events
  const last = events.at(-1)
  if (first === undefined || last === undefined || meter === null || input.rule !== null)
    return null
  if (fedFromElsewhere(meter)) return null
  const before = readingBefore(household, input, last.end)
  const from = before?.at ?? input.reading.at
  if (last.end - from > MOST_AHEAD_MS) return null
  const { timeZone } = settings
  const ahead = halfHoursOf(timeZone, { start: from, end: last.end })
  const today = localDay(timeZone, input.now)
  const past = meter.days.filter(({ day }) => day < today)
  const laid = seasonedDays(past, ahead, localDay(timeZone, first.start))
  if (laid.days.length < LEAST_DAYS) return null
  const { load: _load, margin, ...rest } = input
  return {
    ...rest,
    ...laid,
    // A meter has counted less by the sun already: it is not counted on twice.
    solar: charges,
    margin: { kwh: 0 },
    spareMargin: margin,
    confidence: settings.confidence,
    maxReadings: Math.max(0, settings.maxReadings - looksAsked(household, first)),
    calibrated: keptCalibration(household, first, input),
    before,
  }
}

/** How often a look was asked for before an event as it is now. */
export const looksAsked = ({ reminders }: Household, event: HouseholdEvent): number =>
  reminders.filter(
    ({ kind, eventId, sentAt, state }) =>
      kind === 'reading' &&
      eventId === event.id &&
      sentAt !== null &&
      state !== 'replaced' &&
      sentAt >= event.changedAt,
  ).length

/** The reading before the last one, where both are of one stretch of the day, and nothing was paused and nothing charged it since. */
function readingBefore(
  { readings }: Household,
  { reading, heldSince, solar }: PlanInput,
  end: Instant,
): Reading | null {
  const [before, last] = [readings.at(-2), readings.at(-1)]
  if (before === undefined || last === undefined || heldSince !== null) return null
  const apart = last.reckoned || before.reckoned || last.at !== reading.at
  if (apart || last.at - before.at > SAME_STRETCH_MS || last.at <= before.at) return null
  const fed = solar.some(({ start, kw }, i) => {
    const until = solar[i + 1]?.start ?? Infinity
    return kw > 0 && start < end && until > before.at
  })
  return fed ? null : { at: before.at, socPct: before.socPct }
}

/**
 * Once a look was asked for, the risk of the day's first plan is kept, or it would be spent again at each look. Before
 * that it is calibrated anew for each reading, and kept while nothing changes: a replay is not for every page.
 */
function keptCalibration(
  household: Household,
  event: HouseholdEvent,
  input: PlanInput,
): DaysInput['calibrated'] {
  const { plan } = household
  const told = plan?.plan.events[0]
  if (plan === null || told === undefined || plan.eventIds[0] !== event.id) return null
  if (!('confidence' in told) || plan.calibratedFor === undefined) return null
  const [askedFor, of] = calibrationKeys(household, event, input)
  const under = looksAsked(household, event) > 0 && plan.calibratedFor.startsWith(`${askedFor}\n`)
  const same = plan.calibratedFor === `${askedFor}\n${of}`
  return under || same ? (told.confidence as DaysInput['calibrated']) : null
}

/** What a calibration depends on: what was asked for and is known, and what was read. */
function calibrationKeys(
  { settings, meter }: Household,
  { id, start, end }: Pick<HouseholdEvent, 'id' | 'start' | 'end'>,
  { reading, heldSince, battery, events }: PlanInput,
): readonly [string, string] {
  const { confidence, maxReadings, releaseLeadMinutes, people, topUpWindows, solar } = settings
  const { nightCharge, margin, timeZone } = settings
  const askedFor = [
    [id, start, end, confidence, maxReadings, releaseLeadMinutes, meter?.takenAt, battery],
    [people, topUpWindows, solar, nightCharge, margin, timeZone],
    events.map((each) => [each.start, each.end]),
  ]
  return [JSON.stringify(askedFor), JSON.stringify([reading.at, reading.socPct, heldSince])]
}

/** A plan as it is kept: with what its calibration depends on, where there is one. */
export const withCalibration = (
  kept: HouseholdPlan,
  household: Household,
  event: HouseholdEvent | undefined,
  input: PlanInput,
): HouseholdPlan =>
  event === undefined || !('unpromised' in kept.plan)
    ? kept
    : { ...kept, calibratedFor: calibrationKeys(household, event, input).join('\n') }
