// What a kWh costs by time of use, as steps on the timeline.

import { type Instant, type Span, type UnitRate, asInstant } from '../plan/index.ts'
import { spanAt } from './spans.ts'
import { type Weekly, weeklySpans } from './weekly.ts'

/** What a kWh costs: always `perKwh`, but in the bands; where two overlap the first counts. */
export type Rates = {
  /** ISO 4217. */
  readonly currency: string
  readonly perKwh: number
  readonly bands: readonly (Weekly & { readonly perKwh: number })[]
}

/** The price from the start of a span on, in time order: a step where it changes, and the first at the start. */
export function unitRateSteps(
  { perKwh, bands }: Rates,
  timeZone: string,
  within: Span,
): readonly UnitRate[] {
  const banded = bands.map((band) => ({
    perKwh: band.perKwh,
    spans: weeklySpans([band], timeZone, within),
  }))
  const changes = banded.flatMap(({ spans }) => spans.flatMap(({ start, end }) => [start, end]))
  const times = [...new Set([within.start, ...changes])].toSorted((a, b) => a - b)
  const priceAt = (at: Instant) =>
    banded.find(({ spans }) => spanAt(spans, at) !== null)?.perKwh ?? perKwh
  return times
    .filter((at) => at < within.end)
    .map((at) => ({ start: asInstant(at), perKwh: priceAt(asInstant(at)) }))
    .filter((step, i, all) => i === 0 || step.perKwh !== all[i - 1]?.perKwh)
}
