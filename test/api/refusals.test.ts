// Bad input to `POST /api/plan`: a 4xx problem (RFC 9457) with a pointer (RFC 6901) to the field.

import { describe, expect, it } from 'vitest'
import { api, planRequest } from './given.ts'

const { call } = api()
const valid = planRequest()

/** The valid request with one field spoilt, in JSON text so that 1e999 and "__proto__" survive. */
const spoilt = (change: object) => ({ ...valid, ...change })
const battery = (change: object) => spoilt({ battery: { ...valid.battery, ...change } })
const event = (start: string, end: string) => spoilt({ events: [{ start, end }] })
const raw = (field: string, json: string) =>
  JSON.stringify({ ...valid, [field]: 0 }).replace(`"${field}":0`, `"${field}":${json}`)

/** The valid request, blank up to so many bytes. */
const padded = (bytes: number) => {
  const text = JSON.stringify(valid)
  return text + ' '.repeat(bytes - text.length)
}

const RATES = [{ start: '2027-01-14T00:00:00-04:00', perKwh: 0.3 }]

const hour = (n: number) => {
  const start = Date.parse('2027-01-15T00:00:00Z') + n * 3_600_000
  return {
    start: new Date(start).toISOString(),
    end: new Date(start + 1_800_000).toISOString(),
  }
}

it('twenty events are fine', async () => {
  const events = Array.from({ length: 20 }, (_, n) => hour(n))
  expect((await call('POST', '/api/plan', spoilt({ events }))).status).toBe(200)
})

