// The cheapest holds on many random households: the same cost as a general mixed-integer solver (HiGHS, University of
// Edinburgh, through the `highs` package) finds on milp.ts's programme, and never more saved than its linear relaxation.

import * as fc from 'fast-check'
import loadHighs from 'highs'
import { beforeAll, describe, expect, it, vi } from 'vitest'
import type { PlanInput, Span, Step, UnitRate } from '../../src/plan/index.ts'
import { asked, cheapest, choosable, modesOf, savedBy } from './asked.ts'
import { HOUR, MINUTE, clock, ms } from './given.ts'
import { batteries, instances, seeded, singleEvent, tenths } from './instances.ts'
import { halfHoursOf } from './manyDays.ts'
import { type Question, dispatchOf, programmeOf, withoutBattery } from './milp.ts'
import { simulate } from './simulate.ts'

// Other work may share the machine.
vi.setConfig({ testTimeout: 240_000 })

let highs: Awaited<ReturnType<typeof loadHighs>>
beforeAll(async () => {
  highs = await loadHighs()
})

const hour = (i: number) => ms(clock('13:00') + i * HOUR)

type Instance = readonly [input: PlanInput, unitRates: readonly UnitRate[]]

/** Hourly loads and rates, an event some hours ahead, and the nightly charge window some hours after it. */
const coarse = (withLoss: boolean): fc.Arbitrary<Instance> =>
  fc
    .record({
      before: fc.integer({ min: 2, max: 6 }),
      length: fc.integer({ min: 1, max: 2 }),
      after: fc.integer({ min: 0, max: 3 }),
      load: fc.array(tenths(0, 3), { minLength: 12, maxLength: 12 }),
      pence: fc.array(fc.integer({ min: -5, max: 50 }), { minLength: 12, maxLength: 12 }),
      window: fc.boolean(),
      input: instances({ battery: batteries(withLoss) }),
      socPct: tenths(30, 100),
    })
    .map(({ before, length, after, load, pence, window, input, socPct }) => {
      const end = before + length
      const charge = { start: hour(end + after), end: hour(end + after + 2) }
      const steps: Step[] = load.map((kw, i) => ({ start: hour(i), kw }))
      return [
        {
          ...input,
          reading: { at: input.now, socPct },
          load: steps,
          events: [{ start: hour(before), end: hour(end) }],
          topUpWindows: window ? [charge] : [],
        },
        // Without a window the cost is counted for a day: at one rate from then on.
        pence.map((each, i) => ({ start: hour(i), perKwh: each / 100 })),
      ]
    })

/** So many of them in which there is something to choose. */
const sample = (instancesOf: fc.Arbitrary<Instance>, many: number, other = 0) => {
  const seed = seeded(1).seed + other
  const drawn = fc.sample(instancesOf, { seed, numRuns: 3 * many })
  return drawn.filter(([input]) => choosable(input)).slice(0, many)
}

const TIGHT = {
  output_flag: false,
  mip_rel_gap: 0,
  mip_abs_gap: 1e-10,
  mip_feasibility_tolerance: 1e-9,
  primal_feasibility_tolerance: 1e-9,
  dual_feasibility_tolerance: 1e-9,
}

const best = (programme: string): number => {
  const solved = highs.solve(programme, TIGHT)
  if (solved.Status !== 'Optimal') throw new TypeError(`Programme must be solved: ${solved.Status}`)
  return solved.ObjectiveValue
}

/** A cost to a millionth: of what is paid, or of one unit of money where that is little. */
const sameCost = (question: Question, ours: number, theirs: number) => {
  const cost = withoutBattery(question) - theirs
  return Math.abs(ours - theirs) <= 1e-6 * Math.max(1, Math.abs(cost))
}

describe('[H19] on 1,040 instances the cost that a mixed-integer solver finds, to a millionth', () => {
  it.each([
    ['260 households', 2, false, 260],
    ['260 others', 4, false, 260],
    ['260 households with standing loss', 2, true, 260],
    ['260 others with standing loss', 4, true, 260],
  ])('%s, at most %i actions', (_name, maxActions, withLoss, many) => {
    let [compared, allUsed] = [0, 0]
    for (const [input, unitRates] of sample(coarse(withLoss), many, maxActions)) {
      const question = asked(input, unitRates)
      const { plan, holds } = cheapest(input, unitRates, maxActions)
      expect(plan.notCheapest).toBeNull()
      expect(holds.length).toBeLessThanOrEqual(maxActions / 2)
      const ours = savedBy(question, holds)
      const theirs = best(programmeOf(question, maxActions / 2))
      const seen = `ours ${ours}, theirs ${theirs}: ${JSON.stringify([input, unitRates])}`
      expect(sameCost(question, ours, theirs), seen).toBe(true)
      compared += 1
      if (holds.length === maxActions / 2) allUsed += 1
    }
    expect(compared).toBe(many)
    expect(allUsed).toBeGreaterThan(50)
  })
})

