// Who is told: the page of the ways, and what the plan's page says of them. Works without a script.

import { describe, expect, test } from 'vitest'
import type { Household } from '../../src/reminder/index.ts'
import {
  NOON,
  NOTHING_SET_UP,
  at,
  channel,
  channelsPage,
  event,
  household,
  planPage,
  reminder,
  sentHold,
  taken,
} from './given.tsx'

const person = (name: string) => ({ name, away: [], absences: [], quiet: null })
const withPeople = (...names: string[]): Partial<Household> => ({
  settings: { ...household.settings, people: names.map(person) },
})
const ways = (html: string) => html.split('id="add"')[0] ?? ''
/** As it is read: without tags. */
const plain = (html: string) => html.replaceAll(/<[^>]*>/g, ' ').replaceAll(/\s+/g, ' ')

describe('the ways', () => {
  test('stand under their people, in the order in which they are turned to', () => {
    const html = ways(
      channelsPage({
        ...withPeople('Mika', 'Rowan', 'Ada'),
        channels: [
          channel('c1', { person: 'Guest', label: 'tablet' }),
          channel('c2', { label: 'phone' }),
          channel('c3', { person: 'Mika', label: 'watch' }),
          channel('c4', { label: 'laptop' }),
        ],
      }),
    )
    expect([...html.matchAll(/<h2>([^<]*)</g)].map(([, name]) => name)).toEqual([
      'Mika',
      'Rowan',
      'Guest',
    ])
    expect([...html.matchAll(/<li id="(c\d)"/g)].map(([, id]) => id)).toEqual([
      'c3',
      'c2',
      'c4',
      'c1',
    ])
    // The first needs no "try this first".
    expect([...html.matchAll(/\/channels\/(c\d)\/first/g)].map(([, id]) => id)).toEqual(['c4'])
  })

  test.each([
    ['never tried', {}, 'Never tried.'],
    ['today', { last: { at: NOON, outcome: 'delivered' } }, 'Delivered at 13:00 today.'],
    [
      'another day',
      { last: { at: at('2027-01-13T23:50:00-04:00'), outcome: 'delivered' } },
      'Delivered on Wed 13 Jan at 23:50.',
    ],
    ['failed', { last: { at: NOON, outcome: 'unreachable' } }, 'Did not work at 13:00 today.'],
    ['waiting', { state: 'waiting' }, 'Waits to be confirmed'],
    ['gone', { state: 'off', last: { at: NOON, outcome: 'gone' } }, 'it said that it is gone'],
    ['off', { state: 'off', last: { at: NOON, outcome: 'delivered' } }, 'Turned off.'],
  ])('say how they did last time: %s', (_, more, words) => {
    const html = ways(channelsPage({ channels: [channel('c1', more as never)] }))
    expect(html).toContain(words)
  })

  test('can be tried only while they are on and set up here', () => {
    const tests = (
      state: 'on' | 'off' | 'waiting',
      setUp = { push: null, telegram: true, mail: true },
    ) => channelsPage({ channels: [channel('c1', { state })] }, { setUp }).includes('/c1/test')
    expect(tests('on')).toBe(true)
    expect(tests('off')).toBe(false)
    expect(tests('waiting')).toBe(false)
    expect(tests('on', NOTHING_SET_UP as never)).toBe(false)
  })

  // ASVS 5.0, 14.2.x: what is as good as a key is not shown again.
  test('show the topic to subscribe to, and no token', () => {
    const target = {
      kind: 'publish',
      server: 'https://push.example.org/',
      topic: 'topic-7',
      token: 's3cret',
    }
    const html = channelsPage({ channels: [channel('c1', { target: target as never })] })
    expect(html).toContain('It goes to push.example.org, topic topic-7.')
    expect(html).not.toContain('s3cret')
  })

  test('each button says which way it is about, for who hears the page', () => {
    const html = ways(
      channelsPage({ channels: [channel('c1'), channel('c2', { label: 'watch' })] }),
    )
    expect(html).toMatch(/Send a test <span class="unseen">Rowan, phone</)
    expect(html).toMatch(/Send a test <span class="unseen">Rowan, watch</)
  })
})

