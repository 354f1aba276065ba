import { transformSync } from 'esbuild'
import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { ChartProps } from '../../src/chart/index.ts'
import { Chart, PlanTable, rows } from '../../src/chart/index.ts'
import type { PlanInput } from '../../src/plan/index.ts'
import { asInstant } from '../../src/plan/index.ts'
import { NOON, ZONE, anyInput, at, planned, worked } from './given.ts'

const props = (input: PlanInput, more: Partial<ChartProps> = {}): ChartProps => ({
  plan: { at: input.now, eventIds: input.events.map((_, i) => `e${i}`), plan: planned(input) },
  events: [],
  now: input.now,
  timeZone: ZONE,
  language: 'en',
  ...more,
})

const svg = (input: PlanInput, more: Partial<ChartProps> = {}) => String(Chart(props(input, more)))

// esbuild's JSX parser asks of elements and quoted attributes what XML does; XML 1.0 §3.1 (no attribute twice) and §4.1 (entities) beside it.
function expectWellFormed(text: string) {
  expect(text).not.toMatch(/[{}]/)
  expect(() =>
    transformSync(text, { loader: 'jsx', jsx: 'preserve', logLevel: 'silent' }),
  ).not.toThrow()
  expect(text.replaceAll(/&(amp|lt|gt|quot|#39);/g, '')).not.toContain('&')
  for (const [tag] of text.matchAll(/<[a-z][^>]*>/g)) {
    const names = [...tag.matchAll(/ ([a-zA-Z-]+)=/g)].map((match) => match[1])
    expect(new Set(names).size).toBe(names.length)
  }
}

describe('the drawing', () => {
  test('is well-formed, has no undefined number, no style and no handler, for any household', () => {
    fc.assert(
      fc.property(anyInput, (input) => {
        const drawn = svg(input)
        if (drawn === 'null') return
        expectWellFormed(drawn)
        expect(drawn).not.toMatch(/NaN|undefined|Infinity|\sstyle=|\son[a-z]+=/)
      }),
      { numRuns: 40 },
    )
  })

  // WCAG 2.2 1.1.1: an image has a name and a description.
  test('has a title and a description that a screen reader is pointed to', () => {
    const drawn = svg(worked)
    expect(drawn).toMatch(/<svg [^>]*role="img" aria-labelledby="chart-title chart-desc"/)
    expect(drawn).toContain('<title id="chart-title">Expected charge, Thursday 14 January</title>')
    expect(drawn).toContain('Hold by 16:28, or as soon as it shows 25\u00a0%.')
    expect(drawn).toContain('About 15\u00a0% is left at 18:30.')
  })

  test('nothing is due: no accent; a hold is due: its flag alone', () => {
    expect(svg(worked)).not.toContain('flag due')
    expect(svg(worked, { due: 'hold' }).match(/flag due/g)).toHaveLength(1)
  })

  test.each([
    ['no hold needed', { reading: { at: NOON, socPct: 95 } }, /now 13:00/, /hold \d|release/],
    ['hold now', { reading: { at: NOON, socPct: 22 } }, /hold now, 13:00/, />now 13:00/],
    ['too little', { reading: { at: NOON, socPct: 14 } }, /lasts until 1[78]:\d\d/, />now 13:00/],
  ])('%s', (_, change, has, hasNot) => {
    const drawn = svg({ ...worked, ...change })
    expect(drawn).toMatch(has)
    expect(drawn.replace(/<desc.*<\/desc>/, '')).not.toMatch(hasNot)
  })

  test('inside the event its end is noted', () => {
    const now = at('2027-01-14T17:50:00-04:00')
    const drawn = svg({
      ...worked,
      now,
      reading: { at: now, socPct: 20 },
      load: [{ start: now, kw: 0.8 }],
    })
    expect(drawn).toContain('now 17:50')
    expect(drawn).toContain('event ends 18:30')
  })

  test('a top-up is noted with its hours', () => {
    const window = { start: at('2027-01-14T14:00:00-04:00'), end: at('2027-01-14T16:00:00-04:00') }
    const drawn = svg({ ...worked, reading: { at: NOON, socPct: 15 }, topUpWindows: [window] })
    expect(drawn).toMatch(/top-up \d\d:\d\d–\d\d:\d\d/)
  })

  test('without a forecast there is nothing to draw', () => {
    const empty = { at: NOON, eventIds: [], plan: { events: [], trajectory: [], cautions: [] } }
    expect(Chart({ ...props(worked), plan: empty })).toBeNull()
    expect(PlanTable({ ...props(worked), plan: empty })).toBeNull()
  })
})

describe('the table', () => {
  test('has the worked example’s figures at its marks', () => {
    const table = String(PlanTable(props(worked)))
    const figures = [
      ...table.matchAll(
        /<th scope="row">(\d\d:\d\d).*?<\/th><td[^>]*>(\d+).*?<\/td><td[^>]*>(\d+)/g,
      ),
    ]
    const line = (time: string) => figures.find((each) => each[1] === time)?.slice(2)
    expect(line('13:00')).toEqual(['25', '55'])
    expect(line('16:28')).toEqual(['25', '25'])
    expect(line('17:25')).toEqual(['25', '25'])
    expect(line('18:30')).toEqual(['10', '15'])
  })

  test('is in time order, and stays short', () => {
    fc.assert(
      fc.property(anyInput, (input) => {
        const list = rows(planned(input), [], input.now, ZONE)
        expect(list.map((row) => row.at)).toEqual(
          list.map((row) => row.at).toSorted((a, b) => a - b),
        )
        expect(list.length).toBeLessThan(32)
      }),
      { numRuns: 60 },
    )
  })

  test('names the hour twice on the night that has it twice', () => {
    const now = at('2027-11-06T23:00:00-03:00')
    const input = {
      ...worked,
      now,
      reading: { at: now, socPct: 80 },
      load: [{ start: now, kw: 0.4 }],
      events: [{ start: at('2027-11-07T05:00:00-04:00'), end: at('2027-11-07T06:00:00-04:00') }],
    }
    const ones = rows(planned(input), [], asInstant(now), ZONE).map((row) => row.at)
    expect(ones).toContain(at('2027-11-07T01:00:00-03:00'))
    expect(ones).toContain(at('2027-11-07T01:00:00-04:00'))
  })
})
