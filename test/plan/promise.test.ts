// The promise on days that are exchangeable: drawn alike, today one of them. Without readings the share covered is exactly
// 1 - k/(n+1) (split conformal prediction; order statistics of n + 1 exchangeable values, Wilks 1941, from memory); with readings it is
// at least the confidence (conformal risk control). Bands are exact binomial ones.

import { describe, expect, it, vi } from 'vitest'
import { type Grid, gridOf } from '../../src/plan/grid.ts'
import { type PlanInput, type Step, planHolds, rankFor } from '../../src/plan/index.ts'
import { calibrate, heldAt } from '../../src/plan/replay.ts'
import { clock, given, span } from './given.ts'
import { halfHoursOf } from './manyDays.ts'

// Ten thousand draws; alone each of these takes under fifteen seconds.
vi.setConfig({ testTimeout: 240_000 })

const DRAWS = 10_000

function chance(seed: number) {
  let state = seed
  return () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32
}

/** Days from 13:00 of no two alike sizes, now and then with something heavy. */
function someDay(draw: () => number): Step[] {
  const size = 0.4 + 1.2 * draw()
  return halfHoursOf(
    Array.from({ length: 12 }, () => size * (0.3 + draw() + (draw() > 0.9 ? 2 : 0))),
  )
}

const input: Omit<PlanInput, 'load'> = given({
  battery: { capacityKwh: 12 },
  reading: { at: clock('13:00'), socPct: 45 },
  events: [span('17:30-18:30')],
  margin: { kwh: 0 },
})

/** The latest safe hold of one day; minus infinity where none is early enough. */
function latestOf(load: readonly Step[]): number {
  const plan = planHolds({ ...input, load })
  const event = plan.ok ? plan.value.events[0] : undefined
  if (event === undefined) throw new TypeError('Day must be planned')
  return event.verdict === 'short' ? -Infinity : (event.holdBy ?? event.releaseAt)
}

/** The least count c with P(Binomial(n, p) <= c) >= tail: exact, by summing from the ground up in logarithms. */
function binomialQuantile(n: number, p: number, tail: number): number {
  let log = n * Math.log(1 - p)
  let sum = Math.exp(log)
  let count = 0
  while (sum < tail && count < n) {
    log += Math.log((n - count) / (count + 1)) + Math.log(p / (1 - p))
    count += 1
    sum += Math.exp(log)
  }
  return count
}

describe(`over ${DRAWS} draws of days that are alike`, () => {
  it('knows the exact binomial: 59 of 59 misses the 95 % point with 4.85 % (Wilks: 59 runs)', () => {
    expect(0.95 ** 59).toBeCloseTo(0.0485, 4)
    expect(binomialQuantile(59, 0.05, 0.95 ** 59 - 1e-12)).toBe(0)
    expect(binomialQuantile(59, 0.05, 0.95 ** 59 + 1e-6)).toBe(1)
  })

  // A day costs a plan, a draw of n + 1 of them costs n + 1: so they are drawn once, and each draw takes some of them anew.
  const draw = chance(20_310_114)
  const pool = Array.from({ length: 4000 }, () => latestOf(someDay(draw)))

  it.each([
    [9, 0.9],
    [19, 0.95],
    [24, 0.9],
    [40, 0.95],
    [59, 0.95],
    [60, 0.8],
  ])('%i days at %f cover 1 - k/(n+1) without readings', (days, confidence) => {
    const k = rankFor(days, confidence)
    const pick = chance(days)
    let covered = 0
    for (let run = 0; run < DRAWS; run++) {
      const holds = Array.from({ length: days }, () => at(pool, pick()))
      const hold = holds.toSorted((a, b) => a - b)[k - 1] ?? NaN
      if (at(pool, pick()) >= hold) covered++
    }
    const exact = 1 - k / (days + 1)
    const [low, high] = [0.0005, 0.9995].map((tail) => binomialQuantile(DRAWS, 1 - exact, tail))
    const missed = DRAWS - covered
    expect(missed).toBeGreaterThanOrEqual(low ?? 0)
    expect(missed).toBeLessThanOrEqual(high ?? DRAWS)
  })

  it('19 days at 90 % with a reading miss no more than 10 %', () => {
    const days = chance(7)
    const loads = Array.from({ length: 1200 }, () => someDay(days))
    const grid = gridOf(loads.map((load) => ({ ...input, load }))) as Grid
    const pick = chance(11)
    let missed = 0
    for (let run = 0; run < DRAWS; run++) {
      const drawn = Array.from({ length: 20 }, () => at(grid.days, pick()))
      const past = { ...grid, days: drawn.slice(1) }
      const { stage } = calibrate(past, [], 1, 0.9)
      const [today] = drawn
      if (today === undefined) throw new TypeError('A day must be drawn')
      const held = heldAt({ ...grid, days: drawn }, [], { readings: 1, risk: 1 - stage }, 0)
      if (today.covers < held) missed++
    }
    expect(missed).toBeLessThanOrEqual(binomialQuantile(DRAWS, 0.1, 0.9995))
    // And it does not buy that by holding at once.
    expect(missed).toBeGreaterThan(0.02 * DRAWS)
  })
})

const at = <Item>(items: readonly Item[], share: number): Item =>
  items[Math.floor(share * items.length)] as Item
