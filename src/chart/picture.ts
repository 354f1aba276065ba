// Where everything in the drawing goes, as numbers and texts. The drawing itself is in chart.tsx.

import type { Instant, Plan, Span, TrajectoryPoint } from '../plan/index.ts'
import type { Format } from '../words/index.ts'
import { chartWords } from '../words/en/chart.ts'
import { frame } from './frame.ts'
import type { Box, Flag, PlacedFlag, Segment } from './labels.ts'
import { freePlace, placeFlags, textWidth } from './labels.ts'
import type { Done, Mark } from './marks.ts'
import { marks } from './marks.ts'
import { flagText } from './say.ts'
import { scale, topPct } from './scale.ts'
import type { Tick } from './ticks.ts'
import { ticks } from './ticks.ts'
import { levelAt, stretches, within } from './trajectory.ts'

export const WIDTH = 360
/** Sizes of the words on the flags and elsewhere: on a narrow phone still over 10 px. */
export const FLAG_SIZE = 13
export const SMALL_SIZE = 12
const LANE = 17
// A line of small words with its descenders.
const TEXT_HEIGHT = 15
const PLOT_HEIGHT = 150
const LEFT = 42
const RIGHT = 352
const END_ROOM = 6
const HOURS_HEIGHT = 22

export type Point = { readonly x: number; readonly y: number }

export type MarkFlag = Flag & { readonly mark: Mark; readonly text: string; readonly foot: number }

export type PlacedText = { readonly text: string; readonly box: Box }

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
    texts: lineNames({ plot, curve, reserve, held, events, flags, shown, f }),
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

type Drawn = Pick<Picture, 'plot' | 'curve' | 'reserve' | 'held' | 'events' | 'flags' | 'shown'> & {
  readonly f: Format
}

function lineNames({ plot, curve, reserve, held, events, flags, shown, f }: Drawn): PlacedText[] {
  const segments = [
    ...polyline(curve),
    ...polyline(reserve),
    ...flags.map(({ flag, baseline }) => ({ x1: flag.x, y1: baseline, x2: flag.x, y2: flag.foot })),
    ...events.flatMap(({ from, to }) =>
      [from, to].map((x) => ({ x1: x, y1: plot.top, x2: x, y2: plot.bottom })),
    ),
  ]
  const ruled: Box[] = [
    ...events.map(({ from, to }) => ({ ...plot, left: from, right: to })),
    ...held.map((points) => hatched(points, plot)),
  ]
  const texts: PlacedText[] = []
  const put = (names: readonly { readonly text: string; readonly line: readonly Point[] }[]) => {
    const taken = texts.map((each) => each.box)
    // On clean paper if there is room, else over the ruling, which is light.
    for (const boxes of [[...ruled, ...taken], taken])
      for (const { text, line } of names) {
        const box = freePlace(along(text, line, plot), plot, boxes, segments)
        if (box !== null) return texts.push({ text, box })
      }
    return texts.length
  }
  put([
    ...levelRuns(shown).map(({ pct, from, to }) => ({
      text: chartWords.reserve(f.pctUp(pct)),
      line: reserve.slice(from, to + 1),
    })),
    { text: chartWords.reserveName, line: reserve },
  ])
  put([{ text: chartWords.expected, line: curve }])
  return texts
}

/** Where the reserve line lies level, the highest first: that is the figure to keep. */
function levelRuns(shown: readonly TrajectoryPoint[]) {
  const runs: { pct: number; from: number; to: number }[] = []
  for (const [index, { reservePct }] of shown.entries()) {
    const last = runs.at(-1)
    if (last !== undefined && Math.abs(last.pct - reservePct) < 0.05) last.to = index
    else runs.push({ pct: reservePct, from: index, to: index })
  }
  return runs.filter((run) => run.to > run.from).toSorted((a, b) => b.pct - a.pct)
}

/** Places for a line's name: just over and under it, then further off, from left to right. */
function along(text: string, line: readonly Point[], plot: Box): Box[] {
  const width = textWidth(text, SMALL_SIZE)
  const from = Math.max(plot.left, line[0]?.x ?? plot.right) + 6
  const to = Math.min(plot.right, line.at(-1)?.x ?? plot.left) - width - 2
  const lefts = Array.from(
    { length: Math.max(0, Math.floor((to - from) / 6) + 1) },
    (_, index) => from + index * 6,
  )
  return [3, 8].flatMap((off) =>
    [-1, 1].flatMap((side) =>
      lefts.map((left) => {
        const ys = [left, left + width / 2, left + width].map((x) => heightAt(line, x))
        const edge = side < 0 ? Math.min(...ys) - off : Math.max(...ys) + off
        const top = side < 0 ? edge - TEXT_HEIGHT : edge
        return { left, right: left + width, top, bottom: top + TEXT_HEIGHT }
      }),
    ),
  )
}

function heightAt(line: readonly Point[], x: number): number {
  const after = line.find((point) => point.x >= x) ?? line.at(-1)
  const before = line.findLast((point) => point.x < x)
  if (after === undefined) return 0
  if (before === undefined || after.x <= before.x) return after.y
  return before.y + ((x - before.x) / (after.x - before.x)) * (after.y - before.y)
}

const polyline = (points: readonly Point[]): Segment[] =>
  points.slice(1).map((point, index) => {
    const before = points[index] ?? point
    return { x1: before.x, y1: before.y, x2: point.x, y2: point.y }
  })

const hatched = (points: readonly Point[], plot: Box): Box => ({
  left: Math.min(...points.map((point) => point.x)),
  right: Math.max(...points.map((point) => point.x)),
  top: Math.min(...points.map((point) => point.y)),
  bottom: plot.bottom,
})
