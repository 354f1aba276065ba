// What a household writes, each with what it means. Wording of our own; Halifax, Wednesday 13 January 2027,
// noon, with an event on Thursday 17:30 to 18:30 announced unless the row says otherwise.

import { describe, expect, test } from 'vitest'
import { choiceText, questionText } from '../../src/chat/ask.ts'
import type { ChatContext, Intent } from '../../src/chat/understand.ts'
import { understand } from '../../src/chat/understand.ts'
import { asInstant } from '../../src/plan/index.ts'
import { format } from '../../src/words/index.ts'

const instant = (text: string) => asInstant(Date.parse(text))
const event = (id: string, start: string, end: string) => ({
  id,
  start: instant(start),
  end: instant(end),
})
const thursday = event('thu', '2027-01-14T17:30-04:00', '2027-01-14T18:30-04:00')
const friday = event('fri', '2027-01-15T17:30-04:00', '2027-01-15T18:30-04:00')
const over = event('over', '2027-01-12T17:30-04:00', '2027-01-12T18:30-04:00')
const context = (events: ChatContext['events'] = [thursday]): ChatContext => ({
  now: instant('2027-01-13T12:00-04:00'),
  timeZone: 'America/Halifax',
  dayFirst: true,
  language: 'en',
  events,
})
const choices = (intent: Intent) =>
  intent.kind === 'question' ? intent.choices.map((choice) => choice.send) : null

const to = (start: string, end: string, ...assumed: string[]) => ({
  kind: 'move',
  eventId: 'thu',
  to: { start: instant(`2027-01-${start}-04:00`), end: instant(`2027-01-${end}-04:00`), assumed },
})

describe('a reading', () => {
  test.each([
    ['58', 58],
    ['58%', 58],
    ['58 %', 58],
    ['58\u00a0%', 58],
    ['  58.  ', 58],
    ['58!', 58],
    ['58 🙂', 58],
    ['５８％', 58],
    ['battery 58', 58],
    ['Battery: 58%', 58],
    ["it's at 58", 58],
    ['It’s at 58 % now', 58],
    ['it shows 58 percent', 58],
    ['shows 58 per cent', 58],
    ['soc 58', 58],
    ['58.5', 58.5],
    ['58,5 %', 58.5],
    ['0', 0],
    ['100', 100],
    ['5', 5],
    ['17', 17],
    ['at 5', 5],
    ['full', 100],
    ["It's full", 100],
    ['90 % full', 90],
    ['ninety percent', 90],
    ['fifty-eight per cent', 58],
    ['batery at 58 percent', 58],
    ['58/100', 58],
  ])('%j is %d per cent now', (text, socPct) => {
    expect(understand(text, context())).toEqual({ kind: 'reading', socPct, at: null })
  })

  test.each([
    ['58 at 11:00', '2027-01-13T11:00-04:00'],
    ['58% at 9', '2027-01-13T09:00-04:00'],
    ['it shows 58 % at 11.30', '2027-01-13T11:30-04:00'],
    ['58 at 8am', '2027-01-13T08:00-04:00'],
    ['58 @ 11:45', '2027-01-13T11:45-04:00'],
    ['58 at noon', '2027-01-13T12:00-04:00'],
    ['11:41 58%', '2027-01-13T11:41-04:00'],
    ['5:41, 58 %', '2027-01-13T05:41-04:00'],
    ['at 5am it showed 58', '2027-01-13T05:00-04:00'],
    ['it showed 58 at 5am', '2027-01-13T05:00-04:00'],
  ])('%j was taken at %s', (text, at) => {
    expect(understand(text, context())).toEqual({ kind: 'reading', socPct: 58, at: instant(at) })
  })

  test('a figure in a word that may be rough is asked about', () => {
    expect(choices(understand('the battery is empty', context()))).toEqual(['0 %'])
    expect(choices(understand('half full', context()))).toEqual(['50 %'])
  })

  test('a time still to come is asked about', () => {
    const intent = understand('58 at 13:00', context())
    expect(intent).toMatchObject({
      why: { reason: 'reading_in_future', at: instant('2027-01-13T13:00-04:00') },
    })
    expect(choices(intent)).toEqual(['58 %'])
  })

  test.each([
    ['101', 101],
    ['100.5 %', 100.5],
    ['battery 580', 580],
    ['-5', -5],
    ['1730 %', 1730],
  ])('%j is out of range', (text, value) => {
    expect(understand(text, context())).toEqual({
      kind: 'question',
      why: { reason: 'reading_out_of_range', value },
      choices: [],
    })
  })

  test.each([
    '1730',
    '17:30',
    '17.30',
    '58 kWh',
    '£58',
    '58/1000',
    '17:30 58',
    'ten',
    'at least 58',
    '5-7',
    '902-555-0142',
  ])('%j is no reading', (text) => {
    expect(understand(text, context()).kind).not.toBe('reading')
  })
})

