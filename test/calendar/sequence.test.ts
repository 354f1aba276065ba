import * as fc from 'fast-check'
import { expect, test, vi } from 'vitest'
import { renderFeed } from '../../src/calendar/index.ts'
import { MINUTE_MS, asInstant, minutesAfter } from '../../src/plan/index.ts'
import type { Household, HouseholdEvent } from '../../src/reminder/index.ts'
import { NOW, PAGE, event, eventPlan, household, planOf } from './given.ts'
import { read } from './read.ts'
import type { ReadEntry } from './read.ts'

// RFC 5546 §2.1.4: SEQUENCE goes up when DTSTART, DTEND or STATUS change, and (§2.1.5) a lower one
// must never follow a higher one. The household below keeps only what its types promise: an event's
// sequence rises when its times or its state change, the revision when the plan or a hold changes.

// Laws run many cases; a busy machine may take its time.
vi.setConfig({ testTimeout: 30_000 })

type Step =
  | { does: 'move'; minutes: number }
  | { does: 'cancel' }
  | { does: 'announce again' }
  | { does: 'plan'; holdAfter: number | null; releaseBefore: number }
  | { does: 'lose the plan' }
  | { does: 'hold'; minutes: number }
  | { does: 'release'; minutes: number }
  | { does: 'nothing' }

const step: fc.Arbitrary<Step> = fc.oneof(
  fc.record({ does: fc.constant('move' as const), minutes: fc.integer({ min: -90, max: 90 }) }),
  fc.constantFrom<Step>(
    { does: 'cancel' },
    { does: 'announce again' },
    { does: 'lose the plan' },
    { does: 'nothing' },
  ),
  fc.record({
    does: fc.constant('plan' as const),
    holdAfter: fc.option(fc.integer({ min: 0, max: 240 })),
    releaseBefore: fc.integer({ min: 0, max: 60 }),
  }),
  fc.record({ does: fc.constant('hold' as const), minutes: fc.integer({ min: 0, max: 240 }) }),
  fc.record({ does: fc.constant('release' as const), minutes: fc.integer({ min: 0, max: 240 }) }),
)

const from = (minutes: number) => minutesAfter(NOW, minutes)

function after(before: Household, todo: Step): Household {
  const [was] = before.events as [HouseholdEvent]
  const changed = (changes: Partial<HouseholdEvent>): Household => ({
    ...before,
    events: [{ ...was, ...changes, sequence: was.sequence + 1 }],
  })
  const replanned = (changes: Partial<Household>): Household => ({
    ...before,
    ...changes,
    revision: before.revision + 1,
  })
  switch (todo.does) {
    case 'move':
      return changed({
        start: asInstant(was.start + todo.minutes * MINUTE_MS),
        end: asInstant(was.end + todo.minutes * MINUTE_MS),
      })
    case 'cancel':
      return changed({ state: 'cancelled' })
    case 'announce again':
      return changed({ state: 'announced' })
    case 'plan': {
      const holdBy = todo.holdAfter === null ? null : from(todo.holdAfter)
      const releaseAt = minutesAfter(was.start, -todo.releaseBefore)
      return replanned({ plan: planOf([{ ...eventPlan, holdBy, releaseAt }]) })
    }
    case 'lose the plan':
      return replanned({ plan: null })
    case 'hold':
      return replanned({ events: [{ ...was, heldAt: from(todo.minutes), releasedAt: null }] })
    case 'release':
      return replanned({ events: [{ ...was, releasedAt: from(todo.minutes) }] })
    case 'nothing':
      return before
  }
}

const timesOf = ({ start, end, status }: ReadEntry) => [start, end, status].join()

test('whatever happens, each UID keeps to the rule of SEQUENCE', () => {
  fc.assert(
    fc.property(fc.array(step, { maxLength: 12 }), (steps) => {
      const known = new Map<string, ReadEntry>()
      let now = household()
      for (const todo of [{ does: 'nothing' } as const, ...steps]) {
        now = after(now, todo)
        for (const entry of read(renderFeed(now, { now: NOW, page: PAGE })).entries) {
          const before = known.get(entry.uid)
          if (before !== undefined) {
            expect(entry.sequence).toBeGreaterThanOrEqual(before.sequence)
            if (timesOf(entry) !== timesOf(before))
              expect(entry.sequence).toBeGreaterThan(before.sequence)
          }
          known.set(entry.uid, entry)
        }
      }
      // Never more than the event, its hold and its release, however often it changed.
      expect(known.size).toBeLessThanOrEqual(3)
    }),
    { numRuns: 60 },
  )
})

test('a replan leaves the event entry’s SEQUENCE alone', () => {
  const replanned = household({
    revision: 9,
    plan: planOf([{ ...eventPlan, holdBy: minutesAfter(event.start, -90) }]),
  })
  const [first] = read(renderFeed(household(), { now: NOW, page: PAGE })).entries
  const [second] = read(renderFeed(replanned, { now: NOW, page: PAGE })).entries
  expect(second?.sequence).toBe(first?.sequence)
})
