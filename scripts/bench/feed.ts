// The calendar feed of sixty entries: rendered afresh, beside what a subscriber's unchanged fetch costs.

import { etagMatches, feedEtag, renderFeed } from '../../src/calendar/index.ts'
import { asInstant } from '../../src/plan/index.ts'
import type { Household, HouseholdEvent } from '../../src/reminder/index.ts'
import { demoHouse } from '../../src/web/demo.ts'
import { type Row, inTime, microseconds } from './table.ts'

const DAY = 86_400_000
const NOW = asInstant(Date.UTC(2031, 0, 14))

/** An event whose hold and release a person has confirmed: three entries. */
const event = (_: unknown, day: number): HouseholdEvent => {
  const start = NOW - day * DAY + 18 * 3_600_000
  return {
    id: `e${day}`,
    start: asInstant(start),
    end: asInstant(start + 3_600_000),
    state: 'announced',
    sequence: 0,
    changedAt: asInstant(start - DAY),
    heldAt: asInstant(start - 3_600_000),
    releasedAt: asInstant(start - 300_000),
    outcomePct: 30,
  }
}

const household: Household = {
  id: 'bench',
  settings: demoHouse,
  events: Array.from({ length: 20 }, event),
  readings: [],
  reminders: [],
  messages: [],
  deliveries: [],
  channels: [],
  meter: null,
  revision: 1,
  plan: null,
}

export async function benchFeed(): Promise<Row[]> {
  const render = () => renderFeed(household, { now: NOW, page: 'https://holdbell.example/h/bench' })
  const entries = render().split('BEGIN:VEVENT').length - 1
  const etag = feedEtag(household)
  const asked = `"other", ${etag}`
  return [
    { what: `feed of ${entries} entries, rendered`, result: inTime(microseconds(render, 1)) },
    {
      what: 'feed unchanged (If-None-Match)',
      result: inTime(microseconds(() => etagMatches(asked, feedEtag(household)), 1000)),
    },
  ]
}
