import { describe, expect, test } from 'vitest'
import { renderFeed } from '../../src/calendar/index.ts'
import { asInstant, minutesAfter } from '../../src/plan/index.ts'
import { PAGE, event, eventPlan, household, planOf } from './given.ts'
import { read } from './read.ts'

// The days on which clocks change, 2026 and 2027: instant, offset before and after in minutes.
// Computed from the tz database by four programs and by the calendar rules alone, all equal.
const CHANGES = [
  ['Europe/London', '2026-03-29T01:00:00Z', 0, 60],
  ['Europe/London', '2026-10-25T01:00:00Z', 60, 0],
  ['Europe/London', '2027-03-28T01:00:00Z', 0, 60],
  ['Europe/London', '2027-10-31T01:00:00Z', 60, 0],
  ['Europe/Dublin', '2026-03-29T01:00:00Z', 0, 60],
  ['Europe/Dublin', '2026-10-25T01:00:00Z', 60, 0],
  ['Europe/Dublin', '2027-03-28T01:00:00Z', 0, 60],
  ['Europe/Dublin', '2027-10-31T01:00:00Z', 60, 0],
  ['America/New_York', '2026-03-08T07:00:00Z', -300, -240],
  ['America/New_York', '2026-11-01T06:00:00Z', -240, -300],
  ['America/New_York', '2027-03-14T07:00:00Z', -300, -240],
  ['America/New_York', '2027-11-07T06:00:00Z', -240, -300],
  ['Australia/Sydney', '2026-04-04T16:00:00Z', 660, 600],
  ['Australia/Sydney', '2026-10-03T16:00:00Z', 600, 660],
  ['Australia/Sydney', '2027-04-03T16:00:00Z', 660, 600],
  ['Australia/Sydney', '2027-10-02T16:00:00Z', 600, 660],
  ['Australia/Lord_Howe', '2026-04-04T15:00:00Z', 660, 630],
  ['Australia/Lord_Howe', '2026-10-03T15:30:00Z', 630, 660],
  ['Australia/Lord_Howe', '2027-04-03T15:00:00Z', 660, 630],
  ['Australia/Lord_Howe', '2027-10-02T15:30:00Z', 630, 660],
] as const

const iso = (ms: number) => new Date(ms).toISOString()

describe.each(CHANGES)('%s, clocks change at %s', (timeZone, utc, before, after) => {
  const change = asInstant(Date.parse(utc))
  /** `HH:MM` on the household's clock, by the table's offsets alone. */
  const clock = (ms: number) => iso(ms + (ms < change ? before : after) * 60_000).slice(11, 16)

  test.each([
    ['the hold before it, the event after it', -60, 60],
    ['the hold in its last minute', -1, 90],
    ['the hold at it', 0, 30],
    ['the hold in the hour that is skipped or doubled', 20, 50],
    ['the event across it', -120, -30],
  ])('%s', (_, holdMinutes, startMinutes) => {
    const holdBy = minutesAfter(change, holdMinutes)
    const start = minutesAfter(change, startMinutes)
    const end = minutesAfter(start, 60)
    const releaseAt = minutesAfter(start, -5)
    const given = household({
      events: [{ ...event, start, end }],
      settings: { timeZone, calendarAlarms: true },
      plan: planOf([{ ...eventPlan, start, end, holdBy, releaseAt }]),
    })
    const [shown, hold, release] = read(renderFeed(given, { now: change, page: PAGE })).entries

    expect([shown?.start, shown?.end]).toEqual([iso(start), iso(end)])
    expect([hold?.start, hold?.end]).toEqual([iso(holdBy), iso(releaseAt)])
    expect([release?.start, release?.end]).toEqual([iso(releaseAt), iso(start)])
    // An alarm is so many minutes that pass, not so many on the clock.
    expect(hold?.alarms).toEqual([iso(minutesAfter(holdBy, -15)), iso(holdBy)])
    expect(release?.alarms).toEqual([iso(minutesAfter(releaseAt, -5))])

    expect(hold?.title).toContain(`by ${clock(holdBy)},`)
    expect(release?.title).toContain(`at ${clock(releaseAt)}`)
    expect(release?.detail).toContain(`The event starts at ${clock(start)}.`)
  })
})
