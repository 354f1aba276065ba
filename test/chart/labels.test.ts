import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Box, Picture } from '../../src/chart/index.ts'
import { cuts, freePlace, overlap, picture, placeFlags } from '../../src/chart/index.ts'
import { anyInput, pictureOf, worked } from './given.ts'

const box: Box = { left: 10, right: 20, top: 10, bottom: 20 }

describe('labels', () => {
  test.each([
    ['through', { x1: 0, y1: 15, x2: 30, y2: 15 }, true],
    ['inside', { x1: 12, y1: 12, x2: 13, y2: 13 }, true],
    ['across a corner', { x1: 8, y1: 14, x2: 14, y2: 8 }, true],
    ['past a corner', { x1: 0, y1: 12, x2: 12, y2: 0 }, false],
    ['ending before', { x1: 0, y1: 15, x2: 9, y2: 15 }, false],
    ['upright beside', { x1: 21, y1: 0, x2: 21, y2: 30 }, false],
    ['upright through', { x1: 15, y1: 0, x2: 15, y2: 30 }, true],
  ])('a segment %s', (_, segment, expected) => {
    expect(cuts(segment, box)).toBe(expected)
  })

  test('cutting agrees with sampling along the segment', () => {
    const n = fc.integer({ min: 0, max: 30 })
    fc.assert(
      fc.property(n, n, n, n, (x1, y1, x2, y2) => {
        const sampled = Array.from({ length: 601 }, (_, i) => i / 600).some((t) => {
          const [x, y] = [x1 + t * (x2 - x1), y1 + t * (y2 - y1)]
          return x > box.left && x < box.right && y > box.top && y < box.bottom
        })
        if (sampled) expect(cuts({ x1, y1, x2, y2 }, box)).toBe(true)
      }),
    )
  })

  test('a place is refused when it leaves the picture or touches what is drawn', () => {
    const inside = { left: 0, right: 100, top: 0, bottom: 100 }
    expect(freePlace([{ ...box, left: -1 }], inside, [], [])).toBeNull()
    expect(freePlace([box], inside, [{ left: 19, right: 30, top: 0, bottom: 11 }], [])).toBeNull()
    expect(freePlace([box], inside, [{ left: 20, right: 30, top: 0, bottom: 30 }], [])).toBe(box)
  })

  test('flags at random: inside, apart, no staff through words, the most important kept', () => {
    const flag = fc.record({
      x: fc.double({ min: 40, max: 346, noNaN: true }),
      width: fc.integer({ min: 40, max: 140 }),
      rank: fc.integer({ min: 0, max: 20 }),
    })
    fc.assert(
      fc.property(fc.array(flag, { minLength: 1, maxLength: 7 }), (flags) => {
        const placed = placeFlags(flags, { left: 0, right: 360 })
        expect(placed.length).toBeGreaterThan(0)
        const best = Math.min(...flags.map((each) => each.rank))
        expect(Math.min(...placed.map((each) => each.flag.rank))).toBe(best)
        expectApart(placed)
      }),
      { numRuns: 300 },
    )
  })
})

type Words = Pick<Picture['flags'][number], 'left' | 'right' | 'lane'> & {
  readonly flag: { readonly x: number }
}

function expectApart(placed: readonly Words[]) {
  for (const one of placed) {
    expect(one.left).toBeGreaterThanOrEqual(0)
    expect(one.right).toBeLessThanOrEqual(360)
    for (const other of placed) {
      if (other === one) continue
      const sameLane = one.lane === other.lane
      expect(sameLane && one.left < other.right && other.left < one.right).toBe(false)
      const staffPasses =
        other.lane <= one.lane && other.left < one.flag.x && one.flag.x < other.right
      expect(staffPasses).toBe(false)
    }
  }
}

describe('the picture', () => {
  test('of the worked example notes all four', () => {
    const drawn = picture(pictureOf(worked))
    expect(drawn?.flags.map(({ flag }) => flag.text).toSorted()).toEqual([
      'event 17:30–18:30',
      'hold 16:28',
      'now 13:00',
      'release 17:25',
    ])
    expect(drawn?.texts.map(({ text }) => text)).toEqual(['reserve 25\u00a0%', 'expected charge'])
  })

  test('of any household: words inside, apart from each other and from every staff', () => {
    fc.assert(
      fc.property(anyInput, (input) => {
        const drawn = picture(pictureOf(input))
        if (drawn === null) return
        expectApart(drawn.flags)
        for (const { baseline } of drawn.flags) {
          expect(baseline).toBeGreaterThan(9)
          expect(baseline).toBeLessThan(drawn.plot.top)
        }
        const { texts, plot } = drawn
        for (const [index, { box: one }] of texts.entries()) {
          expect(one.left >= plot.left && one.right <= plot.right).toBe(true)
          expect(one.top >= plot.top && one.bottom <= plot.bottom).toBe(true)
          for (const { box: other } of texts.slice(index + 1))
            expect(overlap(one, other)).toBe(false)
          for (const { flag } of drawn.flags)
            expect(cuts({ x1: flag.x, x2: flag.x, y1: 0, y2: flag.foot }, one)).toBe(false)
        }
        for (const { x, y } of [...drawn.curve, ...drawn.reserve]) {
          expect(x).toBeGreaterThanOrEqual(0)
          expect(x).toBeLessThanOrEqual(360)
          expect(y).toBeGreaterThanOrEqual(plot.top - 0.01)
          expect(y).toBeLessThanOrEqual(plot.bottom + 0.01)
        }
        const labelled = drawn.hours.filter(({ text }) => text !== null)
        for (const [index, { x }] of labelled.entries())
          expect(x - (labelled[index - 1]?.x ?? -99)).toBeGreaterThan(36)
      }),
      { numRuns: 200 },
    )
  })

  test('of any household: a name stands nearer to its own line than to the other, all along', () => {
    type Line = Picture['curve']
    // The line's height by walking it; where it steps, both heights are its own.
    const heights = (line: Line, x: number): number[] =>
      line.slice(1).flatMap((end, index) => {
        const start = line[index] ?? end
        if (x < start.x || x > end.x) return []
        if (end.x === start.x) return [start.y, end.y]
        return [start.y + ((x - start.x) / (end.x - start.x)) * (end.y - start.y)]
      })
    fc.assert(
      fc.property(anyInput, (input) => {
        const drawn = picture(pictureOf(input))
        for (const { text, box: place } of drawn?.texts ?? []) {
          if (drawn === null) return
          const middle = (place.top + place.bottom) / 2
          const [own, other] =
            text === 'expected charge' ? [drawn.curve, drawn.reserve] : [drawn.reserve, drawn.curve]
          const away = (line: Line, x: number) =>
            Math.min(...heights(line, x).map((y) => Math.abs(y - middle)))
          for (const x of [place.left, (place.left + place.right) / 2, place.right])
            if (heights(own, x).length > 0) expect(away(own, x)).toBeLessThan(away(other, x))
        }
      }),
      { numRuns: 300 },
    )
  })

  test('of any household: the first event’s hold is noted whenever there is one in the frame', () => {
    fc.assert(
      fc.property(anyInput, (input) => {
        const drawn = picture(pictureOf(input))
        const hold = drawn?.marks.find(({ kind, first }) => first && kind.startsWith('hold'))
        if (hold) expect(drawn?.flags.some(({ flag }) => flag.mark === hold)).toBe(true)
      }),
      { numRuns: 200 },
    )
  })
})
