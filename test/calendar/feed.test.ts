import { describe, expect, test } from 'vitest'
import { renderFeed, renderPlanFile } from '../../src/calendar/index.ts'
import { DAY_MS, asInstant } from '../../src/plan/index.ts'
import type { Household } from '../../src/reminder/index.ts'
import { NOW, PAGE, at, event, eventPlan, household, planOf } from './given.ts'
import { contentLines, read } from './read.ts'

const feed = (from: Household = household(), now = NOW) => renderFeed(from, { now, page: PAGE })
const entries = (from?: Household, now = NOW) => read(feed(from, now)).entries
const file = (from: Household, id = 'e1') => renderPlanFile(from, id, { page: PAGE }) ?? ''

const cancelledEvent = {
  ...event,
  state: 'cancelled',
  sequence: 1,
  changedAt: at('2027-01-14T18:00:00Z'),
} as const
const cancelled = household({ events: [cancelledEvent], revision: 4, plan: planOf([], []) })

const after = (days: number, ms = 0) => asInstant(event.end + days * DAY_MS + ms)

const ringsOf = (changed: typeof event) =>
  entries(household({ events: [changed], settings: { calendarAlarms: true } })).map(
    ({ alarms }) => alarms.length,
  )

// NBSP stands between a figure and its unit.
const plain = (text: string) => text.replaceAll('\u00a0', ' ')

describe('an event with a hold', () => {
  test('stands as event, hold and release, at the plan’s instants (worked example of the model)', () => {
    expect(entries().map(({ start, end, status }) => [start, end, status])).toEqual([
      ['2027-01-14T21:30:00.000Z', '2027-01-14T22:30:00.000Z', 'CONFIRMED'],
      ['2027-01-14T20:28:36.000Z', '2027-01-14T21:25:00.000Z', 'CONFIRMED'],
      ['2027-01-14T21:25:00.000Z', '2027-01-14T21:30:00.000Z', 'CONFIRMED'],
    ])
  })

  test('says when and at how much, in the household’s own time', () => {
    expect(entries().map(({ title }) => plain(title))).toEqual([
      'Use little from the grid',
      'Hold the battery (by 16:28, or when it shows 25 %)',
      'Let the battery run again (at 17:25)',
    ])
  })

  test('says how, in the household’s own words, and where the plan is', () => {
    const [, hold, release] = entries()
    expect(hold?.detail).toContain('How to do it: Open the battery menu, choose pause.')
    expect(release?.detail).toContain('How to do it: Open the battery menu, choose run.')
    for (const { detail, url } of entries()) {
      expect(detail).toContain(PAGE)
      expect(url).toBe(PAGE)
    }
  })

  test('a fraction of a second never makes the hold later', () => {
    const holdBy = asInstant(Date.parse('2027-01-14T20:28:36Z') + 999.7)
    const [, hold] = entries(household({ plan: planOf([{ ...eventPlan, holdBy }]) }))
    expect(hold?.start).toBe('2027-01-14T20:28:36.000Z')
  })

  test('nobody is shown as busy', () => {
    expect(new Set(entries().map(({ transp }) => transp))).toEqual(new Set(['TRANSPARENT']))
  })

  test('a release at the very start is a moment, without an end', () => {
    const plan = planOf([{ ...eventPlan, releaseAt: event.start }])
    expect(entries(household({ plan }))[2]).toMatchObject({
      start: '2027-01-14T21:30:00.000Z',
      end: null,
    })
  })
})

