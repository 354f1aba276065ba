// `npm run bench`: how fast planning, the calendar feed and the worker's start are, and how large the worker
// is. Times are of this machine; only the ratio to a general solver, measured in the same run, can fail.

import { benchCheapest } from './bench/cheapest.ts'
import { benchDays } from './bench/days.ts'
import { benchFeed } from './bench/feed.ts'
import { benchMeter } from './bench/meter.ts'
import { benchPlan } from './bench/plan.ts'
import { type Row, printTable } from './bench/table.ts'
import { benchWorker } from './bench/worker.ts'

const rows: Row[] = []
for (const bench of [benchPlan, benchDays, benchCheapest, benchFeed, benchMeter, benchWorker])
  rows.push(...(await bench()))
printTable(rows)

const failed = rows.filter((row) => row.failed)
if (failed.length > 0) {
  console.error(`bench: not reached: ${failed.map((row) => row.what).join('; ')}`)
  process.exit(1)
}