describe('fixed phrases', () => {
  const phrases: Record<string, readonly string[]> = {
    'not-yet': ['not yet', 'no', 'not done', 'not paused yet', "I can't", "haven't yet", 'Nope.'],
    plan: [
      'plan',
      'Plan?',
      "what's the plan?",
      '/plan',
      'show me the plan',
      'status',
      'when is the event?',
      'next event',
    ],
    why: ['why', 'why?', 'Why so early?', 'explain', 'why 15:42?', 'why hold at 46?'],
    help: ['help', '?', '??', 'HELP', '/help', '/start', 'hello', 'hi'],
    thanks: ['thanks', 'Thank you!', 'cheers'],
    stop: ['stop', 'unsubscribe', 'delete my data'],
    danger: [
      'my battery is swollen and hissing',
      'there is smoke',
      'it smells burnt',
      'the battery is very hot',
      'cancel it, the battery smells',
    ],
    medical: ['my mum is on oxygen'],
    outage: ['power is out', 'we have a power cut', 'the power is off', 'the lights went out'],
    unknown: ['', ' ', '🙂', 'lovely weather', 'the cat is on the battery', '\u0000'],
  }
  for (const [kind, texts] of Object.entries(phrases))
    test.each(texts)(`%j is ${kind}`, (text) => {
      expect(understand(text, context())).toEqual({ kind })
    })

  const hands: readonly (readonly ['held' | 'running' | null, readonly string[]])[] = [
    [null, ['done', 'Done.', 'DONE!!', 'ok done', 'done, thanks', 'yes, done', '✅', 'done ✅']],
    [
      'held',
      [
        'held',
        'done, held',
        'done, discharge is off',
        'paused at 11:40',
        'paused',
        'I’ve paused it',
        'the discharge is off',
        "it's off",
        'I switched it off',
        'the panel is off',
        'the battery is not running',
        "it's no longer running",
      ],
    ],
    [
      'running',
      [
        'released',
        "it's running",
        'It’s running now',
        'running again',
        'it is running again',
        'I let it run again',
        'discharge is on',
      ],
    ],
  ]
  for (const [did, texts] of hands)
    test.each(texts)(`%j is done: ${did}`, (text) => {
      expect(understand(text, context())).toEqual({ kind: 'done', did })
    })

  test.each([
    'discharge is off now',
    'the power is off',
    'my wifi is off',
    'delete my data',
    'the battery is off for now',
    'cancel the reminder',
    'cancel my subscription',
    'discharge is off thursday',
  ])('%j cancels nothing', (text) => {
    expect(understand(text, context()).kind).not.toBe('cancel')
    expect(understand(text, context())).not.toMatchObject({ why: { reason: 'which_event' } })
  })

  test.each(['ok', 'OK!', '👍', 'yes', 'got it'])('%j may be done or only seen', (text) => {
    expect(choices(understand(text, context()))).toEqual(['done', 'not yet'])
  })

  test('two things in one message are asked about', () => {
    expect(choices(understand('done, 46 %', context()))).toEqual(['done', '46 %'])
    expect(choices(understand('held it at 46%', context()))).toEqual(['done', '46 %'])
    expect(choices(understand('all done, battery now at 46', context()))).toEqual(['done', '46 %'])
    expect(choices(understand('it shows 46 and done', context()))).toEqual(['done', '46 %'])
    expect(understand('paused at 11:40', context())).toMatchObject({ kind: 'done' })
  })
})