describe('an event without a hold', () => {
  test('no-hold: the event alone, and why', () => {
    const plan = planOf([{ ...eventPlan, verdict: 'no-hold', holdBy: null }])
    const shown = entries(household({ plan }))
    expect(shown).toHaveLength(1)
    expect(shown[0]?.detail).toContain('No need to hold')
  })

  test('no plan yet: the event alone', () => {
    const shown = entries(household({ plan: null }))
    expect(shown).toHaveLength(1)
    expect(shown[0]?.detail).not.toContain('No need to hold')
  })

  test('short: until when it lasts', () => {
    const short = { kwh: 0.4, coveredUntil: at('2027-01-14T22:05:00Z'), loadKw: 0.5 }
    const plan = planOf([{ ...eventPlan, verdict: 'short', short }])
    expect(plain(entries(household({ plan }))[0]?.detail ?? '')).toContain(
      'The battery is expected to last until 18:05. Stay under 0.50 kW and it lasts to the end.',
    )
  })

  test('each event finds its own plan', () => {
    const second = {
      ...event,
      id: 'e2',
      start: at('2027-01-15T21:30:00Z'),
      end: at('2027-01-15T22:30:00Z'),
    }
    const secondPlan = {
      ...eventPlan,
      start: second.start,
      end: second.end,
      holdBy: at('2027-01-15T19:00:00Z'),
      releaseAt: at('2027-01-15T21:25:00Z'),
    }
    const both = household({
      events: [event, second],
      plan: planOf([secondPlan, eventPlan], ['e2', 'e1']),
    })
    expect(entries(both).map(({ start }) => start)).toEqual([
      '2027-01-14T21:30:00.000Z',
      '2027-01-14T20:28:36.000Z',
      '2027-01-14T21:25:00.000Z',
      '2027-01-15T21:30:00.000Z',
      '2027-01-15T19:00:00.000Z',
      '2027-01-15T21:25:00.000Z',
    ])
  })
})

describe('what people did comes before what was planned', () => {
  const held = { ...event, heldAt: at('2027-01-14T20:10:00Z') }

  test('held: the hold begins when it did', () => {
    const [, hold, release] = entries(household({ events: [held] }))
    expect(hold).toMatchObject({
      title: 'The battery is on hold',
      start: '2027-01-14T20:10:00.000Z',
      end: '2027-01-14T21:25:00.000Z',
    })
    expect(hold?.detail).toContain('On hold since 16:10.')
    expect(release?.start).toBe('2027-01-14T21:25:00.000Z')
  })

  test('held although there is no need: the release is still asked for', () => {
    const plan = planOf([{ ...eventPlan, verdict: 'no-hold', holdBy: null }])
    const shown = entries(household({ events: [held], plan }))
    expect(shown).toHaveLength(3)
    expect(shown[0]?.detail).not.toContain('No need to hold')
  })

  test('afterwards, without a plan, both stay as they were', () => {
    const over = { ...held, releasedAt: at('2027-01-14T21:20:00Z') }
    const shown = entries(household({ events: [over], plan: null }), at('2027-01-20T00:00:00Z'))
    expect(shown.map(({ start, end }) => [start, end])).toEqual([
      ['2027-01-14T21:30:00.000Z', '2027-01-14T22:30:00.000Z'],
      ['2027-01-14T20:10:00.000Z', '2027-01-14T21:20:00.000Z'],
      ['2027-01-14T21:20:00.000Z', '2027-01-14T21:30:00.000Z'],
    ])
  })
})

describe('a cancelled event (RFC 5546 §3.2.5; that it stays visible: common practice)', () => {
  test('keeps its three entries, all cancelled, with the same UIDs', () => {
    const shown = entries(cancelled)
    expect(shown.map(({ status }) => status)).toEqual(['CANCELLED', 'CANCELLED', 'CANCELLED'])
    expect(shown.map(({ uid }) => uid)).toEqual(entries().map(({ uid }) => uid))
    for (const { title } of shown) expect(title).toMatch(/^Cancelled: /)
  })

  test('rises in SEQUENCE for all three', () => {
    const before = entries()
    for (const [i, { sequence }] of entries(cancelled).entries())
      expect(sequence).toBeGreaterThan(before[i]!.sequence)
  })

  test('never rings, not in the one-off file either', () => {
    const alarmed = household({ ...cancelled, settings: { calendarAlarms: true } })
    expect(feed(alarmed)).not.toContain('VALARM')
    expect(file(alarmed)).not.toContain('VALARM')
  })

  test('says so to somebody who holds already', () => {
    expect(entries(cancelled)[1]?.detail).toContain('If the battery is on hold, let it run again.')
  })
})

describe('how long entries stay', () => {
  test('a past event 60 days', () => {
    const past = household({ plan: null })
    expect(entries(past, after(60, -1))).toHaveLength(1)
    expect(entries(past, after(60))).toHaveLength(0)
  })

  test('a cancelled one 14 days', () => {
    expect(entries(cancelled, after(14, -1))).toHaveLength(3)
    expect(entries(cancelled, after(14))).toHaveLength(0)
  })

  test('an empty calendar is still one that can be read', () => {
    expect(read(feed(household({ events: [], plan: null }))).top.version).toBe('2.0')
  })
})