it.each<[string, unknown, number, string]>([
  ['an unknown field', spoilt({ evnets: [] }), 400, '#/evnets'],
  ['an unknown field inside', battery({ capacityKWh: 5 }), 400, '#/battery/capacityKWh'],
  ['a name to escape', spoilt({ 'a/b~c é"': 1 }), 400, '#/a~1b~0c%20%C3%A9%22'],
  ['a prototype key', raw('x', '1').replace('"x"', '"__proto__"'), 400, '#/__proto__'],
  ['a prototype key inside', raw('load', '{"kw":1,"__proto__":{"kw":2}}'), 400, '#/load/__proto__'],
  ['a constructor key', spoilt({ constructor: { prototype: {} } }), 400, '#/constructor'],
  ['a repeated name', raw('reading', '{"at":"x","socPct":1,"socPct":2}'), 400, '#/reading/socPct'],
  ['a name repeated in escapes', raw('reading', '{"at":"x","\\u0061t":1}'), 400, '#/reading/at'],
  ['no battery', spoilt({ battery: undefined }), 400, '#/battery'],
  ['no load', spoilt({ load: undefined }), 400, '#/load'],
  ['no capacity', battery({ capacityKwh: undefined }), 400, '#/battery/capacityKwh'],
  ['a capacity in quotes', battery({ capacityKwh: '9.6' }), 400, '#/battery/capacityKwh'],
  ['a capacity of 0', battery({ capacityKwh: 0 }), 400, '#/battery/capacityKwh'],
  ['a negative capacity', battery({ capacityKwh: -1 }), 400, '#/battery/capacityKwh'],
  ['a capacity of 1e308', battery({ capacityKwh: 1e308 }), 400, '#/battery/capacityKwh'],
  ['an infinite capacity', raw('battery', '{"capacityKwh":1e999}'), 400, '#/battery/capacityKwh'],
  ['a capacity of next to nothing', battery({ capacityKwh: 5e-324 }), 400, '#/battery/capacityKwh'],
  ['a capacity over 1000', battery({ capacityKwh: 1000.1 }), 400, '#/battery/capacityKwh'],
  [
    'an outage reserve over 90',
    battery({ outageReservePct: 91 }),
    400,
    '#/battery/outageReservePct',
  ],
  [
    'an efficiency over 1',
    battery({ dischargeEfficiency: 1.01 }),
    400,
    '#/battery/dischargeEfficiency',
  ],
  [
    'an efficiency under 0.5',
    battery({ chargeEfficiency: 0.49 }),
    400,
    '#/battery/chargeEfficiency',
  ],
  ['a negative standing loss', battery({ standbyKw: -0.1 }), 400, '#/battery/standbyKw'],
  ['a discharge limit of 0', battery({ maxDischargeKw: 0 }), 400, '#/battery/maxDischargeKw'],
  [
    'a taper from 100 %',
    battery({ maxChargeKw: 3, taper: { fromPct: 100, toKw: 1 } }),
    400,
    '#/battery/taper/fromPct',
  ],
  [
    'a taper without limit',
    battery({ taper: { fromPct: 90, toKw: 0.3 } }),
    422,
    '#/battery/maxChargeKw',
  ],
  [
    'a taper over the limit',
    battery({ maxChargeKw: 3, taper: { fromPct: 90, toKw: 4 } }),
    422,
    '#/battery/taper/toKw',
  ],
  [
    'a charge over 100 %',
    spoilt({ reading: { at: valid.now, socPct: 101 } }),
    400,
    '#/reading/socPct',
  ],
  [
    'a reading in the future',
    spoilt({ reading: { at: '2027-01-14T13:00:01-04:00', socPct: 5 } }),
    422,
    '#/reading/at',
  ],
  ['a negative load', spoilt({ load: { kw: -1 } }), 400, '#/load/kw'],
  ['two loads', spoilt({ load: { kw: 1, steps: [] } }), 400, '#/load'],
  ['a load that is a number', spoilt({ load: 1 }), 400, '#/load'],
  ['no steps', spoilt({ load: { steps: [] } }), 400, '#/load/steps'],
  [
    'two steps at once',
    spoilt({
      load: {
        steps: [
          { start: valid.now, kw: 1 },
          { start: '2027-01-14T17:00:00Z', kw: 2 },
        ],
      },
    }),
    400,
    '#/load/steps/1/start',
  ],
  [
    '47 half-hours',
    spoilt({ load: { days: [{ date: '2027-01-13', kwh: Array.from({ length: 47 }, () => 0) }] } }),
    400,
    '#/load/days/0/kwh',
  ],
  [
    'days without a zone',
    spoilt({
      timeZone: undefined,
      load: { days: [{ date: '2027-01-13', kwh: Array.from({ length: 48 }, () => 0) }] },
    }),
    400,
    '#/timeZone',
  ],
  [
    'a day that is none',
    spoilt({ load: { days: [{ date: '2027-02-29', kwh: Array.from({ length: 48 }, () => 0) }] } }),
    400,
    '#/load/days/0/date',
  ],
  ['two margins', spoilt({ margin: { pct: 5, kwh: 1 } }), 400, '#/margin'],
  ['a negative margin', spoilt({ margin: { kwh: -1 } }), 400, '#/margin/kwh'],
  ['a lead over an hour', spoilt({ releaseLeadMinutes: 61 }), 400, '#/releaseLeadMinutes'],
  ['a confidence of 1', spoilt({ confidence: 1 }), 400, '#/confidence'],
  ['half a reading', spoilt({ maxReadings: 1.5 }), 400, '#/maxReadings'],
  ['cheapest without rates', spoilt({ cheapest: true }), 400, '#/unitRates'],
  [
    'a reward without rates',
    spoilt({ reward: { perKwh: 1, baselineKwh: [1] } }),
    400,
    '#/unitRates',
  ],
  ['more actions without cheapest', spoilt({ maxActions: 4 }), 400, '#/cheapest'],
  ['one action', spoilt({ maxActions: 1 }), 400, '#/maxActions'],
  ['too many actions', spoilt({ maxActions: 7 }), 400, '#/maxActions'],
  [
    'a baseline for none of the events',
    spoilt({ unitRates: RATES, reward: { perKwh: 1, baselineKwh: [1, null] } }),
    400,
    '#/reward/baselineKwh',
  ],
  [
    'a baseline under nothing',
    spoilt({ unitRates: RATES, reward: { perKwh: 1, baselineKwh: [-1] } }),
    400,
    '#/reward/baselineKwh/0',
  ],
  [
    'a negative reward',
    spoilt({ unitRates: RATES, reward: { perKwh: -1, baselineKwh: [1] } }),
    400,
    '#/reward/perKwh',
  ],
  [
    'a top-up without limit',
    spoilt({ topUp: { windows: [{ start: valid.now, end: '2027-01-14T15:00:00-04:00' }] } }),
    422,
    '#/battery/maxChargeKw',
  ],
  [
    'a reversed window',
    spoilt({ outOfReach: [{ start: valid.now, end: valid.now }] }),
    400,
    '#/outOfReach/0/end',
  ],
  ['a zone that is none', spoilt({ timeZone: 'Mars/Olympus' }), 400, '#/timeZone'],
  // Intl takes these, each for one of the several places that use the letters.
  ['EST for a zone', spoilt({ timeZone: 'EST' }), 400, '#/timeZone'],
  ['IST for a zone', spoilt({ timeZone: 'IST' }), 400, '#/timeZone'],
  ['AST for a zone', spoilt({ timeZone: 'AST' }), 400, '#/timeZone'],
  ['an offset for a zone', spoilt({ timeZone: '+04:00' }), 400, '#/timeZone'],
  ['markup for a zone', spoilt({ timeZone: '<script>alert(1)</script> 🔋' }), 400, '#/timeZone'],
  ['no events', spoilt({ events: [] }), 400, '#/events'],
  ['21 events', spoilt({ events: Array.from({ length: 21 }, (_, n) => hour(n)) }), 400, '#/events'],
  [
    'an event in the past',
    event('2027-01-14T10:00:00-04:00', '2027-01-14T11:00:00-04:00'),
    422,
    '#/events/0/end',
  ],
  [
    'a reversed event',
    event('2027-01-14T18:30:00-04:00', '2027-01-14T17:30:00-04:00'),
    422,
    '#/events/0/end',
  ],
  [
    'an event of no length',
    event('2027-01-14T18:30:00-04:00', '2027-01-14T18:30:00-04:00'),
    422,
    '#/events/0/end',
  ],
  [
    'an event over a day',
    event('2027-01-14T18:30:00-04:00', '2027-01-15T18:30:01-04:00'),
    400,
    '#/events/0/end',
  ],
  [
    'overlapping events',
    spoilt({ events: [hour(0), { start: '2027-01-15T00:15:00Z', end: '2027-01-15T01:00:00Z' }] }),
    422,
    '#/events/1',
  ],
  ['an instant without offset', spoilt({ now: '2027-01-14T13:00:00' }), 400, '#/now'],
  ['an instant without seconds', spoilt({ now: '2027-01-14T13:00-04:00' }), 400, '#/now'],
  ['a leap second', spoilt({ now: '2016-12-31T23:59:60Z' }), 400, '#/now'],
  ['a 29 February that is none', spoilt({ now: '2027-02-29T13:00:00Z' }), 400, '#/now'],
  ['an hour 24', spoilt({ now: '2027-01-14T24:00:00Z' }), 400, '#/now'],
  ['the year 1999', spoilt({ now: '1999-12-31T23:59:59Z' }), 400, '#/now'],
  ['the year 2201', spoilt({ now: '2201-01-01T00:00:00Z' }), 400, '#/now'],
  ['CR LF after an instant', spoilt({ now: '2027-01-14T13:00:00Z\r\n' }), 400, '#/now'],
  ['an instant as a number', spoilt({ now: 1_800_000_000_000 }), 400, '#/now'],
  ['deep nesting', raw('load', '['.repeat(200_000) + ']'.repeat(200_000)), 400, '#/load'],
])('%s', async (_, body, status, pointer) => {
  const answer = await call('POST', '/api/plan', body)
  expect(answer.status).toBe(status)
  expect(answer.headers.get('content-type')).toBe('application/problem+json')
  expect(answer.body.status).toBe(status)
  expect(answer.body.errors?.map((each) => each.pointer)).toEqual([pointer])
})

