// The first line is checked against the wording that the model's worked example gives, and the rest by who must do what.

import { describe, expect, test } from 'vitest'
import type { Household } from '../../src/reminder/index.ts'
import { format } from '../../src/words/index.ts'
import type { PlanPageProps } from '../../src/web/pages/index.ts'
import { answerOf, dueOf, ledger, revisionOf } from '../../src/web/pages/index.ts'
import { planned, worked } from '../chart/given.ts'
import { NOON, at, event, household, planPage, reminder, sentHold } from './given.tsx'

const firstLine = (more: Partial<Household> = {}, props: Partial<PlanPageProps> = {}) =>
  (/<h1 class="answer">(.*?)<\/h1>/.exec(planPage(more, props))?.[1] ?? '').replaceAll(
    '\u00a0',
    ' ',
  )

const replanned = (change: Partial<typeof worked>): Partial<Household> => ({
  plan: { at: NOON, eventIds: ['e1'], plan: planned({ ...worked, ...change }) },
})

const four = at('2027-01-14T16:40:00-04:00')

describe('the first line', () => {
  test.each<[string, Partial<Household>, Partial<PlanPageProps>]>([
    ['Hold by <b>16:28</b>, or as soon as it shows <b>25 %</b>.', {}, {}],
    ['Hold <b>now</b>.', {}, { now: four }],
    ['Hold <b>now</b>.', replanned({ reading: { at: NOON, socPct: 22 } }), {}],
    ['No need to hold.', replanned({ reading: { at: NOON, socPct: 95 } }), {}],
    [
      'Held. Let it run again at <b>17:25</b>.',
      { events: [{ ...event, heldAt: four }] },
      { now: four },
    ],
    [
      'Let it run again <b>now</b>.',
      { events: [{ ...event, heldAt: four }] },
      { now: at('2027-01-14T17:26:00-04:00') },
    ],
    [
      'It runs again. The event begins at <b>17:30</b>.',
      { events: [{ ...event, heldAt: four, releasedAt: at('2027-01-14T17:25:00-04:00') }] },
      { now: at('2027-01-14T17:26:00-04:00') },
    ],
    [
      'The event is on until <b>18:30</b>. Let it run.',
      { events: [{ ...event, heldAt: four, releasedAt: at('2027-01-14T17:25:00-04:00') }] },
      { now: at('2027-01-14T17:40:00-04:00') },
    ],
    ['What does the battery show?', { plan: null, readings: [] }, {}],
    ['There is no plan yet.', { plan: null }, {}],
    ['No event is announced.', { events: [{ ...event, state: 'cancelled' }] }, {}],
    ['The event is over.', {}, { now: event.end }],
    ['No event is announced.', {}, { now: at('2027-01-15T18:30:00-04:00') }],
    [
      'Hold by <b>Thu 14 Jan, 16:28</b>, or as soon as it shows <b>25 %</b>.',
      {},
      { now: at('2027-01-13T22:00:00-04:00') },
    ],
  ])('%s', (line, more, props) => {
    expect(firstLine(more, props)).toBe(line)
  })

  test('too little charge: holds all the same, and says until when it lasts', () => {
    expect(firstLine(replanned({ reading: { at: NOON, socPct: 14 } }))).toMatch(
      /^Hold <b>now<\/b>\. It will last only until about <b>1[78]:\d\d<\/b>\.$/,
    )
  })
})

describe('what is due', () => {
  test('one accent when something is due, none when nothing is', () => {
    expect(planPage()).not.toMatch(/class="[^"]*\bdue\b/)
    const due = planPage({ reminders: [sentHold] }, { now: four })
    expect(due).toContain('action="/reminders/hold-e1-1/acknowledge"')
    expect(due).toMatch(/<button type="submit" class="due">Done: it is paused<\/button>/)
    expect(due).toMatch(/action="\/reminders\/hold-e1-1\/snooze".*?name="minutes" value="10"/s)
    expect(due.match(/class="due"/g)).toHaveLength(1)
  })

  test('only what still helps, and the latest of several', () => {
    const release = reminder('release', '2027-01-14T17:25:00-04:00', { state: 'sent' })
    const both = { ...household, reminders: [release, sentHold] }
    expect(dueOf(both, at('2027-01-14T17:26:00-04:00'))?.kind).toBe('release')
    expect(dueOf(both, event.end)).toBeNull()
    expect(
      dueOf({ ...household, reminders: [{ ...sentHold, state: 'acknowledged' }] }, four),
    ).toBeNull()
    expect(dueOf({ ...household, reminders: [{ ...sentHold, kind: 'outcome' }] }, four)).toBeNull()
  })
})

describe('the conversation', () => {
  test('buttons stay until somebody answers', () => {
    expect(planPage()).toContain('name="text" value="change"')
    const [said, replied] = household.messages
    if (!said || !replied) throw new Error('the case has two messages')
    const answered = { messages: [said, replied, { ...said, seq: 3 }] }
    expect(planPage(answered)).not.toContain('name="text" value="change"')
  })
})

describe('why', () => {
  const f = format('en', 'America/Halifax')

  // Model, worked example: 0.96 + 0.9123 + 0.48 = 2.3523 kWh.
  test('the ledger adds up to the reserve', () => {
    const answer = answerOf(household, NOON)
    if (!('plan' in answer)) throw new Error('the case has a plan')
    const lines = ledger(household, answer.plan, f)
    expect(lines.map(({ kwh }) => Number(kwh.toFixed(4)))).toEqual([0.96, 0.9123, 0.48, 2.3523])
    const parts = lines.filter(({ sum }) => !sum).reduce((sum, { kwh }) => sum + kwh, 0)
    expect(parts).toBeCloseTo(lines.at(-1)?.kwh ?? 0, 9)
    expect(planPage()).toContain('so 2.93\u00a0kWh were to spare')
  })
})

test('the revision differs when something was said, sent or planned, and now and then with time', () => {
  const base = revisionOf(household, NOON)
  expect(revisionOf({ ...household }, NOON)).toBe(base)
  expect(revisionOf({ ...household, revision: 4 }, NOON)).not.toBe(base)
  expect(revisionOf({ ...household, messages: household.messages.slice(0, 1) }, NOON)).not.toBe(
    base,
  )
  expect(revisionOf({ ...household, reminders: [sentHold] }, NOON)).not.toBe(base)
  expect(revisionOf(household, event.start)).not.toBe(base)
})
