// What each event asks of the battery: from the release to the event's end it has to serve the house.

import { dischargeKw, floorKwh } from './battery.ts'
import { type Instant, hoursBetween, later, minutesAfter } from './instant.ts'
import { type Line, kwhAt, walkBack } from './line.ts'
import { meanOver, piecesBetween } from './net.ts'
import { lastReachable } from './reach.ts'
import type { Battery, Margin, PlanInput, Rule, Span, Step } from './types.ts'

export type Cover = {
  readonly event: Span
  /** From here until `from` the battery may be held: now, or the end of the event before. */
  readonly gapStart: Instant
  /** When a person releases; the battery serves from here to the event's end. */
  readonly from: Instant
  /** Nobody can reach the inverter to release it, so there is nothing to hold for. */
  readonly unreachable: boolean
  /** Stored energy that serving takes, down to the floor, kWh. */
  readonly needKwh: number
  /** Kept on top of the need, kWh. */
  readonly marginKwh: number
}

/** The covers of all events, in time order. */
export function coversOf(input: PlanInput, net: readonly Step[]): readonly Cover[] {
  const covers: Cover[] = []
  for (const event of input.events.toSorted((a, b) => a.start - b.start)) {
    const gapStart = covers.at(-1)?.event.end ?? input.now
    const latest = later(gapStart, minutesAfter(event.start, -input.releaseLeadMinutes))
    const release = lastReachable(input.outOfReach, gapStart, latest)
    const from = release ?? latest
    covers.push({
      event,
      gapStart,
      from,
      unreachable: release === null,
      needKwh: neededKwh(input.battery, net, { start: from, end: event.end }),
      marginKwh: marginKwh(input.battery, input.margin, net, event),
    })
  }
  return covers
}

/** The reserve line within a cover, walked back from what must be left at its end. Not capped: it may ask for more than there can be. */
export const reserveWithin = (
  battery: Battery,
  net: readonly Step[],
  cover: Pick<Cover, 'event' | 'from'>,
  leftKwh: number,
): Line =>
  walkBack(battery, 'serve', piecesBetween(net, cover.from, cover.event.end), leftKwh, Infinity)

function neededKwh(battery: Battery, net: readonly Step[], { start, end }: Span): number {
  const floor = floorKwh(battery)
  const line = reserveWithin(battery, net, { event: { start, end }, from: start }, floor)
  return kwhAt(line, start) - floor
}

function marginKwh(battery: Battery, margin: Margin, net: readonly Step[], event: Span): number {
  if ('kwh' in margin) return margin.kwh
  if ('pct' in margin) return (margin.pct / 100) * battery.capacityKwh
  const meanKw = meanOver(net, event, (kw) => dischargeKw(battery, kw))
  return (margin.hours * meanKw) / battery.dischargeEfficiency
}

/**
 * The rule of thumb: per cent of capacity to have before an event, at least the outage reserve, at most full.
 * 15 % per hour and one hour extra give 30 % for one hour and 45 % for two (common practice, no source).
 */
export function ruleOfThumbPct(rule: Rule, event: Span, outageReservePct: number): number {
  const hours = hoursBetween(event.start, event.end) + rule.extraHours
  return Math.min(100, Math.max(outageReservePct, rule.pctPerHour * hours))
}