describe('a body that cannot be read', () => {
  const json = { 'content-type': 'application/json' }
  it.each<[string, string | Uint8Array, Record<string, string>, number, string]>([
    ['empty', '', json, 400, 'unreadable-body'],
    ['blank', ' \n', json, 400, 'unreadable-body'],
    ['a list', '[]', json, 400, 'unreadable-body'],
    ['null', 'null', json, 400, 'unreadable-body'],
    ['a number', '1', json, 400, 'unreadable-body'],
    ['NaN', '{"now":NaN}', json, 400, 'unreadable-body'],
    ['cut off', '{"now":', json, 400, 'unreadable-body'],
    ['binary', new Uint8Array([0xff, 0xfe, 0x00, 0x80]), json, 400, 'unreadable-body'],
    ['a zero byte', new Uint8Array([0]), json, 400, 'unreadable-body'],
    ['of another type', '{}', { 'content-type': 'text/plain' }, 415, 'unsupported-media-type'],
    [
      'a form',
      'now=1',
      { 'content-type': 'application/x-www-form-urlencoded' },
      415,
      'unsupported-media-type',
    ],
    ['1 MiB + 1', padded(1024 * 1024 + 1), json, 413, 'body-too-large'],
    [
      'declared as too large',
      '{}',
      { ...json, 'content-length': '9999999999' },
      413,
      'body-too-large',
    ],
  ])('%s', async (_, body, headers, status, type) => {
    const answer = await call('POST', '/api/plan', body, headers)
    expect(answer.status).toBe(status)
    expect(answer.headers.get('content-type')).toBe('application/problem+json')
    expect(answer.body).toMatchObject({ type: `/problems/${type}`, status })
  })

  it('is read up to 1 MiB, with a charset, and behind a byte order mark', async () => {
    const headers = { 'content-type': 'application/json; charset=utf-8' }
    const answer = await call('POST', '/api/plan', padded(1024 * 1024), headers)
    expect(answer.status).toBe(200)
    expect((await call('POST', '/api/plan', `\uFEFF${JSON.stringify(valid)}`)).status).toBe(200)
  })
})

