// `npm run evaluate -- FOLDER`: how the planner does on real homes, each evening planned from earlier days alone. Prints a
// table for each home and over all, and draws the frontier. `--standard` stops after the standard evening.

import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import {
  type Evening,
  STANDARD,
  type Setting,
  eveningOf,
  type Outcome,
} from './evaluate/evening.ts'
import { type Curve, frontierSvg } from './evaluate/frontier.ts'
import { type Home, homesIn } from './evaluate/homes.ts'
import { type Score, scoreOf, tableOf } from './evaluate/score.ts'
import {
  type Way,
  calibrated,
  ensemble,
  noHold,
  scored,
  thumbByClock,
  thumbWatched,
} from './evaluate/ways.ts'

const OUT = '.holdbell/evaluation'
const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: { standard: { type: 'boolean', default: false } },
})
const [folder] = positionals
if (folder === undefined) {
  console.error('evaluate: name the folder of meter files: npm run evaluate -- FOLDER')
  process.exit(1)
}
const homes = homesIn(folder)
if (homes.length === 0) {
  console.error(`evaluate: no file in ${folder} has the columns start,kwh`)
  process.exit(1)
}

const eveningsOf = (home: Home, setting: Setting): readonly Evening[] =>
  home.winter.map((today) => eveningOf(home, today, setting)).filter(scored)

const outcomesOf = (way: Way, home: Home, setting: Setting): readonly Outcome[] =>
  eveningsOf(home, setting).map((evening) => way.play(evening))

const scoreOver = (way: Way, setting: Setting): Score =>
  scoreOf(homes.flatMap((home) => outcomesOf(way, home, setting)))

const main = calibrated(0.95, 2)
const ways: readonly Way[] = [noHold, thumbByClock, thumbWatched, ensemble(0.95), main]
const byWay = ways.map((way) => ({
  name: way.name,
  byHome: homes.map((home) => outcomesOf(way, home, STANDARD)),
}))
const lines: string[] = []
const say = (text: string) => {
  console.log(`${text}\n`)
  lines.push(text, '')
}
for (const [i, home] of homes.entries())
  say(
    tableOf(
      `${home.name}, ${home.capacityKwh} kWh`,
      byWay.map(({ name, byHome }) => ({ name, score: scoreOf(byHome[i] ?? []) })),
    ),
  )
const overall = byWay.map(({ name, byHome }) => ({ name, score: scoreOf(byHome.flat()) }))
say(tableOf(`all ${homes.length} homes, the standard evening`, overall))

if (!values.standard) {
  const others = [1, 2].flatMap((hours) =>
    [60, 75, 95].map((startPct) => ({ ...STANDARD, end: STANDARD.start + hours, startPct })),
  )
  for (const setting of others)
    say(
      tableOf(
        `${setting.end - setting.start} h event from ${setting.startPct} %`,
        [noHold, thumbWatched, ensemble(0.95), main].map((way) => ({
          name: way.name,
          score: scoreOver(way, setting),
        })),
      ),
    )
  const at = (confidences: readonly number[], wayAt: (confidence: number) => Way) =>
    confidences.map((confidence) => ({
      label: `${100 * confidence}`,
      score: scoreOver(wayAt(confidence), STANDARD),
    }))
  const curves: readonly Curve[] = [
    { name: 'no reading', points: at([0.7, 0.8, 0.9, 0.95], ensemble) },
    ...[1, 2, 4].map((readings) => ({
      name: `${readings} reading${readings === 1 ? '' : 's'}`,
      points: at([0.8, 0.9, 0.95, 0.97], (confidence) => calibrated(confidence, readings)),
    })),
    {
      name: 'rules of thumb',
      points: overall
        .slice(0, 3)
        .map(({ name, score }) => ({ label: name.replace('rule of thumb, ', ''), score })),
    },
  ]
  say(
    tableOf(
      'the frontier',
      curves.flatMap(({ name, points }) =>
        points.map(({ label, score }) => ({ name: `${name}: ${label}`, score })),
      ),
    ),
  )
  mkdirSync(OUT, { recursive: true })
  writeFileSync(join(OUT, 'frontier.svg'), frontierSvg(curves))
  writeFileSync(join(OUT, 'table.txt'), `${lines.join('\n')}\n`)
  console.log(`evaluate: the table and the frontier are in ${OUT}`)
}
const { score } = overall.at(-1) as { score: Score }
console.log(
  `${main.name}: ${score.coveredPct.toFixed(1)} % covered, ${score.importedPct.toFixed(1)} % imported, ${score.heldMinutes.toFixed(1)} minutes held`,
)
