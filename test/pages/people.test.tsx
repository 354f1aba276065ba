// The pages of people and of prices: what is typed becomes settings by the API's own check, and comes back as typed where
// it cannot be taken. Works without a script.

import { describe, expect, test } from 'vitest'
import { asInstant } from '../../src/plan/index.ts'
import type { Settings } from '../../src/reminder/index.ts'
import { readChange } from '../../src/web/api/index.ts'
import { PeoplePage, PricesPage } from '../../src/web/pages/index.ts'
import { peopleChange, peopleOn, peopleTyped } from '../../src/web/peopleForm.ts'
import { pricesChange, pricesTyped } from '../../src/web/pricesForm.ts'
import { type Typed, errorsAt, rowsOf } from '../../src/web/rowsForm.ts'
import { at, settings } from '../reminder/house.ts'
import { HOSTILE } from './given.tsx'

const now = at('12:00', '2027-01-13')
const tools = {
  checkWebhook: () => {
    throw new Error('no webhook is checked here')
  },
  newWebhookSecret: () => 'whsec_x',
}
type Change = { change: unknown; places: Parameters<typeof errorsAt>[1] }

/** The settings that a form makes, or the fields that are wrong. */
function taken(
  { change, places }: Change,
  from: Settings = settings,
): Settings | readonly string[] {
  const read = readChange(from, change, tools)
  if (read.ok) return read.value
  const pointers = (read.refusal.errors ?? []).map(({ pointer }) => pointer)
  return errorsAt(pointers, places).map(({ field }) => field)
}
const people = (typed: Typed, from = settings) => taken(peopleChange(typed, from.timeZone), from)
const prices = (typed: Typed, from = settings) => taken(pricesChange(typed), from)

const rowan: Typed = {
  'p-0-name': 'Rowan',
  'p-0-away-0-d1': 'yes',
  'p-0-away-0-d5': 'yes',
  'p-0-away-0-from': '08:00',
  'p-0-away-0-until': '17:00',
  'p-0-away-1-from': '',
  'p-0-away-1-until': '',
  'p-0-once-0-from': '2027-01-15T09:00',
  'p-0-once-0-until': '2027-01-15T17:00',
  'p-0-quiet-from': '22:30',
  'p-0-quiet-until': '06:30',
  'p-1-name': '',
  'p-1-away-0-from': '',
  'p-1-away-0-until': '',
  'p-1-once-0-from': '',
  'p-1-once-0-until': '',
  'p-1-quiet-from': '',
  'p-1-quiet-until': '',
}