describe('the plan’s page', () => {
  const note = (more: Partial<Household>) =>
    /<p class="when" role="note">(.*?)<\/p>/.exec(planPage(more))?.[1]

  test('says when nobody would be told, and where to set that up', () => {
    expect(note({})).toContain('Nobody would be told')
    expect(note({})).toContain('href="/channels"')
    expect(note({ channels: [channel('c1', { state: 'waiting' })] })).toContain('Nobody')
  })

  test('says nothing where everybody can be told, or in the demo house', () => {
    expect(note({ channels: [channel('c1')] })).toBeUndefined()
    const webhook = { url: 'https://home.example.org/', secret: 'whsec_x' }
    expect(note({ settings: { ...household.settings, webhook } })).toBeUndefined()
    expect(note({ settings: { ...household.settings, demo: true } })).toBeUndefined()
  })

  test('names who cannot be told', () => {
    const failed = { at: NOON, outcome: 'unreachable', note: null } as const
    const told = note({
      ...withPeople('Rowan', 'Mika', 'Ada'),
      channels: [channel('c1'), channel('c2', { person: 'Ada', last: failed })],
    })
    expect(plain(told ?? '')).toContain('Mika and Ada have no working way to be told.')
    const one = note({ ...withPeople('Rowan', 'Mika'), channels: [channel('c1')] })
    expect(one).toContain('Mika has no working way')
  })

  test('links to the page among the settings', () => {
    expect(planPage()).toMatch(/<a class="button" href="\/channels">Who is told<\/a>/)
  })

  test('says under a reminder who was told, by which way and when, and who answered', () => {
    const done = {
      ...sentHold,
      state: 'acknowledged',
      acknowledgedAt: at('2027-01-14T16:25:00-04:00'),
      nextAt: null,
    } as const
    const page = (acknowledgedBy: string) =>
      plain(
        planPage({
          channels: [channel('c1'), channel('c2', { person: 'Mika', label: 'watch' })],
          deliveries: [
            taken('hold-e1-1', 'c1', '2027-01-14T16:18:00-04:00'),
            taken('hold-e1-1', 'c2', '2027-01-14T16:22:00-04:00'),
            taken('hold-e1-1', 'c9', '2027-01-14T16:22:00-04:00'),
            taken('release-e1-1', 'c2', '2027-01-14T16:22:00-04:00'),
          ],
          reminders: [{ ...done, acknowledgedBy }],
        }),
      )
    expect(page('Rowan')).toContain(
      'Told: Rowan (phone) 16:18, Mika (watch) 16:22 and a way that was removed since (16:22). Rowan said so.',
    )
    expect(page('page')).toContain('Said on this page.')
    expect(page('a reading')).toContain('Answered by a reading.')
    // A name like any, to a program too.
    expect(page('constructor')).toContain('constructor said so.')
  })

  test.each([
    ['woke-late', 'nothing woke here in time'],
    ['nobody-there', 'nobody was there'],
    ['no-channel', 'no way to anybody worked'],
    ['crowded', 'too near to another message'],
  ] as const)('says why one was missed: %s', (missedBecause, words) => {
    const missed = reminder('hold', '2027-01-14T11:00:00-04:00', { state: 'missed', missedBecause })
    expect(planPage({ reminders: [missed] })).toContain(words)
  })

  test('lets an answer be taken back, while that helps', () => {
    const done = {
      ...sentHold,
      key: 'hold-e1-1',
      state: 'acknowledged',
      acknowledgedAt: NOON,
      acknowledgedBy: 'Rowan',
      nextAt: null,
    } as const
    const takesBack = (more: Partial<typeof done>) =>
      planPage({ events: [event], reminders: [{ ...done, ...more } as typeof done] })
    expect(takesBack({})).toContain('action="/reminders/hold-e1-1/reopen"')
    expect(plain(takesBack({}))).toContain('Paused: Rowan said so at 13:00.')
    expect(takesBack({ uselessAfter: NOON })).not.toContain('/reopen')
    expect(takesBack({ kind: 'outcome' as never })).not.toContain('/reopen')
  })
})