describe('addresses and methods', () => {
  it.each([
    ['GET', '/api/plan', 405, 'POST'],
    ['PUT', '/api/household', 405, 'GET, HEAD, PATCH, DELETE'],
    ['GET', '/api/reminders/x/snooze', 405, 'POST'],
    ['POST', '/healthz', 405, 'GET, HEAD'],
    ['GET', '/api/nothing', 404, null],
    ['POST', '/api/plan/', 404, null],
    ['GET', '/api/%E0%A4%A', 404, null],
  ])('%s %s is %d', async (method, path, status, allow) => {
    const answer = await call(method, path)
    expect(answer.status).toBe(status)
    expect(answer.headers.get('content-type')).toBe('application/problem+json')
    // RFC 9110 §15.5.6: a 405 carries Allow.
    expect(answer.headers.get('allow')).toBe(allow)
  })

  it('a fault of our own is a 500 problem that tells nothing of the inside', async () => {
    const broken = api()
    broken.tools.open = () => Promise.reject(new Error('the secret detail'))
    const answer = await broken.call('GET', '/api/household')
    expect(answer.status).toBe(500)
    expect(JSON.stringify(answer.body)).not.toContain('secret')
  })
})

it('at most fifty fields are listed, and all are counted', async () => {
  const steps = Array.from({ length: 300 }, () => ({ start: 'x', kw: 1 }))
  const answer = await call('POST', '/api/plan', spoilt({ solar: { steps } }))
  expect(answer.body.errors).toHaveLength(50)
  expect(answer.body.detail).toContain('300')
})
