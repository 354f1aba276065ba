// What a person should know about a plan, as data with its evidence.

import { DAY_MS, hoursBetween } from './instant.ts'
import type { Planned } from './hold.ts'
import { piecesBetween } from './net.ts'
import type { Caution, PlanInput, Step } from './types.ts'

/** A reading older than this has drifted from what the display shows, ms (common practice, no source). */
const OLD_READING_MS = DAY_MS

export function cautionsOf(
  input: PlanInput,
  net: readonly Step[],
  planned: readonly Planned[],
): readonly Caution[] {
  const { battery, reading, now } = input
  const cautions: Caution[] = []
  if (now - reading.at > OLD_READING_MS)
    cautions.push({ kind: 'old-reading', hours: hoursBetween(reading.at, now) })
  const covered = planned.flatMap(({ cover }) => piecesBetween(net, cover.from, cover.event.end))
  const peakKw = covered.reduce((peak, piece) => Math.max(peak, piece.kw), 0)
  if (peakKw > battery.maxDischargeKw)
    cautions.push({ kind: 'load-over-limit', loadKw: peakKw, limitKw: battery.maxDischargeKw })
  for (const [event, { gapPlan }] of planned.entries())
    if (gapPlan.missed) cautions.push({ kind: 'nobody-in-reach', event })
  return cautions
}
