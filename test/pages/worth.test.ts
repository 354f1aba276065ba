// "Is it worth it?" on the plan page, of the worked example; its figures are worked by hand in test/reminder/worth.test.ts.

import { expect, test } from 'vitest'
import type { Rates } from '../../src/reminder/index.ts'
import { at, household, planPage } from './given.tsx'

const peak: Rates = {
  currency: 'CAD',
  perKwh: 0.1,
  bands: [{ days: [4], from: '16:00', until: '17:25', perKwh: 0.5 }],
}

const section = (
  rates: Rates | null,
  rewardPerKwh: number | null,
  props: Parameters<typeof planPage>[1] = {},
) => {
  const settings = { ...household.settings, unitRates: rates, rewardPerKwh }
  const page = planPage({ settings }, props)
  return /<section id="worth">.*?<\/section>/s.exec(page)?.[0].replaceAll('\u00a0', ' ') ?? null
}

const rows = (html: string | null) =>
  [
    ...(html ?? '').matchAll(
      /<tr[^>]*><th scope="row">(.*?)<\/th><td[^>]*>(.*?)<\/td><td[^>]*>(.*?)<\/td>/g,
    ),
  ].map(([, what, withPlan, without]) => [what, withPlan, without])

test('one sentence first, then both sides', () => {
  const html = section(peak, 2)
  expect(html).toMatch(
    /<h2>Is it worth it\?<\/h2><p>Over the day it costs CA\$0\.30 more and earns CA\$0\.59 more: CA\$0\.29 better with the plan\.<\/p><table>/,
  )
  expect(html).toContain('Thu 14 Jan, 17:30–18:30; counted from 13:00 to Fri 15 Jan, 13:00')
  expect(rows(html)).toEqual([
    ['From the grid in the event', '0.00 kWh', '0.30 kWh'],
    // 19.2 kWh of a day, less 4.104 from the battery.
    ['From the grid in all', '15.10 kWh', '15.10 kWh'],
    ['Cost', 'CA$1.81', 'CA$1.51'],
    ['Left in the battery', '0.96 kWh', '0.96 kWh'],
    // At 0.1 / 0.95, the cheapest that it can be put back for.
    ['What that is worth', 'CA$0.10', 'CA$0.10'],
    ['Reward', 'CA$1.60', 'CA$1.01'],
    ['Cost, less reward and what is left', 'CA$0.11', 'CA$0.40'],
  ])
  expect(html).toContain('The scheme’s own meter and rules decide what it pays.')
})

test('both sides also where it is not worth it', () => {
  const html = section(peak, 0.5)
  expect(html).toContain('<p>Not worth it in money:')
  expect(rows(html)).toHaveLength(7)
})

test('a reward that is not known is not zero', () => {
  expect(rows(section(peak, null))[5]).toEqual(['Reward', 'not known', 'not known'])
})

test('a hold that costs: that it may be chosen by its cost', () => {
  expect(section(peak, 2)).toContain('hold where it costs least')
  expect(section({ ...peak, bands: [] }, 2)).not.toContain('hold where it costs least')
})

test('no section without prices, nor once nothing is left to choose', () => {
  expect(section(null, 2)).toBeNull()
  expect(section(peak, 2, { now: at('2027-01-14T17:40:00-04:00') })).toBeNull()
})
