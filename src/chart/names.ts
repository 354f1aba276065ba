// The names written on the two lines, where there is room for them.

import type { TrajectoryPoint } from '../plan/index.ts'
import { chartWords } from '../words/index.ts'
import type { Format } from '../words/index.ts'
import type { Box, Segment } from './labels.ts'
import { freePlace, textWidth } from './labels.ts'

/** The words that are not on flags. */
export const SMALL_SIZE = 12
// A line of them with its descenders.
const TEXT_HEIGHT = 15

export type Point = { readonly x: number; readonly y: number }

export type PlacedText = { readonly text: string; readonly box: Box }

type Drawn = {
  readonly plot: Box
  readonly curve: readonly Point[]
  readonly reserve: readonly Point[]
  readonly held: readonly (readonly Point[])[]
  readonly events: readonly { readonly from: number; readonly to: number }[]
  /** Staffs of the flags. */
  readonly staffs: readonly Segment[]
  readonly shown: readonly TrajectoryPoint[]
  readonly f: Format
}

/** The reserve with its figure, then the charge: each where there is room. */
export function lineNames({
  plot,
  curve,
  reserve,
  held,
  events,
  staffs,
  shown,
  f,
}: Drawn): PlacedText[] {
  const segments = [
    ...polyline(curve),
    ...polyline(reserve),
    ...staffs,
    ...events.flatMap(({ from, to }) =>
      [from, to].map((x) => ({ x1: x, y1: plot.top, x2: x, y2: plot.bottom })),
    ),
  ]
  const ruled: Box[] = [
    ...events.map(({ from, to }) => ({ ...plot, left: from, right: to })),
    ...held.map((points) => hatched(points, plot)),
  ]
  const texts: PlacedText[] = []
  const put = (
    names: readonly { readonly text: string; readonly line: readonly Point[] }[],
    other: readonly Point[],
  ) => {
    const taken = texts.map((each) => each.box)
    // On clean paper if there is room, else over the ruling, which is light.
    for (const boxes of [[...ruled, ...taken], taken])
      for (const { text, line } of names) {
        const places = along(text, line, plot).filter((place) => isNearer(place, line, other))
        const box = freePlace(places, plot, boxes, segments)
        if (box !== null) return texts.push({ text, box })
      }
    return texts.length
  }
  const names = [
    ...levelRuns(shown).map(({ pct, from, to }) => ({
      text: chartWords.reserve(f.pctUp(pct)),
      line: reserve.slice(from, to + 1),
    })),
    { text: chartWords.reserveName, line: reserve },
  ]
  put(names, curve)
  put([{ text: chartWords.expected, line: curve }], reserve)
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

/** Whether a name stands nearer to its own line than to the other, all along: else it would name the other. */
function isNearer(place: Box, line: readonly Point[], other: readonly Point[]): boolean {
  const middle = (place.top + place.bottom) / 2
  return [place.left, place.right].every(
    (x) =>
      other.length === 0 ||
      Math.abs(middle - heightAt(line, x)) < Math.abs(middle - heightAt(other, x)) - 2,
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
