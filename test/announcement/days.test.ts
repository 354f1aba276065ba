// The grammar of days against chrono-node, a second reader of dates, where that one can be trusted: on day
// components alone, in its British or American order.

import * as american from 'chrono-node/en'
import * as fc from 'fast-check'
import { DateTime } from 'luxon'
import { expect, test } from 'vitest'
import { readAnnouncement } from '../../src/announcement/index.ts'
import { asInstant } from '../../src/plan/index.ts'

const forms = [
  (d: DateTime) => d.toFormat('d LLLL yyyy'),
  (d: DateTime) => d.toFormat('d LLL yyyy'),
  (d: DateTime) => d.toFormat('LLLL d, yyyy'),
  (d: DateTime) => d.toFormat('cccc d LLLL yyyy'),
  (d: DateTime) => d.toFormat('ccc, d LLL yyyy'),
  (d: DateTime) => d.toFormat('yyyy-MM-dd'),
  (d: DateTime, dayFirst: boolean) => d.toFormat(dayFirst ? 'd/M/yyyy' : 'M/d/yyyy'),
  (d: DateTime, dayFirst: boolean) => d.toFormat(dayFirst ? 'dd/MM/yy' : 'MM/dd/yy'),
  (d: DateTime) => d.toFormat("d'th of' LLLL yyyy"),
  (d: DateTime) => d.toFormat('d LLLL'),
  // Its British reader takes `Jan 10` for January 2010.
  (d: DateTime, dayFirst: boolean) => d.toFormat(dayFirst ? 'd LLL' : 'LLL d'),
  () => 'today',
  () => 'tomorrow',
  (d: DateTime) => `this ${d.toFormat('cccc')}`,
  (d: DateTime, _: boolean, ahead: number) => (ahead > 1 ? `in ${ahead} days` : 'tomorrow'),
]

test('days are read as chrono-node reads them', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 800 }),
      fc.integer({ min: 1, max: 20 }),
      fc.constantFrom(...forms.keys()),
      fc.boolean(),
      (from, ahead, form, dayFirst) => {
        // UTC, so that the second reader's fixed offset does no harm; noon, as it likes best.
        const now = DateTime.fromMillis(Date.UTC(2026, 0, 1, 12), { zone: 'utc' }).plus({
          days: from,
        })
        const near = form === 13 ? ((ahead - 1) % 6) + 1 : ahead
        const text = forms[form]!(now.plus({ days: near }), dayFirst, near)
        const [other] = (dayFirst ? american.GB : american.casual).parse(
          text,
          { instant: now.toJSDate(), timezone: 0 },
          { forwardDate: true },
        )
        const reading = readAnnouncement(`${text} 17:30-18:30`, {
          now: asInstant(now.toMillis()),
          timeZone: 'UTC',
          dayFirst,
          language: 'en',
        })
        const day = ['year', 'month', 'day'].map((part) =>
          other?.start.get(part as 'year' | 'month' | 'day'),
        )
        const start =
          reading.kind === 'events'
            ? DateTime.fromMillis(reading.events[0]!.start, { zone: 'utc' })
            : null
        expect({ text, day: [start?.year, start?.month, start?.day] }).toEqual({ text, day })
      },
    ),
    { numRuns: 600 },
  )
})
