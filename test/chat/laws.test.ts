// Laws of the conversation: no message makes it throw, and every choice that it offers is a message that it
// understands without asking again.

import * as fc from 'fast-check'
import { expect, test, vi } from 'vitest'
import { choiceText, questionText } from '../../src/chat/ask.ts'
import { understand } from '../../src/chat/understand.ts'
import { asInstant } from '../../src/plan/index.ts'
import { format } from '../../src/words/index.ts'

vi.setConfig({ testTimeout: 60_000 })

const HOUR = 3_600_000
// Noon before a change of the clocks, and an ordinary day.
const moments = [
  ['America/Halifax', Date.UTC(2027, 0, 13, 16)],
  ['America/Halifax', Date.UTC(2026, 9, 31, 15)],
  ['Europe/London', Date.UTC(2026, 2, 28, 12)],
  ['Europe/London', Date.UTC(2026, 9, 24, 11)],
  ['America/New_York', Date.UTC(2026, 2, 7, 17)],
  ['America/New_York', Date.UTC(2026, 9, 31, 16)],
  ['Australia/Sydney', Date.UTC(2026, 3, 4, 1)],
  ['Australia/Lord_Howe', Date.UTC(2026, 3, 4, 1)],
  ['Australia/Lord_Howe', Date.UTC(2026, 9, 3, 1)],
] as const

const oneOf = (list: string) => fc.constantFrom(...list.split('|'))
const day = oneOf(
  '|today|tomorrow|tonight|next thursday|sunday|thursday|in 30 days|1/11|wed 4 nov|yesterday|a week today|2026-11-01|the 5th|tomorrow and sunday',
)
const times = oneOf(
  '|5-7|11-1|10-12|17:30|17:30-18:30|1-3|01:30-02:30|01:15-01:45|2:00-2:30am|9-17|12-2|midnight to 1am|02:10 for 30 min|00:30-01:30|at 5|23:30-00:30|01:50-02:10|in 10 minutes for 1 hour|7:00-9:00|8-18',
)
const verb = oneOf(
  '||||event|cancel|cancelled:|move|moved to|moved from|move tomorrow to|yes|move sunday to|done|later|ok|58 at|cancelled, instead|snooze|event extended to|it now starts at|done,|empty|event now until',
)
const tail = oneOf('|| and friday 11-1| to 10-12| to tonight| instead of 5-7')
const message = fc.tuple(verb, day, times, tail).map(([a, b, c, d]) => `${a} ${b} ${c}${d}`)
const anyText = fc.oneof(message, message, fc.string({ unit: 'binary' }), fc.string())
const events = fc.array(
  fc.record({ from: fc.integer({ min: -4, max: 100 }), halves: fc.integer({ min: 1, max: 8 }) }),
  { maxLength: 3 },
)

const given = fc
  .tuple(anyText, fc.constantFrom(...moments), events, fc.boolean())
  .map(([text, [timeZone, now], list, dayFirst]) => ({
    text,
    context: {
      now: asInstant(now),
      timeZone,
      dayFirst,
      language: 'en' as const,
      // Starts on the half-hour, no two at the same instant.
      events: list
        .filter((one, index) => list.findIndex((other) => other.from === one.from) === index)
        .map(({ from, halves }) => ({
          id: `e${from}`,
          start: asInstant(now + from * (HOUR / 2)),
          end: asInstant(now + (from + halves) * (HOUR / 2)),
        })),
    },
  }))

test('every choice of every question reads back to what is no question', () => {
  let asked = 0
  fc.assert(
    fc.property(given, ({ text, context }) => {
      const intent = understand(text, context)
      if (intent.kind !== 'question') return
      for (const choice of intent.choices) {
        asked += 1
        const again = understand(choice.send, context)
        expect({ send: choice.send, kind: again.kind }).not.toMatchObject({ kind: 'question' })
        expect({ send: choice.send, kind: again.kind }).not.toMatchObject({ kind: 'unknown' })
        const { label } = choice
        if (label.kind === 'span') {
          const spans =
            again.kind === 'announce' ? again.events : again.kind === 'move' ? [again.to] : []
          expect(spans).toContainEqual(expect.objectContaining(label.span))
        }
        if (again.kind === 'cancel' && label.kind === 'event')
          expect(again.eventId).toBe(label.event.id)
      }
    }),
    { numRuns: 1500 },
  )
  expect(asked).toBeGreaterThan(200)
})

test('every question and every choice has its words', () => {
  fc.assert(
    fc.property(given, ({ text, context }) => {
      const intent = understand(text, context)
      if (intent.kind !== 'question') return
      const f = format('en', context.timeZone)
      expect(questionText(intent.why, f)).toMatch(/^[A-Z0-9].*[?.:]$/)
      const labels = intent.choices.map((choice) => choiceText(choice.label, f))
      for (const label of labels) expect(label).not.toMatch(/undefined|NaN|Invalid/)
    }),
    { numRuns: 500 },
  )
})
