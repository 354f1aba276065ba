// Where everything in the drawing goes, as numbers and texts. The drawing itself is in chart.tsx.

import type { Instant, Plan, Span, TrajectoryPoint } from '../plan/index.ts'
import type { Format } from '../words/index.ts'
import { frame } from './frame.ts'
import type { Box, Flag, PlacedFlag } from './labels.ts'
import { placeFlags, textWidth } from './labels.ts'
import type { Done, Mark } from './marks.ts'
import { marks } from './marks.ts'
import type { PlacedText, Point } from './names.ts'
import { SMALL_SIZE, lineNames } from './names.ts'
import { flagText } from './say.ts'
import { scale, topPct } from './scale.ts'
import type { Tick } from './ticks.ts'
import { ticks } from './ticks.ts'
import { levelAt, stretches, within } from './trajectory.ts'

export const WIDTH = 360
/** The words on the flags: on a narrow phone still over 10 px. */
export const FLAG_SIZE = 13
const LANE = 17
const PLOT_HEIGHT = 150
const LEFT = 42
const RIGHT = 352
const END_ROOM = 6
const HOURS_HEIGHT = 22

export type MarkFlag = Flag & { readonly mark: Mark; readonly text: string; readonly foot: number }

export type Picture = {
  readonly frame: Span
  readonly height: number
  readonly plot: Box
  readonly curve: readonly Point[]
  readonly reserve: readonly Point[]
  /** Held stretches of the curve, each to be hatched down to the axis. */
  readonly held: readonly (readonly Point[])[]
  readonly events: readonly { readonly from: number; readonly to: number }[]
  readonly flags: readonly (PlacedFlag<MarkFlag> & { readonly baseline: number })[]
  /** Names of the lines and the heights at the ends, where there is room. */
  readonly texts: readonly PlacedText[]
  readonly levels: readonly { readonly y: number; readonly text: string; readonly firm: boolean }[]
  readonly hours: readonly {
    readonly x: number
    readonly text: string | null
    readonly midnight: boolean
  }[]
  readonly marks: readonly Mark[]
  readonly shown: readonly TrajectoryPoint[]
}

export type PictureInput = {
  readonly plan: Plan
  /** What was done for each event of the plan, in its order. */
  readonly done: readonly (Done | undefined)[]
  readonly now: Instant
  readonly timeZone: string
  readonly format: Format
}

/** Lays the picture out, 360 wide and as high as its flags need; `null` when there is nothing to draw. */
export function picture({ plan, done, now, timeZone, format: f }: PictureInput): Picture | null {
  const span = frame(plan)
  if (span === null) return null
  const shown = within(plan.trajectory, span)
  const noted = marks(plan, done, now, span)
  const x = scale([span.start, span.end], [LEFT, RIGHT - END_ROOM])

  const placed = placeFlags(
    noted.map((mark): Omit<MarkFlag, 'foot'> => {
      const text = flagText(mark, f)
      return { mark, text, x: x(mark.at), width: textWidth(text, FLAG_SIZE), rank: rank(mark) }
    }),
    { left: 0, right: WIDTH },
  )
  const lanes = 1 + Math.max(0, ...placed.map((each) => each.lane))
  const plot: Box = {
    left: LEFT,
    right: RIGHT,
    top: lanes * LANE + 8,
    bottom: lanes * LANE + 8 + PLOT_HEIGHT,
  }
  const top = topPct(shown)
  const y = scale([0, top], [plot.bottom, plot.top])
  const curve = shown.map((point) => ({ x: x(point.at), y: y(point.socPct) }))
  const reserve = shown.map((point) => ({ x: x(point.at), y: y(point.reservePct) }))
  const held = stretches(shown, 'hold').map((stretch) =>
    within(shown, stretch).map((point) => ({ x: x(point.at), y: y(point.socPct) })),
  )
  const events = plan.events
    .filter((event) => event.end > span.start && event.start < span.end)
    .map((event) => ({
      from: x(Math.max(event.start, span.start)),
      to: x(Math.min(event.end, span.end)),
    }))
  const flags = placed.map((each) => {
    const baseline = plot.top - 8 - each.lane * LANE - 4
    const level = levelAt(shown, each.flag.mark.at)
    const foot = onRule(each.flag.mark) ? plot.bottom : y(level?.socPct ?? 0)
    return { ...each, flag: { ...each.flag, foot }, baseline }
  })
  const staffs = flags.map(({ flag, baseline }) => ({
    x1: flag.x,
    y1: baseline,
    x2: flag.x,
    y2: flag.foot,
  }))
  const hours = hourMarks(ticks(span, timeZone, 8), x, f)
  return {
    frame: span,
    height: plot.bottom + HOURS_HEIGHT,
    plot,
    curve,
    reserve,
    held,
    events,
    flags,
    texts: lineNames({ plot, curve, reserve, held, events, staffs, shown, f }),
    levels: levels(top, y, f),
    hours,
    marks: noted,
    shown,
  }
}

export const onRule = (mark: Mark): boolean => mark.kind === 'event' || mark.kind === 'eventEnd'

// What a person must know first stays longest.
const ORDER: readonly Mark['kind'][] = [
  'holdNow',
  'hold',
  'held',
  'event',
  'eventEnd',
  'release',
  'released',
  'short',
  'now',
  'topUp',
]
const rank = (mark: Mark): number => ORDER.indexOf(mark.kind) + (mark.first ? 0 : ORDER.length)

function levels(top: number, y: (pct: number) => number, f: Format) {
  const step = top > 40 ? 20 : 10
  return Array.from({ length: Math.floor(top / step) + 1 }, (_, index) => ({
    y: y(index * step),
    text: f.pct(index * step),
    firm: index === 0,
  }))
}

function hourMarks(hours: readonly Tick[], x: (at: Instant) => number, f: Format) {
  let lastRight = 0
  return hours.map(({ at, hour }) => {
    const half = textWidth(f.time(at), SMALL_SIZE) / 2
    const fits = x(at) - half >= lastRight + 4 && x(at) + half <= WIDTH
    if (fits) lastRight = x(at) + half
    return { x: x(at), text: fits ? f.time(at) : null, midnight: hour === 0 }
  })
}
