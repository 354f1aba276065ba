// What today has used so far tells of the rest of it. Between two readings the battery ran, so what it lost is
// what the house took; each past day is made as much heavier or lighter as today was in those hours.

import { dischargeKw } from './battery.ts'
import { type Instant, type Span, asInstant, hoursBetween } from './instant.ts'
import { type Piece, netLoad, piecesBetween } from './net.ts'
import type { Battery, PlanInput, Reading, Step } from './types.ts'

/** How much of a day's factor its event takes on: a fifth of it, as a power. What precedes an event tells less of it (measured). */
const IN_EVENT = 0.2

/** Stored energy that serving the house takes over the pieces, without the standing loss, kWh. */
const usedKwh = (battery: Battery, pieces: readonly Piece[]): number =>
  pieces.reduce(
    (sum, { start, end, kw }) =>
      sum + (dischargeKw(battery, kw) / battery.dischargeEfficiency) * hoursBetween(start, end),
    0,
  )

// A display shows whole per cent, so two readings are off by up to a hundredth of the capacity. Half as much again is added
// on both sides, and where the days use less than so much on the mean, nothing is concluded.
const ROUNDING = 0.015
const LEAST_TOLD = 0.025

/**
 * By how much a day that used `used` is to be like one that used `own`: half-way, by adding the mean of all to both, and
 * what rounding may hide. All in kWh.
 */
export function likeness(own: number, used: number, mean: number, capacityKwh: number): number {
  if (mean < LEAST_TOLD * capacityKwh) return 1
  const added = mean + ROUNDING * capacityKwh
  return (own + added) / (used + added)
}

export const inEvent = (factor: number): number => (factor === 1 ? 1 : factor ** IN_EVENT)

/** From when on the sun gives nothing up to an instant: only then does what is lost tell of the load. */
export const darkFrom = (solar: readonly Step[], from: Instant, until: Instant): Instant =>
  piecesBetween(netLoad([], solar), from, until).findLast(({ kw }) => kw !== 0)?.end ?? from

/** The days' factors from the reading before, for the event that ends at `end`; all 1 where there is none, or the sun shines. */
export function factorsOf(
  { battery, solar, reading }: Pick<PlanInput, 'battery' | 'solar' | 'reading'>,
  days: readonly (readonly Step[])[],
  heavier: readonly number[] | null,
  before: Reading | null,
  end: Instant,
): readonly number[] {
  const same = days.map(() => 1)
  if (before === null || before.at >= reading.at) return same
  const since: Span = { start: before.at, end: reading.at }
  if (darkFrom(solar, before.at, end) > before.at) return same
  const kwhOf = ({ socPct }: Reading) => (socPct / 100) * battery.capacityKwh
  const lost = battery.standbyKw * hoursBetween(since.start, since.end)
  const own = kwhOf(before) - kwhOf(reading) - lost
  if (own < 0) return same
  const used = days.map(
    (load, i) =>
      (heavier?.[i] ?? 1) *
      usedKwh(battery, piecesBetween(netLoad(load, []), since.start, since.end)),
  )
  const mean = used.reduce((sum, kwh) => sum + kwh, 0) / used.length
  return used.map((kwh) => likeness(own, kwh, mean, battery.capacityKwh))
}

/**
 * A past day's load as the battery would have to serve it were it so much heavier: cut to what the inverter gives first, so
 * that the limit, which hides how heavy a day is, does not hide it here (measured: that keeps the promise with fewer
 * minutes held). To be planned without a limit then. `season` for all of it; `today` until the release, and less in the event.
 */
export function heavierLoad(
  load: readonly Step[],
  { battery, solar }: Pick<PlanInput, 'battery' | 'solar'>,
  season: number,
  today: number,
  {
    now,
    release,
    end,
  }: { readonly now: Instant; readonly release: Instant; readonly end: Instant },
): readonly Step[] {
  const edges = [now, release, end].map((start) => ({ start, kw: NaN }))
  const steps = atEdges(netLoad(load, []), edges)
  const suns = netLoad(solar, [])
  return atEdges(steps, suns).map(({ start, kw }) => {
    const sunKw = (suns[0]?.start ?? Infinity) <= start ? kwAt(suns, start) : 0
    return { start, kw: Math.min(kw, battery.maxDischargeKw + sunKw) * season * todayAt(start) }
  })

  function todayAt(start: Instant): number {
    if (start < now || start >= end) return 1
    return start < release ? today : inEvent(today)
  }
}

/** The power at an instant, from steps in time order; before the first, that one's. */
const kwAt = (steps: readonly Step[], at: Instant): number =>
  piecesBetween(steps, at, asInstant(at + 1))[0]?.kw ?? 0

/** The same load with breakpoints where the others have theirs. */
function atEdges(steps: readonly Step[], others: readonly Step[]): readonly Step[] {
  const own = new Set(steps.map(({ start }) => start))
  const added = others
    .filter(({ start }) => !own.has(start))
    .map(({ start }) => ({ start, kw: kwAt(steps, start) }))
  return [...steps, ...added].toSorted((a, b) => a.start - b.start)
}
