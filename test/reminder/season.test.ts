// Whole seasons under faults, as many as fit into a minute here; `npm run simulate -- --seeds 10000` runs more. The invariants
// are numbered in src/reminder/README.md. A season that breaks one is printed with its last steps and how to replay it.

import { describe, expect, it, vi } from 'vitest'
import { BREAKS, runSeason } from '../simulator/index.ts'

vi.setConfig({ testTimeout: 600_000 })

// By measure: some 25 seasons a second on one slow core.
const SEASONS = 1000
/** Every mutation was seen to be found within 20. */
const FOUND_WITHIN = 100
const REPLAYED = 30

// A landing is not decided by chance; `SEED=random` looks elsewhere.
const FIRST = process.env['SEED'] === 'random' ? Math.floor(performance.timeOrigin % 1e9) : 1

function replay({ seed, broken, trace }: ReturnType<typeof runSeason>): string {
  const found = broken === null ? '' : `${broken.invariant}: ${broken.text}`
  return [
    `seed ${seed}: ${found}`,
    `again: npm run simulate -- --seed ${seed} --trace`,
    ...trace.last(REPLAYED),
  ].join('\n  ')
}

describe('[R1]-[R27] a season under faults', () => {
  const looked = new Map<string, number>()

  it(`keeps the invariants I0 to I18 through ${SEASONS} seasons`, () => {
    for (let seed = FIRST; seed < FIRST + SEASONS; seed++) {
      const outcome = runSeason(seed)
      if (outcome.broken !== null) expect.fail(replay(outcome))
      for (const [invariant, times] of Object.entries(outcome.looked))
        looked.set(invariant, (looked.get(invariant) ?? 0) + times)
    }
  })

  it('had something to judge by each of them', () => {
    const least = {
      'I1 missed': 50,
      'I2 hold': 100,
      'I2 once': 100,
      'I2 release': 100,
      'I4 again': 1000,
      'I4 apart': 1000,
      I5: 100,
      'I7 release': 100,
      'I7 restore': 50,
      I10: 100,
      I11: 1000,
      I13: 1000,
      I14: 1000,
      I16: 500,
      I17: 1000,
      I18: 1000,
    }
    for (const [invariant, times] of Object.entries(least))
      expect(looked.get(invariant) ?? 0, invariant).toBeGreaterThanOrEqual(times)
  })

  it('lives the same season from the same seed', () => {
    const once = runSeason(7)
    expect(runSeason(7).trace.last(Infinity)).toEqual(once.trace.last(Infinity))
    expect(runSeason(8).trace.last(Infinity)).not.toEqual(once.trace.last(Infinity))
  })
})

describe('the invariants', () => {
  it.each(Object.entries(BREAKS))('are broken by "%s"', (_, mutation) => {
    const found = new Set<string>()
    for (let seed = 1; seed <= FOUND_WITHIN && !found.has(mutation.foundBy); seed++)
      found.add(runSeason(seed, mutation).broken?.invariant ?? 'none')
    expect([...found]).toContain(mutation.foundBy)
  })
})
