// The frontier as a picture: minutes held against the share of evenings covered; one line for each number of readings.

import { line } from 'd3-shape'
import type { Score } from './score.ts'

export type Curve = {
  readonly name: string
  readonly points: readonly { readonly label: string; readonly score: Score }[]
}

const [WIDTH, HEIGHT] = [720, 420]
const [LEFT, RIGHT, TOP, BOTTOM] = [64, 176, 40, 52]
const DASHES = ['', '7 3', '2 3', '9 3 2 3', '4 4']

/** An SVG with its own description; no styles from outside. */
export function frontierSvg(curves: readonly Curve[]): string {
  const scores = curves.flatMap(({ points }) => points.map(({ score }) => score))
  const mostHeld = 20 * Math.ceil(Math.max(...scores.map((score) => score.heldMinutes)) / 20)
  const least = 5 * Math.floor(Math.min(...scores.map((score) => score.coveredPct)) / 5)
  const x = (minutes: number) => LEFT + (minutes / mostHeld) * (WIDTH - LEFT - RIGHT)
  const y = (pct: number) => TOP + ((100 - pct) / (100 - least)) * (HEIGHT - TOP - BOTTOM)
  const path = line<Score>()
    .x((score) => x(score.heldMinutes))
    .y((score) => y(score.coveredPct))
  const text = (atX: number, atY: number, words: string, more = '') =>
    `<text x="${atX.toFixed(1)}" y="${atY.toFixed(1)}" ${more}>${words}</text>`
  const grid = [
    ...steps(0, mostHeld, 20).map(
      (held) =>
        `<path d="M${x(held)},${y(100)}V${y(least)}" stroke="#ccc"/>` +
        text(x(held), y(least) + 18, String(held), 'text-anchor="middle"'),
    ),
    ...steps(least, 100, 5).map(
      (pct) =>
        `<path d="M${x(0)},${y(pct)}H${x(mostHeld)}" stroke="${pct === 95 ? '#555' : '#ccc'}"/>` +
        text(LEFT - 8, y(pct) + 4, `${pct} %`, 'text-anchor="end"'),
    ),
  ]
  const drawn = curves.map(({ name, points }, i) => {
    const inOrder = points.toSorted((a, b) => a.score.heldMinutes - b.score.heldMinutes)
    const dots = inOrder.map(({ label, score }) => {
      const [atX, atY] = [x(score.heldMinutes), y(score.coveredPct)]
      return (
        `<circle cx="${atX.toFixed(1)}" cy="${atY.toFixed(1)}" r="3"/>` +
        // Names above and to the left for every other line, so that they do not lie on each other.
        (i % 2 === 0
          ? text(atX + 5, atY + 13, label, 'font-size="10"')
          : text(atX - 5, atY - 6, label, 'font-size="10" text-anchor="end"'))
      )
    })
    const legend =
      `<path d="M${WIDTH - RIGHT + 16},${TOP + 10 + 20 * i}h26" stroke="#000" stroke-dasharray="${DASHES[i % DASHES.length]}"/>` +
      text(WIDTH - RIGHT + 48, TOP + 14 + 20 * i, name)
    const curve =
      points.length < 2
        ? ''
        : `<path d="${path(inOrder.map(({ score }) => score))}" fill="none" stroke="#000" stroke-dasharray="${DASHES[i % DASHES.length]}"/>`
    return curve + dots.join('') + legend
  })
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" font-family="Georgia, serif" font-size="12" role="img">
<title>Minutes held against the share of evenings covered</title>
<rect width="100%" height="100%" fill="#fff"/>
${grid.join('\n')}
${drawn.join('\n')}
${text((x(0) + x(mostHeld)) / 2, HEIGHT - 12, 'minutes held before the event, mean', 'text-anchor="middle"')}
${text(LEFT - 44, TOP - 8, 'evenings covered')}
</svg>
`
}

const steps = (from: number, to: number, by: number): readonly number[] =>
  Array.from({ length: Math.round((to - from) / by) + 1 }, (_, i) => from + by * i)