describe('the page of people', () => {
  test('makes settings of what is typed, empty rows left out', () => {
    expect(people(rowan)).toMatchObject({
      people: [
        {
          name: 'Rowan',
          away: [{ days: [1, 5], from: '08:00', until: '17:00' }],
          absences: [{ start: at('09:00', '2027-01-15'), end: at('17:00', '2027-01-15') }],
          quiet: { from: '22:30', until: '06:30' },
        },
      ],
    })
  })

  test('comes back the same, with a spare row in each list and a spare person', () => {
    const made = people(rowan) as Settings
    const typed = peopleTyped(made, now)
    expect(people(typed)).toEqual(made)
    expect(peopleOn(typed)).toEqual(['p-0', 'p-1'])
    expect(rowsOf(typed, 'p-0-away')).toEqual(['p-0-away-0', 'p-0-away-1'])
    expect(rowsOf(typed, 'p-0-once')).toEqual(['p-0-once-0', 'p-0-once-1'])
  })

  test('takes nobody for an empty form, and takes somebody off who is cleared', () => {
    expect(people(peopleTyped(settings, now))).toMatchObject({ people: [] })
    const cleared = Object.fromEntries(Object.keys(rowan).map((name) => [name, '']))
    expect(people(cleared)).toMatchObject({ people: [] })
  })

  test('forgets absences that are over, not those of today', () => {
    const absences = [
      { start: at('09:00', '2027-01-05'), end: at('17:00', '2027-01-05') },
      { start: at('09:00', '2027-01-13'), end: at('11:00', '2027-01-13') },
    ]
    const person = { name: 'Rowan', away: [], absences, quiet: null }
    const made = people(peopleTyped({ ...settings, people: [person] }, now)) as Settings
    expect(made.people[0]!.absences).toEqual(absences.slice(1))
  })

  test.each([
    ['a name', { 'p-0-name': ' ' }, ['p-0-name']],
    ['days', { 'p-0-away-0-d1': '', 'p-0-away-0-d5': '' }, ['p-0-away-0-d1']],
    ['an end', { 'p-0-away-0-until': '' }, ['p-0-away-0-until']],
    ['two times', { 'p-0-away-0-from': '8', 'p-0-away-0-until': 'late' }, ['p-0-away-0-from']],
    ['times that differ', { 'p-0-away-0-until': '08:00' }, ['p-0-away-0-until']],
    ['an end of the absence', { 'p-0-once-0-until': '' }, ['p-0-once-0-from']],
    ['the later one last', { 'p-0-once-0-until': '2027-01-15T08:00' }, ['p-0-once-0-from']],
    ['a day that exists', { 'p-0-once-0-from': '2027-02-30T08:00' }, ['p-0-once-0-from']],
    ['both ends of the night', { 'p-0-quiet-until': '' }, ['p-0-quiet-from']],
    ['a row further down', { 'p-0-away-1-from': '09:00' }, ['p-0-away-1-d1', 'p-0-away-1-until']],
    ['all that is wrong', { 'p-0-name': '', 'p-0-quiet-from': '' }, ['p-0-name', 'p-0-quiet-from']],
  ])('asks for %s, at its field', (_, wrong, fields) => {
    expect(people({ ...rowan, ...wrong })).toEqual(fields)
  })

  // RFC 5545 §3.3.5's change of 7 November 2027 in New York shows 01:30 twice; an absence takes in both.
  test('takes the longer absence where the clocks show a time twice', () => {
    const typed = {
      ...rowan,
      'p-0-once-0-from': '2027-11-07T01:15',
      'p-0-once-0-until': '2027-11-07T01:45',
    }
    const made = people(typed, { ...settings, timeZone: 'America/New_York' }) as Settings
    expect(made.people[0]!.absences).toEqual([
      {
        start: asInstant(Date.parse('2027-11-07T01:15-04:00')),
        end: asInstant(Date.parse('2027-11-07T01:45-05:00')),
      },
    ])
  })

  const page = (typed: Typed, errors: readonly { field: string; message: string }[] = []) =>
    String(
      <PeoplePage
        typed={typed}
        people={peopleOn(typed)}
        rowsOf={(list) => rowsOf(typed, list)}
        errors={errors}
        saved={false}
        csrf="k"
        lang="en"
      />,
    )

  test('shows what was typed, and the error where it is', () => {
    const html = page({ ...rowan, 'p-0-away-0-until': 'late' }, [
      { field: 'p-0-away-0-until', message: 'Give both times' },
    ])
    expect(html).toMatch(/name="p-0-away-0-until"[^>]*value="late"/)
    expect(html).toMatch(/id="p-0-away-0-d1"[^>]*checked/)
    expect(html).not.toMatch(/id="p-0-away-0-d2"[^>]*checked/)
    expect(html).toContain('<a href="#p-0-away-0-until">Give both times</a>')
    expect(html).toMatch(/id="p-0-away-0-from-wrong">Give both times</)
    expect(html).toMatch(/id="p-0-away-0-until"[^>]*aria-invalid="true"/)
    expect(html).toContain('<title>Error: ')
  })

  test('names each box and each row, and needs no script', () => {
    const html = page(rowan)
    expect(html).toMatch(/id="p-0-away-0-d1"[^>]*aria-label="Monday"/)
    expect(html).toContain('<legend class="unseen">Away every week, row 1</legend>')
    expect(html).not.toContain('<script')
  })

  test('keeps what is hostile as text', () => {
    const html = page({ ...rowan, 'p-0-name': HOSTILE, 'p-0-away-0-from': HOSTILE })
    expect(html).not.toContain('<script>alert')
    expect(html).not.toContain('<img')
  })
})