describe('putting off', () => {
  test.each([
    ['in 10', 10],
    ['in 10 min', 10],
    ['In 10 minutes please', 10],
    ['snooze 15', 15],
    ['snooze for 15 min', 15],
    ['10 min', 10],
    ['remind me again in half an hour', 30],
    ['in an hour', 60],
    ['not yet, in 10', 10],
    ['in ten minutes', 10],
  ])('%j', (text, minutes) => {
    expect(understand(text, context())).toEqual({ kind: 'snooze', minutes })
  })

  test.each(['later', 'snooze', 'remind me later', 'in 0 min', 'in 100 hours'])(
    '%j asks how long',
    (text) => {
      const intent = understand(text, context())
      expect(intent).toMatchObject({ kind: 'question', why: { reason: 'how_long' } })
      expect(choices(intent)).toEqual(['in 10', 'in 20', 'in 30'])
    },
  )
})

describe('calling off', () => {
  test.each([
    'cancel',
    'Cancel!',
    'cancel thursday',
    'thursday is off',
    "Thursday's event is cancelled",
    'event cancelled',
    'call it off',
    "it's been called off",
    'the battery event on thursday is off',
    'cancel tomorrow',
    'please cancel 14/1',
    'cancel the 5:30pm event',
    'cancel 2027-01-14 17:30',
    'The event tomorrow 17:30-18:30 will not go ahead.',
    'cancel 2027-01-14T17:30-04:00',
  ])('%j takes back the only event', (text) => {
    expect(understand(text, context([over, thursday]))).toEqual({ kind: 'cancel', eventId: 'thu' })
  })

  test('one of two is named by its day', () => {
    const both = context([friday, thursday])
    expect(understand('cancel friday', both)).toEqual({ kind: 'cancel', eventId: 'fri' })
    expect(understand('tomorrow is cancelled', both)).toEqual({ kind: 'cancel', eventId: 'thu' })
  })

  test('which of two is asked, in order', () => {
    expect(choices(understand('event cancelled', context([friday, thursday])))).toEqual([
      'cancel 2027-01-14 17:30',
      'cancel 2027-01-15 17:30',
    ])
  })

  test('a day without an event is asked about, not taken for another', () => {
    expect(understand('cancel monday', context())).toMatchObject({
      why: { reason: 'no_such_event' },
    })
    expect(understand('cancel', context([]))).toMatchObject({ why: { reason: 'no_events' } })
  })

  test.each([
    'the event is not cancelled',
    'can I cancel any time?',
    'unless it is called off',
    'is thursday cancelled?',
    'was it called off?',
    'event cancelled?',
  ])('%j takes nothing back', (text) => {
    expect(understand(text, context()).kind).not.toBe('cancel')
  })

  test('a cancellation never makes an event', () => {
    const intent = understand("Thursday's is cancelled, Friday 17:30-18:30 instead", context())
    expect(choices(intent)).toEqual([
      'cancel 2027-01-14 17:30',
      'move 2027-01-14 17:30 to 2027-01-15 17:30-18:30',
    ])
  })
})

describe('moving', () => {
  test.each([
    ['move thursday to 18:00-19:00', to('14T18:00', '14T19:00')],
    ['shift thursday to 18:00-19:00', to('14T18:00', '14T19:00')],
    ['Thursday now 18-19', to('14T18:00', '14T19:00')],
    ['moved to 18-19', to('14T18:00', '14T19:00')],
    ['move thursday 17:30-18:30 to 18:00-19:00', to('14T18:00', '14T19:00')],
    ['thursday is now 18:00-19:00', to('14T18:00', '14T19:00')],
    ['Moved: tomorrow 18:00-19:00 instead of 17:30-18:30', to('14T18:00', '14T19:00')],
    ['move thursday to friday 18:00-19:00', to('15T18:00', '15T19:00')],
    ['moved to friday', to('15T17:30', '15T18:30')],
    ['move the thursday one to saturday', to('16T17:30', '16T18:30')],
    ['move it to 6pm', to('14T18:00', '14T19:00', 'same-length')],
    ['moved from 17:30 to 18:30', to('14T18:30', '14T19:30', 'same-length')],
    ['the event now starts at 5pm', to('14T17:00', '14T18:00', 'same-length')],
    ["Thursday's event now starts friday at 5pm", to('15T17:00', '15T18:00', 'same-length')],
    ['event extended to 21:00', to('14T17:30', '14T21:00')],
    ['it now ends at 20:00', to('14T17:30', '14T20:00')],
    ['extended by half an hour', to('14T17:30', '14T19:00')],
    ['move thursday to 6-7', to('14T18:00', '14T19:00', 'evening')],
  ])('%j', (text, intent) => {
    expect(understand(text, context())).toEqual(intent)
  })

  test('which of two is asked', () => {
    expect(choices(understand('event extended to 21:00', context([thursday, friday])))).toEqual([
      'move 2027-01-14 17:30 to 2027-01-14 17:30-21:00',
      'move 2027-01-15 17:30 to 2027-01-15 17:30-21:00',
    ])
    expect(choices(understand('moved to 18-19', context([thursday, friday])))).toEqual([
      'move 2027-01-14 17:30 to 2027-01-14 18:00-19:00',
      'move 2027-01-15 17:30 to 2027-01-15 18:00-19:00',
    ])
  })

  test('nothing to move, and nowhere to move it, are asked', () => {
    expect(understand('move to 18-19', context([]))).toMatchObject({ why: { reason: 'no_events' } })
    for (const text of ['thursday is postponed', 'the 5:30pm event is postponed'])
      expect(understand(text, context())).toMatchObject({ why: { reason: 'moved_without_time' } })
  })
})

