// What cannot be planned, as data with its evidence. The first trouble found is told.

import { type Result, ok, refuse } from './result.ts'
import type { PlanInput, PlanRefusal } from './types.ts'

/** Checks what depends on several fields; ranges of single fields are the caller's schema's. */
export function checkInput(input: PlanInput): Result<PlanInput, PlanRefusal> {
  const { battery, reading, now, events } = input
  if (reading.at > now) return refuse({ reason: 'reading_in_future', at: reading.at, now })
  if (battery.taper !== null && !Number.isFinite(battery.maxChargeKw))
    return refuse({ reason: 'taper_without_limit' })
  if (battery.taper !== null && battery.taper.toKw > battery.maxChargeKw)
    return refuse({
      reason: 'taper_over_limit',
      toKw: battery.taper.toKw,
      maxChargeKw: battery.maxChargeKw,
    })
  if (input.topUpWindows.length > 0 && !Number.isFinite(battery.maxChargeKw))
    return refuse({ reason: 'top_up_without_limit' })
  const inOrder = [...events.entries()].toSorted(([, a], [, b]) => a.start - b.start)
  for (const [i, [event, { start, end }]] of inOrder.entries()) {
    if (start >= end) return refuse({ reason: 'event_reversed', event })
    if (end <= now) return refuse({ reason: 'event_over', event, end, now })
    const before = inOrder[i - 1]
    if (before && before[1].end > start)
      return refuse({ reason: 'events_overlap', event, other: before[0] })
  }
  return ok(input)
}
