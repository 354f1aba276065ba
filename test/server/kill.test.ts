// The worker as `npm start` runs it, on an event day of minutes: killed with SIGKILL at chosen moments and started again,
// with stand-ins for all channels that fail as well. The run by hand has more kills: `npm run kill`.

import { describe, expect, it } from 'vitest'
import { killRun } from './kill/run.ts'

// One event of each household, and the starts between, on a slow machine.
const LONGEST_MS = 240_000

describe('a server that is killed again and again', () => {
  it(
    'loses nothing that it confirmed, reminds in time, and doubles nothing without a reason (R10, R11, R12, R23)',
    async () => {
      const report = await killRun({ seed: 11, kills: 6, rate: 75, faults: 0.25, events: 1 })
      const { violations, log, seed, summary, counts } = report
      expect(violations, `seed ${seed}: ${summary}\n${log}\n\n${violations.join('\n')}\n`).toEqual(
        [],
      )
      expect(report.kills).toBe(6)
      // Alarms outlive a kill: reminders came before anybody called that household again.
      expect(counts['came with no visit since the start']).toBeGreaterThan(0)
    },
    LONGEST_MS,
  )
})
