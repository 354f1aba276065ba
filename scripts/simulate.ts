// `npm run simulate -- --seeds 10000`: whole seasons of a household with faults drawn from each seed. Prints a replay for every
// one in which an invariant does not hold (src/reminder/README.md, "Invariants"), and ends with 1 then.

import { fork } from 'node:child_process'
import { parseArgs } from 'node:util'
import { BREAKS, type Outcome, runSeason } from '../test/simulator/index.ts'

const { values } = parseArgs({
  options: {
    /** How many, and the first. */
    seeds: { type: 'string', default: '1000' },
    from: { type: 'string', default: '1' },
    /** One alone; with its whole trace. */
    seed: { type: 'string' },
    trace: { type: 'boolean', default: false },
    /** The code broken on purpose: test/simulator/breaks.ts. */
    break: { type: 'string' },
    workers: { type: 'string', default: '2' },
    /** Between the command and its workers. */
    every: { type: 'string', default: '1' },
    worker: { type: 'boolean', default: false },
  },
})

type Counts = { seasons: number; events: number; messages: number; crashes: number }
type Sum = Counts & { readonly broken: Record<string, number> }

const REPLAYED = 30
/** Of each invariant, by each worker. */
const MOST_REPLAYS = 3

const broken = values.break === undefined ? null : (BREAKS[values.break] ?? null)
if (values.break !== undefined && broken === null) {
  console.error(`simulate: no such break; there are ${Object.keys(BREAKS).join(', ')}`)
  process.exit(2)
}

const write = (line: string): void => void process.stdout.write(`${line}\n`)

function tell({ seed, broken: found, trace }: Outcome, lines: number): void {
  if (found !== null) {
    const how = values.break === undefined ? '' : ` --break ${values.break}`
    write(`\nseed ${seed}: ${found.invariant}: ${found.text}`)
    write(`  again: npm run simulate -- --seed ${seed} --trace${how}`)
  }
  for (const line of trace.last(lines)) write(`  ${line}`)
}

/** Runs every so manyth seed, and tells of the broken ones. */
function runSome(from: number, until: number, every: number): Sum {
  const sum: Sum = { seasons: 0, events: 0, messages: 0, crashes: 0, broken: {} }
  for (let seed = from; seed < until; seed += every) {
    const outcome = runSeason(seed, broken)
    sum.seasons += 1
    sum.events += outcome.events
    sum.messages += outcome.messages
    sum.crashes += outcome.crashes
    if (outcome.broken === null) continue
    const { invariant } = outcome.broken
    const count = (sum.broken[invariant] ?? 0) + 1
    sum.broken[invariant] = count
    if (count <= MOST_REPLAYS) tell(outcome, REPLAYED)
  }
  return sum
}

function runWorker(from: number, until: number, every: number): Promise<Sum> {
  const range = [`--from=${from}`, `--seeds=${until - from}`, `--every=${every}`]
  const how = values.break === undefined ? [] : [`--break=${values.break}`]
  return new Promise((resolve, reject) => {
    const child = fork(import.meta.filename, [...range, ...how, '--worker'])
    let sum: Sum | null = null
    child.on('message', (message) => (sum = message as Sum))
    child.on('exit', (code) =>
      sum === null ? reject(new Error(`A worker ended with ${code}`)) : resolve(sum),
    )
  })
}

function together(a: Sum, b: Sum): Sum {
  const found = new Set([...Object.keys(a.broken), ...Object.keys(b.broken)])
  const count = (each: string) => [each, (a.broken[each] ?? 0) + (b.broken[each] ?? 0)] as const
  return {
    seasons: a.seasons + b.seasons,
    events: a.events + b.events,
    messages: a.messages + b.messages,
    crashes: a.crashes + b.crashes,
    broken: Object.fromEntries([...found].map(count)),
  }
}

if (values.seed !== undefined) {
  const outcome = runSeason(Number(values.seed), broken)
  tell(outcome, values.trace ? Infinity : REPLAYED)
  const { steps, events, messages, crashes } = outcome
  write(`${steps} steps, ${events} events, ${messages} messages, ${crashes} crashes`)
  process.exit(outcome.broken === null ? 0 : 1)
}

const from = Number(values.from)
const until = from + Number(values.seeds)
if (values.worker) process.send?.(runSome(from, until, Number(values.every)))
else {
  const workers = Number(values.workers)
  const runs = Array.from({ length: workers }, (_, i) => runWorker(from + i, until, workers))
  const sum = (await Promise.all(runs)).reduce(together)
  const found = Object.entries(sum.broken)
  const count = found.reduce((all, [, each]) => all + each, 0)
  if (count > 0) write(`\n${found.map(([invariant, each]) => `${invariant}: ${each}`).join(', ')}`)
  write(
    `${sum.seasons} seasons, ${count} broken, ${sum.events} events, ${sum.messages} messages, ${sum.crashes} crashes`,
  )
  process.exit(count === 0 ? 0 : 1)
}
