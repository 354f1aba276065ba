// What cannot be planned comes back as data, with its evidence; one spoilt field each.

import { expect, it } from 'vitest'
import type { PlanInput } from '../../src/plan/index.ts'
import { planHolds } from '../../src/plan/index.ts'
import { clock, given, span } from './given.ts'

const taper = { fromPct: 90, toKw: 0.25 }

const cases: [string, PlanInput, object][] = [
  [
    'an event that is over',
    given({ events: [span('18:00-19:00'), span('11:00-12:00')] }),
    { reason: 'event_over', event: 1, end: clock('12:00'), now: clock('13:00') },
  ],
  [
    'an event that ends this very instant',
    given({ events: [span('12:00-13:00')] }),
    { reason: 'event_over', event: 0, end: clock('13:00'), now: clock('13:00') },
  ],
  [
    'an event that ends before it starts',
    given({ events: [span('18:30-17:30')] }),
    { reason: 'event_reversed', event: 0 },
  ],
  [
    'an event without length',
    given({ events: [span('15:00-16:00'), span('17:30-17:30')] }),
    { reason: 'event_reversed', event: 1 },
  ],
  [
    'a reading from the future',
    given({ reading: { at: clock('13:00:01'), socPct: 55 } }),
    { reason: 'reading_in_future', at: clock('13:00:01'), now: clock('13:00') },
  ],
  ['a taper of no limit', given({ battery: { taper } }), { reason: 'taper_without_limit' }],
  [
    'a taper that ends over its limit',
    given({ battery: { taper, maxChargeKw: 0.2 } }),
    { reason: 'taper_over_limit', toKw: 0.25, maxChargeKw: 0.2 },
  ],
  [
    'a top-up of no limit',
    given({ topUpWindows: [span('14:00-15:00')] }),
    { reason: 'top_up_without_limit' },
  ],
]

it.each(cases)('refuses %s', (_name, input, refusal) => {
  expect(planHolds(input)).toEqual({ ok: false, refusal })
})

it('refuses events that overlap, whichever comes first', () => {
  for (const events of [
    [span('17:30-18:30'), span('18:29-19:00')],
    [span('18:29-19:00'), span('17:30-18:30')],
  ]) {
    const result = planHolds(given({ events }))
    if (result.ok || result.refusal.reason !== 'events_overlap') throw new TypeError('Must refuse')
    expect([result.refusal.event, result.refusal.other].sort()).toEqual([0, 1])
  }
})

it.each([
  ['events that only touch', given({ events: [span('17:30-18:30'), span('18:30-19:00')] })],
  ['an event that has begun', given({ events: [span('12:30-13:30')] })],
  ['no event', given({ events: [] })],
  ['a taper that ends at its limit', given({ battery: { taper, maxChargeKw: 0.25 } })],
])('plans %s', (_name, input) => {
  expect(planHolds(input).ok).toBe(true)
})
