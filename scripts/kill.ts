// `npm run kill`: the real server on an event day of minutes, killed with SIGKILL again and again, with channels that
// fail as well. Nothing may be lost. What it looks at: test/server/kill/checks.ts.

import { parseArgs } from 'node:util'
import { killRun } from '../test/server/kill/run.ts'

const { values } = parseArgs({
  options: {
    kills: { type: 'string', default: '60' },
    seed: { type: 'string', default: '1' },
    events: { type: 'string', default: 'Infinity' },
    rate: { type: 'string', default: '40' },
    faults: { type: 'string', default: '0.25' },
    quiet: { type: 'boolean', default: false },
  },
})

const since = Date.now()
const report = await killRun({
  seed: Number(values.seed),
  kills: Number(values.kills),
  rate: Number(values.rate),
  events: Number(values.events),
  faults: Number(values.faults),
  ...(values.quiet ? {} : { tell: (line: string) => console.log(line) }),
})
if (report.violations.length > 0)
  console.error(`${report.log}\n\n${report.violations.join('\n')}\n`)
for (const [what, count] of Object.entries(report.counts))
  console.log(`${String(count).padStart(6)}  ${what}`)
for (const { arrival, why, marked } of report.doubles)
  console.log(
    `doubled: #${arrival.number} ${arrival.channel} ${arrival.key}: ${why ?? 'no reason'}${marked ? '' : ', not marked'}`,
  )
console.log(`${Math.round((Date.now() - since) / 1000)} s, seed ${report.seed}`)
console.log(report.summary)
process.exit(report.violations.length > 0 ? 1 : 0)
