// `POST /api/plan` over past days: the local calendar against the platform's own (`Intl.DateTimeFormat`), and
// the answer against one day's plan worked by hand.

import { describe, expect, it } from 'vitest'
import { asInstant } from '../../src/plan/index.ts'
import { halfHoursOf } from '../../src/schedule/index.ts'
import { PlanAnswer } from '../../src/web/api/schemas/answers.ts'
import { api, planRequest } from './given.ts'

const { call } = api()
const plan = (body: unknown) => call('POST', '/api/plan', body)

/** January 2027 before the 14th, a Thursday: half-hours of the worked example's 0.8 kW, evenings and all. */
const someDays = (count: number, kwh = 0.4) =>
  Array.from({ length: count }, (_, i) => ({
    date: new Date(Date.UTC(2027, 0, 13 - i)).toISOString().slice(0, 10),
    kwh: Array.from({ length: 48 }, () => kwh),
  }))

describe('half-hours of the local clock', () => {
  const clockOf = (timeZone: string) => {
    const format = new Intl.DateTimeFormat('en-CA', {
      timeZone,
      hourCycle: 'h23',
      year: 'numeric',
      month: '2-digit',
      day: '2-digit',
      hour: '2-digit',
      minute: '2-digit',
    })
    return (at: number) => {
      const part = Object.fromEntries(format.formatToParts(at).map((p) => [p.type, p.value]))
      return {
        day: Date.UTC(Number(part.year), Number(part.month) - 1, Number(part.day)) / 86_400_000,
        half: Number(part.hour) * 2 + (Number(part.minute) >= 30 ? 1 : 0),
      }
    }
  }
  it.each([
    ['America/Halifax', '2027-03-14T04:00:00Z', 46], // the clock skips 02:00-03:00
    ['America/Halifax', '2027-11-07T03:00:00Z', 50], // 01:00-02:00 comes twice
    ['America/Halifax', '2027-01-14T04:00:00Z', 48],
    ['Australia/Lord_Howe', '2027-04-03T13:00:00Z', 49], // half an hour comes twice
    ['Asia/Kathmandu', '2027-01-13T18:15:00Z', 48], // 5 h 45 min ahead
  ])('%s from %s has %i', (timeZone, midnight, count) => {
    const start = Date.parse(midnight)
    const hours = halfHoursOf(timeZone, {
      start: asInstant(start),
      end: asInstant(start + count * 1_800_000),
    })
    const clock = clockOf(timeZone)
    expect(hours).toHaveLength(count)
    for (const { start: at, ...place } of hours) expect(place).toEqual(clock(at))
    expect(new Set(hours.map(({ day }) => day)).size).toBe(1)
    expect(clock(start + count * 1_800_000).day).toBe((hours[0]?.day ?? 0) + 1)
  })

  it('begins on the half-hour that a reading falls into', () => {
    const [first] = halfHoursOf('America/Halifax', {
      start: asInstant(Date.parse('2027-01-14T17:10:00Z')),
      end: asInstant(Date.parse('2027-01-14T18:00:00Z')),
    })
    expect(first).toMatchObject({ start: Date.parse('2027-01-14T17:00:00Z'), half: 26 })
  })
})

describe('a plan over past days', () => {
  it('of days like the worked example is its plan without the margin', async () => {
    const { margin: _margin, ...request } = planRequest()
    const answer = await plan({
      ...request,
      timeZone: 'America/Halifax',
      load: { days: someDays(60) },
      maxReadings: 0,
    })
    expect(answer.status).toBe(200)
    expect(PlanAnswer.parse(answer.body)).toEqual(answer.body)
    const [event] = answer.body.events as Record<string, unknown>[]
    // (5.28 - 0.96 - 0.912281) / 0.842105 = 4.0467 h after 13:00.
    expect(event).toMatchObject({
      verdict: 'hold',
      holdBy: '2027-01-14T21:02:48Z',
      holdAtPct: 20,
      nextReadingAt: null,
      confidence: { days: 40, coveredOn: 40, stage: 0.9 },
    })
    expect(answer.body.cautions).toEqual([])
  })

  it('explains which of the days decides, and its sums', async () => {
    const answer = await plan({
      ...planRequest(),
      margin: undefined,
      load: { days: someDays(60) },
      maxReadings: 0,
    })
    const [event] = answer.body.events as { explanation: { what: string; sum: string }[] }[]
    const sums = event?.explanation.map(({ sum }) => sum) ?? []
    // (5.28 - 0.96 - 0.9123) / 0.8421 = 4.0467 h after 13:00; 41 days, of which a tenth may be late.
    expect(sums).toContain('41 × 0.1')
    expect(sums).toContain('40 ÷ 40 × 100')
    expect(sums.at(-1)).toBe('13:00 + 4 h 2 min')
  })

  it('asks for a reading at the hold, where readings are left', async () => {
    const answer = await plan({
      ...planRequest(),
      timeZone: 'America/Halifax',
      load: { days: someDays(60) },
    })
    const [event] = answer.body.events as Record<string, unknown>[]
    expect(event?.nextReadingAt).toBe(event?.holdBy)
    expect(event?.nextReadingAt).not.toBeNull()
  })

  it('says how many days are missing', async () => {
    const answer = await plan({
      ...planRequest(),
      timeZone: 'America/Halifax',
      load: { days: someDays(5) },
    })
    expect(answer.status).toBe(200)
    // With readings, weekends stand in for weekdays too; without, only days of the same kind.
    expect(String(answer.body.cautions)).toMatch(/5 comparable ones.*9 are needed/)
    const unwatched = await plan({
      ...planRequest(),
      timeZone: 'America/Halifax',
      load: { days: someDays(5) },
      maxReadings: 0,
    })
    expect(String(unwatched.body.cautions)).toMatch(/3 comparable ones.*9 are needed/)
  })

  it.each([
    ['only days of the other kind', { load: { days: someDays(5).slice(3) }, maxReadings: 0 }],
    [
      'only days that are not past',
      { load: { days: [{ ...someDays(1)[0], date: '2027-01-14' }] } },
    ],
    [
      'an event too far ahead',
      {
        load: { days: someDays(9) },
        events: [{ start: '2027-01-24T17:30:00-04:00', end: '2027-01-24T18:30:00-04:00' }],
      },
    ],
  ])('%s: refused at load.days', async (_what, change) => {
    const answer = await plan({ ...planRequest(), timeZone: 'America/Halifax', ...change })
    expect(answer.status).toBe(422)
    expect(answer.body).toMatchObject({ errors: [{ pointer: '#/load/days' }] })
  })
})
