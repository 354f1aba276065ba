// The first line is checked against the wording that the model's worked example gives, and the rest by who must do what.

import { describe, expect, test } from 'vitest'
import type { Household } from '../../src/reminder/index.ts'
import type { PlanPageProps } from '../../src/web/pages/index.ts'
import { askedOf, dueOf, revisionOf } from '../../src/web/pages/index.ts'
import { planned, worked } from '../chart/given.ts'
import { NOON, at, event, everyPage, household, planPage, reminder, sentHold } from './given.tsx'

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

describe('what the display shows is asked on the first screen', () => {
  const looking = reminder('reading', '2027-01-14T15:28:00-04:00', { state: 'sent' })
  const half = at('2027-01-14T15:30:00-04:00')
  const before = (html: string, earlier: string, later: string) => {
    expect(html).toContain(earlier)
    expect(html.indexOf(later)).toBeGreaterThan(html.indexOf(earlier))
  }

  test('before a hold: what to do by it, the field, and "it is paused"', () => {
    const html = planPage({ reminders: [looking] }, { now: half })
    before(html, '25\u00a0% or less: hold it now, until 17:25.', 'action="/readings"')
    before(html, 'action="/readings"', '<svg class="chart"')
    expect(html).toMatch(/name="text" value="held".*?>Done: it is paused</s)
    expect(html.match(/class="due"/g)).toHaveLength(1)
    expect(html.match(/action="\/readings"/g)).toHaveLength(1)
  })

  test('what hands are to do comes first, and alone has the accent', () => {
    const html = planPage({ reminders: [looking, sentHold] }, { now: four })
    before(html, 'action="/reminders/hold-e1-1/acknowledge"', 'action="/readings"')
    expect(html.match(/class="due"/g)).toHaveLength(1)
    expect(html).not.toContain('value="held"')
  })

  test('after an event, whatever comes next', () => {
    const over = { ...event, id: 'e0', start: at('2027-01-13T17:30:00-04:00') }
    const yesterday = { ...over, end: at('2027-01-13T18:30:00-04:00') }
    const asks = reminder('outcome', '2027-01-13T18:35:00-04:00', { state: 'sent', eventId: 'e0' })
    const more = { events: [yesterday, event], reminders: [asks] }
    before(planPage(more), 'The event of Wednesday 13 January, 17:30–18:30, is over.', '/readings')
    expect(askedOf({ ...household, ...more }, NOON)?.kind).toBe('outcome')
    expect(askedOf({ ...household, ...more, reminders: [] }, NOON)).toBeNull()
  })
})

describe('the battery that is still paused', () => {
  const restore = reminder('restore', '2027-01-14T16:40:00-04:00', { state: 'sent' })
  const tomorrow = {
    ...event,
    id: 'e2',
    start: at('2027-01-15T17:30:00-04:00'),
    end: at('2027-01-15T18:30:00-04:00'),
  }
  const cancelled: Household['events'] = [{ ...event, state: 'cancelled', heldAt: NOON }]

  test('is to be let run before anything else is said', () => {
    const more: Partial<Household> = { events: cancelled, plan: null, reminders: [restore] }
    expect(firstLine(more, { now: four })).toBe('Let it run again <b>now</b>.')
    expect(planPage(more, { now: four })).not.toContain('When you hear of one')
  })

  test('and the next event is named after it', () => {
    const more = { events: [...cancelled, tomorrow], plan: null, reminders: [restore] }
    expect(firstLine(more, { now: four })).toBe('Let it run again <b>now</b>.')
    expect(planPage(more, { now: four })).toMatch(
      /Event: Friday 15 January, 17:30–18:30.<\/p><p>It is planned on the day.</,
    )
  })
})

test('medical equipment: the caution stays on the page', () => {
  const settings = { ...household.settings, medical: true }
  expect(planPage({ settings })).toContain('we advise you not to take part')
  expect(planPage()).not.toContain('we advise you not to take part')
})

test('a plan is told; it asks for no answer, and none is missed', () => {
  const told = { state: 'lapsed', sentAt: NOON, nextAt: null } as const
  const html = planPage({ reminders: [reminder('plan', '2027-01-14T13:00:00-04:00', told)] })
  expect(html).toContain('<td>told 13:00</td>')
})

test('links that say the same name their event to who does not see the page', () => {
  const html = planPage()
  expect(html).toMatch(/Change or cancel <span class="unseen">Thursday 14 January, 17:30–18:30</)
  expect(html).toMatch(/calendar file <span class="unseen">Thursday 14 January, 17:30–18:30</)
})

test('headings: one first, none skipped', () => {
  for (const [name, html] of everyPage()) {
    const levels = [...html.matchAll(/<h([1-6])/g)].map((match) => Number(match[1]))
    expect([name, levels[0], levels.filter((level) => level === 1).length]).toEqual([name, 1, 1])
    for (const [index, level] of levels.entries())
      expect(level - (levels[index - 1] ?? 0)).toBeLessThanOrEqual(1)
  }
})

describe('the conversation', () => {
  test('opens at what was said last', () => {
    expect(planPage()).toMatch(/<li class="household" data-seq="1" id="latest" tabindex="-1">/)
  })

  test('buttons stay until somebody answers', () => {
    expect(planPage()).toContain('name="text" value="change"')
    const [said, replied] = household.messages
    if (!said || !replied) throw new Error('the case has two messages')
    const answered = { messages: [said, replied, { ...said, seq: 3 }] }
    expect(planPage(answered)).not.toContain('name="text" value="change"')
  })
})

// Model, worked example: 0.96 + 0.9123 + 0.48 = 2.3523 kWh; (5.28 - 2.3523) / 0.8421 h after 13:00.
test('why: the sums behind the time', () => {
  const rows = [
    ...planPage().matchAll(
      /<tr[^>]*><th scope="row">(.*?)<\/th><td>(.*?)<\/td><td class="figure">(.*?)<\/td>/g,
    ),
  ]
  const plain = (text = '') => text.replaceAll('\u00a0', ' ')
  const why = rows.map(([, ...cells]) => cells.map(plain))
  expect(why).toContainEqual(['Together: to have at 17:25', '0.91 + 0.96 + 0.48', '2.35 kWh'])
  expect(why).toContainEqual(['So much may go', '5.28 − 2.35', '2.93 kWh'])
  expect(why.at(-1)).toEqual(['Hold on Thu 14 Jan by', '13:00 + 3 h 28 min', '16:28'])
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
