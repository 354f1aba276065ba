// `POST /api/plan` against the worked example of the model (§3, checked there by a one-second simulation
// and by hand) and against the answer that the HTTP contract shows.

import { describe, expect, it } from 'vitest'
import { PlanAnswer } from '../../src/web/api/schemas/answers.ts'
import { api, planRequest } from './given.ts'

const { call } = api()
const plan = (body: unknown) => call('POST', '/api/plan', body)

describe('the worked example', async () => {
  const answer = await plan(planRequest())
  const events = answer.body.events as Record<string, unknown>[]
  const event = events[0] ?? {}

  it('is answered with 200 and JSON', () => {
    expect(answer.status).toBe(200)
    expect(answer.headers.get('content-type')).toMatch(/^application\/json/)
    expect(PlanAnswer.parse(answer.body)).toEqual(answer.body)
  })

  // Each figure stands in the contract's example answer.
  it.each([
    ['start', '2027-01-14T21:30:00Z'],
    ['end', '2027-01-14T22:30:00Z'],
    ['verdict', 'hold'],
    ['holdBy', '2027-01-14T20:28:36Z'],
    ['holdAtPct', 25],
    ['releaseAt', '2027-01-14T21:25:00Z'],
    ['nextReadingAt', null],
    ['topUp', null],
    ['short', null],
    ['confidence', null],
  ])('%s is %s', (field, value) => {
    expect(event[field]).toEqual(value)
  })

  it.each([
    ['needKwh', 0.9123, 4],
    ['reserveKwh', 2.3523, 4],
    ['reservePct', 24.503, 3],
    ['marginLeftKwh', 0.48, 9],
  ])('%s is %d to %d decimals', (field, value, decimals) => {
    expect(event[field]).toBeCloseTo(value, decimals)
  })

  it('names exactly the fields of the contract', () => {
    expect(Object.keys(answer.body)).toEqual(['events', 'trajectory', 'cautions', 'worth'])
    expect(Object.keys(event)).toEqual([
      'start',
      'end',
      'verdict',
      'needKwh',
      'reserveKwh',
      'reservePct',
      'holdBy',
      'holdAtPct',
      'releaseAt',
      'nextReadingAt',
      'marginLeftKwh',
      'topUp',
      'short',
      'confidence',
      'explanation',
    ])
  })

  it('explains each figure by a sum', () => {
    expect(event['explanation']).toContainEqual({
      what: 'Together: to have at 17:25',
      sum: '0.91 + 0.96 + 0.48',
      value: '2.35',
      unit: 'kWh',
    })
    expect((event['explanation'] as unknown[]).at(-1)).toEqual({
      what: 'Hold on Thu 14 Jan by',
      sum: '13:00 + 3 h 28 min',
      value: '16:28',
      unit: '',
    })
  })

  it('draws the trajectory from now to the end of the event', () => {
    const points = answer.body.trajectory as Record<string, unknown>[]
    expect(points[0]).toMatchObject({ at: '2027-01-14T17:00:00Z', socPct: 55, mode: 'run' })
    expect(points.at(-1)).toMatchObject({ at: '2027-01-14T22:30:00Z' })
    expect(points.map((point) => point.mode)).toContain('hold')
  })

  it('has nothing to caution of', () => {
    expect(answer.body.cautions).toEqual([])
  })
})

describe('defaults', () => {
  it('are those of the contract: nothing changes when they are written out', async () => {
    const { margin: _, releaseLeadMinutes: __, battery, ...rest } = planRequest()
    const short = { ...rest, battery: { capacityKwh: battery.capacityKwh, maxDischargeKw: 3.6 } }
    const long = {
      ...planRequest(),
      battery: {
        capacityKwh: 9.6,
        outageReservePct: 10,
        maxDischargeKw: 3.6,
        dischargeEfficiency: 0.95,
        chargeEfficiency: 0.95,
        standbyKw: 0,
      },
      confidence: 0.9,
      maxReadings: 2,
      cheapest: false,
      maxActions: 2,
      outOfReach: [],
    }
    expect((await plan(short)).body).toEqual((await plan(long)).body)
    expect((await plan(short)).body).toEqual((await plan(planRequest())).body)
  })
})