describe('[H19] beside the linear dispatch programme', () => {
  const upTo = (maxActions: readonly number[], [input, unitRates]: Instance) => {
    const question = asked(input, unitRates)
    const saved = maxActions.map((most) =>
      savedBy(question, cheapest(input, unitRates, most).holds),
    )
    return { question, saved, most: best(dispatchOf(question)) }
  }

  it('500 households: more actions never save less, and none save more than it', () => {
    let compared = 0
    for (const instance of sample(coarse(false), 500)) {
      const { saved, most } = upTo([2, 4, 6, 8], instance)
      for (const [i, each] of saved.entries()) {
        expect(each).toBeGreaterThanOrEqual((saved[i - 1] ?? -Infinity) - 1e-6)
        expect(each).toBeLessThanOrEqual(most + 1e-6)
      }
      compared += 1
    }
    expect(compared).toBe(500)
  })

  it('500 households with rates that only fall after the release: as many holds as are of use save as much', () => {
    // From then on running is the best that can be done, so that all that is left to choose is before.
    const falling = coarse(false).map(([input, unitRates]): Instance => {
      const release = (input.events[0]?.start ?? input.now) - input.releaseLeadMinutes * MINUTE
      const after = unitRates
        .filter(({ start }) => start + HOUR > release)
        .map(({ perKwh }) => 0.3 + 0.4 * Math.max(0, perKwh))
        .toSorted((a, b) => b - a)
      const before = unitRates.length - after.length
      return [
        { ...input, topUpWindows: [] },
        unitRates.map(({ start, perKwh }, i) => ({
          start,
          perKwh: i === 0 ? Math.min(0.15, perKwh) : (after[i - before] ?? perKwh),
        })),
      ]
    })
    let compared = 0
    for (const instance of sample(falling, 500)) {
      const { question, saved, most } = upTo([14], instance)
      const seen = `ours ${saved[0]}, theirs ${most}: ${JSON.stringify(instance)}`
      expect(sameCost(question, saved[0] ?? 0, most), seen).toBe(true)
      compared += 1
    }
    expect(compared).toBe(500)
  })
})

describe('[H18] [H19] people out of reach, half-hourly rates, standing loss', () => {
  const away = fc
    .array(fc.tuple(fc.integer({ min: 0, max: 90 }), fc.integer({ min: 1, max: 20 })), {
      maxLength: 3,
    })
    .map((spans) =>
      spans.map(([from, length]) => ({
        start: ms(clock('13:00') + from * 5 * MINUTE),
        end: ms(clock('13:00') + (from + length) * 5 * MINUTE),
      })),
    )
  const halfHourly = (most: number) =>
    fc.array(tenths(0, most), { minLength: 48, maxLength: 48 }).map(halfHoursOf)
  const pence = fc.array(fc.integer({ min: -5, max: 50 }), { minLength: 48, maxLength: 48 })
  const inReach = ({ outOfReach, events, releaseLeadMinutes }: PlanInput, at: number) =>
    at === (events[0]?.start ?? 0) - releaseLeadMinutes * MINUTE ||
    outOfReach.every(({ start, end }) => at < start || at >= end)

  it('no two holds on a five-minute grid that keep the reserve save more, and all can be done', () => {
    let [compared, two] = [0, 0]
    fc.assert(
      fc.property(
        instances({ load: halfHourly(2), events: singleEvent }),
        away,
        pence,
        fc.infiniteStream(fc.double({ min: 0, max: 1, noNaN: true })),
        (plain, outOfReach, each, shares) => {
          const reading = { at: plain.now, socPct: 40 + 0.6 * plain.reading.socPct }
          const input = { ...plain, reading, outOfReach }
          if (!choosable(input)) return
          const unitRates = halfHoursOf(each.map((n) => n / 100)).map(({ start, kw }) => ({
            start,
            perKwh: kw,
          }))
          const question = asked(input, unitRates)
          const { plan, holds } = cheapest(input, unitRates, 4)
          expect(plan.notCheapest).toBeNull()
          const ours = savedBy(question, holds)
          const latest = question.releaseAt
          const late = holds.length > 0 && keptBy(question, holds) < question.reserveKwh - 1e-6
          // Nobody could hold in time: then as soon as somebody can.
          if (late) return
          for (const { start, end } of holds)
            for (const at of [start, end]) expect(at === latest || inReach(input, at)).toBe(true)
          if (holds.length === 2) two += 1
          const places = Math.floor((latest - input.now) / (5 * MINUTE))
          const place = () => ms(input.now + Math.round(shares.next().value * places) * 5 * MINUTE)
          for (let i = 0; i < 60; i++) {
            const [a, b, c, d] = [place(), place(), place(), place()].sort((x, y) => x - y)
            if (a === undefined || b === undefined || c === undefined || d === undefined) continue
            const other = [
              { start: a, end: b },
              { start: c, end: d },
            ]
            if (![a, b, c, d].every((at) => at === latest || inReach(input, at))) continue
            if (keptBy(question, other) < question.reserveKwh) continue
            compared += 1
            expect(savedBy(question, other)).toBeLessThanOrEqual(ours + 2e-5)
          }
        },
      ),
      seeded(300),
    )
    expect(two).toBeGreaterThan(50)
    expect(compared).toBeGreaterThan(1000)
  })
})

/** What is there at the release. */
const keptBy = ({ input, releaseAt }: Question, holds: readonly Span[]): number =>
  simulate({
    input,
    from: input.now,
    until: ms(releaseAt),
    startKwh: (input.reading.socPct / 100) * input.battery.capacityKwh,
    legs: modesOf(input, holds),
    stepMs: Infinity,
  }).energyKwh