describe('alarms', () => {
  const alarmed = { calendarAlarms: true }

  test('none, unless the household wants them', () => {
    expect(feed()).not.toContain('VALARM')
  })

  test('hold: 15 minutes before and at the time; release: 5 minutes before', () => {
    const rings = [
      [],
      ['2027-01-14T20:13:36.000Z', '2027-01-14T20:28:36.000Z'],
      ['2027-01-14T21:20:00.000Z'],
    ]
    expect(entries(household({ settings: alarmed })).map(({ alarms }) => alarms)).toEqual(rings)
    expect(read(file(household())).entries.map(({ alarms }) => alarms)).toEqual(rings)
  })

  test('what is done rings no more', () => {
    const held = { ...event, heldAt: at('2027-01-14T20:10:00Z') }
    const released = { ...held, releasedAt: at('2027-01-14T21:20:00Z') }
    expect(ringsOf(held)).toEqual([0, 0, 1])
    expect(ringsOf(released)).toEqual([0, 0, 0])
  })

  test('each is a display alarm with a text (RFC 5545 §3.6.6)', () => {
    const alarms = file(household()).split('BEGIN:VALARM').slice(1)
    expect(alarms).toHaveLength(3)
    for (const alarm of alarms) {
      expect(alarm).toMatch(/^ACTION:DISPLAY\r$/m)
      expect(alarm).toMatch(/^DESCRIPTION:.+\r$/m)
    }
  })
})

describe('the calendar itself', () => {
  test('has its name in both spellings, a stable PRODID, and no METHOD', () => {
    const lines = contentLines(feed())
    expect(lines).toContain('NAME:Terraced house: battery events')
    expect(lines).toContain('X-WR-CALNAME:Terraced house: battery events')
    expect(lines).toContain('PRODID:-//Holdbell//Calendar//EN')
    expect(feed()).not.toContain('METHOD')
  })

  // RFC 7986 §5.7; X-PUBLISHED-TTL is a Microsoft property (common practice).
  test('says how often to fetch it: hourly, or as asked', () => {
    expect(contentLines(feed())).toContain('REFRESH-INTERVAL;VALUE=DURATION:PT1H')
    expect(contentLines(feed())).toContain('X-PUBLISHED-TTL:PT1H')
    const daily = renderFeed(household(), { now: NOW, page: PAGE, ttlSeconds: 86_400 })
    expect(contentLines(daily)).toContain('REFRESH-INTERVAL;VALUE=DURATION:P1D')
  })

  test('a file to import is not fetched again', () => {
    expect(file(household())).not.toMatch(/REFRESH-INTERVAL|X-PUBLISHED-TTL/)
  })

  test('the file holds one event, by the feed’s UIDs; none for an unknown event', () => {
    const two = household({ events: [event, { ...event, id: 'e2' }] })
    expect(read(file(two)).entries.map(({ uid }) => uid)).toEqual(entries().map(({ uid }) => uid))
    expect(renderPlanFile(two, 'e3', { page: PAGE })).toBeNull()
  })

  test('no zone is named: UTC only (RFC 5545 §3.2.19)', () => {
    expect(feed()).not.toMatch(/TZID|VTIMEZONE|X-WR-TIMEZONE/)
  })

  test('the same household gives the same octets, at whatever time it is asked', () => {
    expect(feed(household(), asInstant(NOW + 5 * DAY_MS))).toBe(feed())
  })
})

describe('DTSTAMP and LAST-MODIFIED: the last change, never the rendering (RFC 5545 §3.8.7.2)', () => {
  test('of the plan, once it is newer than the event', () => {
    for (const { stamp, modified } of entries())
      expect([stamp, modified]).toEqual(['2027-01-14T17:00:00.000Z', '2027-01-14T17:00:00.000Z'])
  })

  test('of the event, if that is newer or there is no plan', () => {
    const changedAt = at('2027-01-14T18:00:00Z')
    for (const { stamp } of entries(household({ events: [{ ...event, changedAt }] })))
      expect(stamp).toBe('2027-01-14T18:00:00.000Z')
    for (const { stamp } of entries(household({ plan: null })))
      expect(stamp).toBe('2027-01-13T12:00:00.000Z')
    for (const { stamp } of entries(cancelled)) expect(stamp).toBe('2027-01-14T18:00:00.000Z')
  })
})