describe('what is fine', () => {
  it.each<[string, object]>([
    ['a lower-case t and z', { now: '2027-01-14t17:00:00z' }],
    ['upper-case Z', { now: '2027-01-14T17:00:00Z' }],
    ['another offset for the same instant', { now: '2027-01-14T17:00:00.000+00:00' }],
    [
      'steps in any order',
      {
        load: {
          steps: [
            { start: '2027-01-14T15:00:00-04:00', kw: 0.8 },
            { start: '2027-01-14T12:00:00-04:00', kw: 0.8 },
          ],
        },
      },
    ],
    [
      'no limits written as null',
      { battery: { capacityKwh: 9.6, maxDischargeKw: null, taper: null } },
    ],
    [
      'rates that are not asked about',
      { unitRates: [{ start: '2027-01-14T12:00:00Z', perKwh: 0.3 }] },
    ],
  ])('%s', async (_, change) => {
    const answer = await plan({ ...planRequest(), ...change })
    expect(answer.body).toMatchObject({ events: [{ holdBy: '2027-01-14T20:28:36Z' }] })
  })

  // Clock changes of America/Halifax in 2027: 14 March and 7 November, 2:00 (IANA tz database).
  it.each([
    ['spring', '2027-03-14T01:30:00-04:00', '2027-03-14T03:30:00-03:00', 1],
    ['autumn', '2027-11-07T00:30:00-03:00', '2027-11-07T02:30:00-04:00', 3],
  ])(
    'an event across the clock change in %s counts its real hours',
    async (_, start, end, hours) => {
      const now = new Date(Date.parse(start) - 3_600_000).toISOString()
      const answer = await plan({
        ...planRequest(),
        now,
        reading: { at: now, socPct: 80 },
        events: [{ start, end }],
        releaseLeadMinutes: 0,
      })
      const [event] = answer.body.events as { needKwh: number }[]
      expect(event?.needKwh).toBeCloseTo((0.8 * hours) / 0.95, 9)
    },
  )

  it('an old reading, with a caution', async () => {
    const answer = await plan({
      ...planRequest(),
      reading: { at: '2027-01-13T12:00:00-04:00', socPct: 95 },
    })
    expect(answer.status).toBe(200)
    expect(answer.body.cautions).toEqual([
      'The reading is 25 h old: look again, the time to hold may have moved.',
    ])
  })

  it('a load that starts after the reading, with a caution', async () => {
    const answer = await plan({
      ...planRequest(),
      load: { steps: [{ start: '2027-01-14T16:00:00-04:00', kw: 0.8 }] },
    })
    expect(answer.status).toBe(200)
    expect(answer.body.cautions).toHaveLength(1)
  })

  it('a load over the limit, with a caution in kW', async () => {
    const answer = await plan({ ...planRequest(), load: { kw: 5 } })
    expect(answer.status).toBe(200)
    expect(String(answer.body.cautions)).toMatch(/5\.00\u00a0kW.*3\.60\u00a0kW/)
  })

  it('a now with milliseconds: the hold is never told earlier than now', async () => {
    const answer = await plan({
      ...planRequest(),
      now: '2027-01-14T20:50:00.750Z',
      reading: { at: '2027-01-14T20:50:00.750Z', socPct: 20 },
    })
    expect(answer.body).toMatchObject({
      events: [{ verdict: 'hold-now', holdBy: '2027-01-14T20:50:00.750Z' }],
    })
  })
})

describe('the cheapest hold', () => {
  // Dear from 16:00 to the release at 17:25: the hold ends when the dear hours begin (worked in test/plan/cheapest.test.ts).
  const unitRates = [
    { start: '2027-01-14T00:00:00-04:00', perKwh: 0.1 },
    { start: '2027-01-14T16:00:00-04:00', perKwh: 0.5 },
    { start: '2027-01-14T17:25:00-04:00', perKwh: 0.1 },
  ]
  const cheapest = { cheapest: true, unitRates }

  // 2.06 h after 13:00, to the second: rounding may tell the one before.
  it('lets the battery run again before dear hours', async () => {
    const answer = await plan({ ...planRequest(), ...cheapest })
    expect(answer.status).toBe(200)
    expect(PlanAnswer.parse(answer.body)).toEqual(answer.body)
    expect(answer.body).toMatchObject({
      events: [
        {
          verdict: 'hold',
          holdBy: expect.stringMatching(/T19:03:3[56]Z$/),
          releaseAt: '2027-01-14T20:00:00Z',
        },
      ],
      cautions: [],
    })
  })

  it('without cheapest is the latest, whatever the rates', async () => {
    const answer = await plan({ ...planRequest(), unitRates })
    expect(answer.body).toMatchObject({ events: [{ holdBy: '2027-01-14T20:28:36Z' }] })
  })

  it('says where it is not looked for', async () => {
    const answer = await plan({
      ...planRequest(),
      ...cheapest,
      battery: { ...planRequest().battery, maxChargeKw: 3 },
      topUp: {
        windows: [{ start: '2027-01-14T14:00:00-04:00', end: '2027-01-14T15:00:00-04:00' }],
      },
    })
    expect(String(answer.body.cautions)).toMatch(/not the cheapest/)
  })

  it('is refused over past days', async () => {
    const days = [{ date: '2027-01-13', kwh: Array.from({ length: 48 }, () => 0.4) }]
    const answer = await plan({ ...planRequest(), ...cheapest, load: { days } })
    expect(answer.status).toBe(422)
    expect(answer.body).toMatchObject({ errors: [{ pointer: '#/cheapest' }] })
  })
})