describe('announcing', () => {
  test.each([
    'friday 17:30-18:30. If you rely on medical equipment, tell us.',
    'friday 17:30-18:30. This helps to avoid a blackout. Check your smoke alarm.',
  ])('%j is an event, whatever its small print is about', (text) => {
    expect(understand(text, context())).toMatchObject({
      kind: 'announce',
      events: [{ start: friday.start, end: friday.end }],
    })
  })

  test('what is sure can be had alone where the rest may be no event', () => {
    expect(choices(understand('friday 17:30-18:30, saturday 8-18', context()))).toEqual([
      '2027-01-15 17:30-18:30',
      'yes 2027-01-15 17:30-18:30, 2027-01-16 08:00-18:00',
    ])
    expect(choices(understand('friday 11-1 and saturday 10-12', context()))).toHaveLength(4)
  })

  test('what is plain is an event', () => {
    expect(understand('friday 17:30–18:30 🙂', context())).toEqual({
      kind: 'announce',
      events: [{ start: friday.start, end: friday.end, assumed: [] }],
    })
  })

  test.each([
    ['friday 11-1', ['2027-01-15 11:00-13:00', '2027-01-15 23:00-01:00']],
    ['friday 10-12', ['2027-01-15 10:00-12:00', '2027-01-15 22:00-00:00']],
    [
      'friday 17:30',
      ['2027-01-15 17:30-18:30', '2027-01-15 17:30-19:30', '2027-01-15 17:30-20:30'],
    ],
    ['in 30 days 17:30-18:30', ['yes 2027-02-12 17:30-18:30']],
    [
      'Thu 5-7pm and Fri 11-1',
      [
        '2027-01-14 17:00-19:00, 2027-01-15 11:00-13:00',
        '2027-01-14 17:00-19:00, 2027-01-15 23:00-01:00',
      ],
    ],
  ])('%j offers what to send', (text, sends) => {
    expect(choices(understand(text, context()))).toEqual(sends)
  })

  test('what even a yes does not lift says so', () => {
    const asked = (text: string) => {
      const intent = understand(text, context())
      return intent.kind === 'question'
        ? questionText(intent.why, format('en', 'America/Halifax'))
        : null
    }
    expect(asked('1 Feb 2029 17:30-18:30')).toMatch(/I take no event further ahead than 366 days/)
    expect(asked('tomorrow 00:00 to friday 18:00')).toMatch(/I take no event longer than 24 h/)
    expect(asked('in 30 days 17:30-18:30')).toMatch(/Is that right\?$/)
  })

  test('a repeated hour is offered with its offsets (Halifax, 1 November 2026)', () => {
    const night = { ...context([]), now: instant('2026-10-31T12:00-03:00') }
    const intent = understand('tomorrow 01:30-02:30', night)
    expect(choices(intent)).toEqual([
      '2026-11-01T01:30-03:00/2026-11-01T02:30-04:00',
      '2026-11-01T01:30-04:00/2026-11-01T02:30-04:00',
    ])
    expect(intent).toMatchObject({
      choices: [{ label: { clocks: 'before' } }, { label: { clocks: 'after' } }],
    })
    const f = format('en', 'America/Halifax')
    const labels =
      intent.kind === 'question' ? intent.choices.map(({ label }) => choiceText(label, f)) : []
    expect(labels[0]).toMatch(/before the clocks go back \(2 h\)$/)
    expect(labels[1]).toMatch(/after the clocks go back \(1 h\)$/)
  })
})
