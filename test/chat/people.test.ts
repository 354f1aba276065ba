// What a household writes of absences, sleep, people and prices. Wording of our own; Halifax, Wednesday 13 January 2027, noon.

import { describe, expect, test } from 'vitest'
import { converse, understand } from '../../src/chat/index.ts'
import { asInstant } from '../../src/plan/index.ts'
import type { Household, Person } from '../../src/reminder/index.ts'
import { EVERY_DAY } from '../../src/schedule/index.ts'
import { at, empty, settings } from '../reminder/house.ts'

const now = at('12:00', '2027-01-13')
const context = {
  now,
  timeZone: 'America/Halifax',
  dayFirst: true,
  language: 'en' as const,
  events: [],
  people: ['Rowan', 'Mika'],
}
const read = (text: string, given: Partial<typeof context> = {}) =>
  understand(text, { ...context, ...given })
const me = { kind: 'me' }
const all = { kind: 'all' }
const mika = { kind: 'named', name: 'Mika' }
const span = (start: string, end: string) => ({
  start: asInstant(Date.parse(`2027-01-${start}-04:00`)),
  end: asInstant(Date.parse(`2027-01-${end}-04:00`)),
})

describe('an absence', () => {
  test.each([
    ["I'm away tomorrow 9 to 17", me, span('14T09:00', '14T17:00')],
    ['I am away tomorrow from 9 to 5', me, span('14T09:00', '14T17:00')],
    ['away tomorrow 9-17', me, span('14T09:00', '14T17:00')],
    ["I'm out tonight 7 to 10", me, span('13T19:00', '13T22:00')],
    ['we are out until 6 pm on Friday', all, span('13T12:00', '15T18:00')],
    ["we're out until 6 pm on friday", all, span('13T12:00', '15T18:00')],
    ['I am at work until 17:30', me, span('13T12:00', '13T17:30')],
    ["I'm out until 5", me, span('13T12:00', '13T17:00')],
    ['Mika is away tomorrow 10:00-14:00', mika, span('14T10:00', '14T14:00')],
    ['mika is away on Saturday', mika, span('16T00:00', '17T00:00')],
    ['we are away from friday to sunday', all, span('15T00:00', '18T00:00')],
    ['I am on holiday tomorrow', me, span('14T00:00', '15T00:00')],
    ['we are out today 20:00 to 1:00', all, span('13T20:00', '14T01:00')],
    [
      'all of us are away 2027-01-14T09:00-04:00/2027-01-16T12:00-04:00',
      all,
      span('14T09:00', '16T12:00'),
    ],
  ])('%s', (text, who, when) => {
    expect(read(text)).toMatchObject({ kind: 'away', who, span: when })
  })

  test.each([
    "I'm away",
    'we are out',
    'I am away until friday',
    'I am away tomorrow and saturday 9-17',
    "we're away yesterday",
  ])('is asked about: %s', (text) =>
    expect(read(text)).toEqual({ kind: 'presence-unclear', about: 'away' }),
  )

  test.each([
    ['tomorrow 17:30-18:30', 'announce'],
    ['event out of hours tomorrow 17:30-18:30', 'announce'],
    ['the power is out', 'outage'],
    ["I'm not home", 'not-yet'],
    ['cancel it, I am away tomorrow 9 to 17', 'question'],
    ['58', 'reading'],
    ['off', 'done'],
  ])('is none: %s', (text, kind) => expect(read(text).kind).toBe(kind))

  // RFC 5545 §3.3.5 names both readings of 01:30 on 7 November 2027 in New York; an absence takes in both.
  test('is the longer one where the clocks show a time twice', () => {
    const then = {
      now: asInstant(Date.parse('2027-11-06T12:00-04:00')),
      timeZone: 'America/New_York',
    }
    expect(read('I am away tomorrow 01:15 to 01:45', then)).toMatchObject({
      span: {
        start: Date.parse('2027-11-07T01:15-04:00'),
        end: Date.parse('2027-11-07T01:45-05:00'),
      },
    })
  })
})

describe('a night', () => {
  test.each([
    ['asleep 22:30 to 7', me, '22:30', '07:00'],
    ['I sleep from 11 to 7', me, '23:00', '07:00'],
    ["I'm asleep 10:30 pm to 6:15 am", me, '22:30', '06:15'],
    ['do not disturb 23-7', me, '23:00', '07:00'],
    ['we are asleep 22:30-06:30', all, '22:30', '06:30'],
    ['Mika is asleep 1:00-9:00', mika, '01:00', '09:00'],
  ])('%s', (text, who, from, until) =>
    expect(read(text)).toEqual({ kind: 'asleep', who, from, until }),
  )
  test('is asked about without its times', () =>
    expect(read("I'm asleep")).toEqual({ kind: 'presence-unclear', about: 'night' }))
})