const tariff: Typed = {
  currency: 'cad',
  perKwh: '0,18',
  'band-0-d1': 'yes',
  'band-0-from': '23:00',
  'band-0-until': '07:00',
  'band-0-price': '0.09',
  'band-1-from': '',
  'band-1-until': '',
  'band-1-price': '',
  'charge-0-d1': 'yes',
  'charge-0-d2': 'yes',
  'charge-0-from': '23:00',
  'charge-0-until': '07:00',
  maxChargeKw: '3',
  cheapest: 'yes',
  maxActions: '4',
  rewardPerKwh: '1.5',
}

describe('the page of prices', () => {
  test('makes settings of what is typed', () => {
    expect(prices(tariff)).toMatchObject({
      unitRates: {
        currency: 'CAD',
        perKwh: 0.18,
        bands: [{ days: [1], from: '23:00', until: '07:00', perKwh: 0.09 }],
      },
      topUpWindows: [{ days: [1, 2], from: '23:00', until: '07:00' }],
      battery: { ...settings.battery, maxChargeKw: 3 },
      cheapest: true,
      maxActions: 4,
      rewardPerKwh: 1.5,
    })
  })

  test('comes back the same, with a spare row in each list', () => {
    const made = prices(tariff) as Settings
    const typed = pricesTyped(made)
    expect(prices(typed, made)).toEqual(made)
    expect(rowsOf(typed, 'band')).toEqual(['band-0', 'band-1'])
    expect(rowsOf(typed, 'charge')).toEqual(['charge-0', 'charge-1'])
  })

  test('empty, changes nothing', () => expect(prices(pricesTyped(settings))).toEqual(settings))

  test.each([
    ['a currency', { currency: '' }, ['currency']],
    ['a currency of three letters', { currency: 'dollars' }, ['currency']],
    ['the usual price', { perKwh: '' }, ['perKwh']],
    ['a figure', { perKwh: 'cheap' }, ['perKwh']],
    ['the price in a row', { 'band-0-price': '' }, ['band-0-price']],
    ['the times of a row', { 'band-0-from': '' }, ['band-0-from']],
    ['the days of charging', { 'charge-0-d1': '', 'charge-0-d2': '' }, ['charge-0-d1']],
    ['the charge limit', { maxChargeKw: '' }, ['maxChargeKw']],
    ['a charge limit', { maxChargeKw: '-1' }, ['maxChargeKw']],
    ['how many times', { maxActions: '100' }, ['maxActions']],
    ['a figure of the scheme', { rewardPerKwh: 'much' }, ['rewardPerKwh']],
  ])('asks for %s, at its field', (_, wrong, fields) => {
    expect(prices({ ...tariff, ...wrong })).toEqual(fields)
  })

  test('each field that can be wrong is on the page', () => {
    const typed = { ...tariff, 'band-0-price': HOSTILE }
    const html = String(
      <PricesPage
        typed={typed}
        rowsOf={(list) => rowsOf(typed, list)}
        errors={[{ field: 'band-0-price', message: 'Give the price' }]}
        saved={false}
        csrf="k"
        lang="en"
      />,
    )
    for (const { field } of pricesChange(typed).places) expect(html).toContain(`id="${field}"`)
    expect(html).toMatch(/id="band-0-price-wrong">Give the price</)
    expect(html).toMatch(/id="maxActions-4"[^>]*checked/)
    expect(html).not.toContain('<script')
  })
})
