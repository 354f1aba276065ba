// What the battery holds where the reckoning begins: what the display showed, or what is left when it last stopped
// charging, or when the event before is over.

import { type Instant, asInstant } from '../plan/index.ts'
import { ledgerWords as say } from '../words/index.ts'
import { type Case, drawn, floorKwh, kwhAt, when } from './case.ts'
import { lastRise } from './course.ts'
import { shareRow } from './reserve.ts'
import { type Draft, row } from './row.ts'
import { type Figure, HAIR_KWH, asGiven, term, worked } from './sum.ts'

export type Stored = {
  readonly rows: readonly Draft[]
  readonly at: Instant
  readonly kwh: Figure
  /** What goes per hour from there to the instant asked for, kW of the store; `null` where it is not just drawn. */
  readonly drain: ReturnType<typeof drawn> | null
}

/** The energy to reckon from, up to `until`. */
export function storedFor(c: Case, until: Instant): Stored {
  const first = c.index === 0 ? ofReading(c) : ofEventBefore(c)
  const direct = drainTo(c, first.at, first.kwh.exact, until)
  if (direct !== null) return { ...first, drain: direct }
  const at = lastRise(c.plan.trajectory, c.gapStart, until)
  const kwh = kwhAt(c, at)
  const change = kwh - first.kwh.exact
  if (Math.abs(change) < HAIR_KWH)
    return { ...first, at, drain: drainTo(c, at, first.kwh.exact, until) }
  const value = worked(kwh)
  const time = when(c, at)
  const carried = row(
    'carried',
    () => (change < 0 ? say.goneBy(time) : say.chargedBy(time)),
    [first.kwh, ...term(change)],
    value,
    'kWh',
  )
  return { rows: [...first.rows, carried], at, kwh: value, drain: drainTo(c, at, kwh, until) }
}

/** What is drawn between two instants, if that is all that happens to the energy. */
function drainTo(c: Case, at: Instant, kwh: number, until: Instant) {
  if (c.load === null || until < at) return null
  const draw = drawn(c, c.load, at, until)
  return Math.abs(kwh - draw.takesKwh - kwhAt(c, until)) < HAIR_KWH ? draw : null
}

type Beginning = Pick<Stored, 'rows' | 'at' | 'kwh'>

/** The reading; where the plan is not from this one, what it takes the battery to hold now. */
export function ofReading(c: Case): Beginning {
  const { reading, now } = c.input
  const pct = Math.min(100, Math.max(0, reading.socPct))
  const told = shareRow(c, 'stored', asGiven(pct), (share, capacity) =>
    say.shown(when(c, asInstant(reading.at)), share, capacity),
  )
  return { rows: [told], at: asInstant(Math.min(reading.at, now)), kwh: told.value }
}

function ofEventBefore(c: Case): Beginning {
  const at = c.gapStart
  const before = c.plan.events[c.index - 1]
  const kwh = worked(kwhAt(c, at))
  const floor = worked(floorKwh(c.battery))
  const left = worked(before?.marginLeftKwh ?? 0)
  const adds = Math.abs(floor.exact + left.exact - kwh.exact) < HAIR_KWH
  const what = () => say.afterEvent(when(c, at))
  return { at, kwh, rows: [row('stored', what, adds ? [floor, ['+', left]] : null, kwh, 'kWh')] }
}

/** The figure itself where nothing happened to it. */
export const sameOr = (figure: Figure, kwh: number): Figure =>
  Math.abs(figure.exact - kwh) < HAIR_KWH ? figure : worked(kwh)