test.each([
  ['who is home?', 'who-is-there'],
  ["Who's in", 'who-is-there'],
  ['is anybody home?', 'who-is-there'],
  ['prices', 'prices'],
  ['What does power cost?', 'prices'],
])('%s', (text, kind) => expect(read(text)).toEqual({ kind }))

describe('what is answered', () => {
  const person = (name: string): Person => ({ name, away: [], absences: [], quiet: null })
  const house = (people: readonly Person[]): Household => ({
    ...empty,
    settings: { ...settings, people },
  })
  const say = (household: Household, text: string) => {
    const next = converse(household, text, now).household
    const said = next.messages.slice(household.messages.length + 1)
    return {
      household: next,
      buttons: said.flatMap(({ buttons }) => buttons),
      text: said
        .map((each) => each.text)
        .join('\n')
        .replaceAll('\u00a0', ' '),
    }
  }

  test('an absence of the only one is noted', () => {
    const { household, text } = say(house([person('Rowan')]), "I'm away tomorrow 9 to 17")
    expect(household.settings.people[0]!.absences).toEqual([span('14T09:00', '14T17:00')])
    expect(text).toContain('Rowan is away Thu 14 Jan, 09:00–17:00: noted.')
    expect(text).toContain('No event is announced.')
  })

  test('where nobody is listed, the household is', () => {
    const { household, text } = say(house([]), 'asleep 22:30 to 7')
    expect(household.settings.people).toEqual([
      { ...person('The household'), quiet: { from: '22:30', until: '07:00' } },
    ])
    expect(text).toContain('The household is asleep from 22:30 to 07:00 every night: noted.')
    expect(text).toContain('/people')
  })

  test('of several it is asked who, and each button is understood', () => {
    const two = house([person('Rowan'), person('Mika')])
    const asked = say(two, "I'm away tomorrow 9 to 17")
    expect(asked.text).toBe('Who is that?')
    expect(asked.buttons.map(({ label }) => label)).toEqual(['Rowan', 'Mika', 'All of us'])
    const absent = asked.buttons.map(({ send }) =>
      say(two, send).household.settings.people.map(({ absences }) => absences),
    )
    const once = [span('14T09:00', '14T17:00')]
    expect(absent).toEqual([
      [once, []],
      [[], once],
      [once, once],
    ])
    const night = say(two, 'asleep 22:30-7').buttons[1]!
    expect(say(two, night.send).household.settings.people[1]!.quiet).toEqual({
      from: '22:30',
      until: '07:00',
    })
  })

  test('what it changes in the plan is said', () => {
    let household = converse(house([person('Rowan')]), '58', now).household
    household = converse(household, 'today 17:30-18:30', now).household
    const { text } = say(household, "I'm out today 15 to 17")
    expect(text).toContain('Rowan is away 15:00–17:00: noted.')
    expect(text).toContain('hold before 15:00')
    const far = say(household, "I'm out on saturday")
    expect(far.text).toContain('It changes nothing in the plan.')
    const gone = say(household, "I'm out today 14 to 20")
    expect(gone.text).toContain('Nobody can let it run again just before this event')
  })

  test('who is home', () => {
    const quiet = { from: '22:30', until: '07:00' }
    expect(say(house([]), 'who is home?').text).toContain('Nobody is listed')
    expect(say(house([{ ...person('Rowan'), quiet }]), 'who is home?').text).toContain(
      'Rowan can reach the battery now; from 22:30 nobody can.',
    )
    const away = [{ days: EVERY_DAY, from: '08:00', until: '17:00' }]
    expect(say(house([{ ...person('Rowan'), away }]), 'who is home?').text).toContain(
      'Nobody can reach the battery now. Somebody can again at 17:00.',
    )
  })

  test('prices', () => {
    expect(say(house([]), 'prices').text).toContain('No prices are known.')
    const night = { days: EVERY_DAY, from: '23:00', until: '07:00' }
    const unitRates = { currency: 'CAD', perKwh: 0.185, bands: [{ ...night, perKwh: 0.09 }] }
    const known = { ...empty, settings: { ...settings, unitRates, topUpWindows: [night] } }
    expect(say(known, 'prices').text).toContain('A kWh costs CA$0.185 now, until 23:00.')
    expect(say(known, 'prices').text).toContain('by hand next 23:00–07:00 (Thu 14 Jan)')
  })
})
