// Laws: whatever is sent, the answer is JSON, never a fault of ours, and a refusal says the same in body and status.

import * as fc from 'fast-check'
import { expect, it, vi } from 'vitest'
import { PlanAnswer, ProblemAnswer } from '../../src/web/api/schemas/answers.ts'
import { api, newHousehold, planRequest } from './given.ts'

// Other work may share the machine.
vi.setConfig({ testTimeout: 60_000 })

const home = api()
await home.call('POST', '/api/households', newHousehold())

async function holds(method: string, path: string, body: unknown, headers = {}) {
  const answer = await home.call(method, path, body, headers)
  expect(answer.status).toBeLessThan(500)
  if (answer.status < 400) return answer
  expect(answer.headers.get('content-type')).toBe('application/problem+json')
  expect(ProblemAnswer.parse(answer.body).status).toBe(answer.status)
  for (const { pointer } of answer.body.errors ?? [])
    expect(pointer).toMatch(/^#(\/([\w.!*'()-]|%[0-9A-F]{2}|~[01])*)*$/)
  return answer
}

const anyJson = fc.jsonValue({ maxDepth: 4 })

// One value somewhere in a valid request replaced by any other, or a field added.
const places = (value: unknown, path: string[] = []): string[][] =>
  typeof value !== 'object' || value === null
    ? [path]
    : [path, ...Object.entries(value).flatMap(([name, inner]) => places(inner, [...path, name]))]

const replaced = (value: unknown, [name, ...rest]: string[], by: unknown): unknown => {
  if (name === undefined) return by
  const copy: unknown = Array.isArray(value) ? [...value] : { ...(value as object) }
  const fields = copy as Record<string, unknown>
  fields[name] = replaced(fields[name], rest, by)
  return copy
}

const full = {
  ...planRequest(),
  battery: {
    ...planRequest().battery,
    maxChargeKw: 3,
    chargeEfficiency: 0.9,
    standbyKw: 0.01,
    taper: { fromPct: 90, toKw: 0.3 },
  },
  load: { steps: [{ start: '2027-01-14T12:00:00-04:00', kw: 0.5 }] },
  solar: { steps: [{ start: '2027-01-14T12:00:00-04:00', kw: 1.2 }] },
  rule: { pctPerHour: 15, extraHours: 1 },
  topUp: { windows: [{ start: '2027-01-14T14:00:00-04:00', end: '2027-01-14T16:00:00-04:00' }] },
  outOfReach: [{ start: '2027-01-14T15:00:00-04:00', end: '2027-01-14T17:00:00-04:00' }],
  unitRates: [{ start: '2027-01-14T12:00:00-04:00', perKwh: 0.31 }],
  cheapest: true,
  maxActions: 4,
  reward: { perKwh: 1.5, baselineKwh: [0.8] },
}

const nasty = fc.oneof(
  anyJson,
  fc.constantFrom<unknown>(
    0,
    -0,
    5e-324,
    1e-300,
    1e308,
    -1,
    1000,
    100,
    1e21,
    '',
    '2027-01-14T21:30:00Z',
    '2200-12-31T23:59:59Z',
    '2000-01-01T00:00:00Z',
    null,
    [],
    {},
  ),
  fc.double({ noDefaultInfinity: true, noNaN: true }),
)

const whole = (request: unknown, path: string) =>
  fc.asyncProperty(fc.constantFrom(...places(request)), nasty, async (place, by) => {
    await holds('POST', path, replaced(request, place, by))
  })

it('any text as a body is answered, never with a 5xx', () =>
  fc.assert(
    fc.asyncProperty(fc.string({ unit: 'binary' }), (text) =>
      holds('POST', '/api/plan', text).then(() => undefined),
    ),
    { numRuns: 300 },
  ))

it('any bytes as a body are answered, never with a 5xx', () =>
  fc.assert(
    fc.asyncProperty(fc.uint8Array(), (bytes) =>
      holds('POST', '/api/plan', bytes).then(() => undefined),
    ),
    { numRuns: 300 },
  ))

it('any JSON as a body is answered, never with a 5xx', () =>
  fc.assert(
    fc.asyncProperty(
      fc.constantFrom(
        'plan',
        'households',
        'events',
        'readings',
        'messages',
        'reminders/hold-e1-1/snooze',
        'reminders/hold-e1-1/acknowledge',
      ),
      fc.oneof(anyJson, fc.dictionary(fc.string(), anyJson)),
      (path, json) => holds('POST', `/api/${path}`, json).then(() => undefined),
    ),
    { numRuns: 1000 },
  ))

it('a request with one value replaced is answered, never with a 5xx', () =>
  fc.assert(whole(full, '/api/plan'), { numRuns: 1000 }))

it('a household with one value replaced is answered, never with a 5xx', () =>
  fc.assert(
    whole({ ...newHousehold(), webhook: { url: 'https://hooks.example.com/' } }, '/api/households'),
    { numRuns: 1000 },
  ))

it('any header of authorization is answered, never with a 5xx', () =>
  fc.assert(
    fc.asyncProperty(fc.string({ unit: 'grapheme-ascii' }), (authorization) =>
      holds('GET', '/api/household', undefined, { authorization }).then(() => undefined),
    ),
  ))

it('within the bounds every plan has the form of the contract, all of it finite', () => {
  const kw = fc.double({ min: 0, max: 20, noNaN: true })
  const request = fc.record({
    capacityKwh: fc.double({ min: 0.5, max: 1000, noNaN: true }),
    socPct: fc.double({ min: 0, max: 100, noNaN: true }),
    outageReservePct: fc.double({ min: 0, max: 90, noNaN: true }),
    standbyKw: fc.double({ min: 0, max: 1, noNaN: true }),
    load: kw,
    sun: kw,
    hours: fc.double({ min: 0.1, max: 24, noNaN: true }),
    after: fc.double({ min: 0, max: 48, noNaN: true }),
    lead: fc.integer({ min: 0, max: 60 }),
    perKwh: fc.double({ min: -1e6, max: 1e6, noNaN: true }),
    baselineKwh: fc.option(fc.double({ min: 0, max: 1e6, noNaN: true })),
  })
  return fc.assert(
    fc.asyncProperty(request, async (r) => {
      const now = Date.parse(planRequest().now)
      const text = (hours: number) => new Date(now + hours * 3_600_000).toISOString()
      const answer = await holds('POST', '/api/plan', {
        ...planRequest(),
        battery: {
          capacityKwh: r.capacityKwh,
          outageReservePct: r.outageReservePct,
          standbyKw: r.standbyKw,
        },
        reading: { at: planRequest().now, socPct: r.socPct },
        load: { kw: r.load },
        solar: { steps: [{ start: text(0), kw: r.sun }] },
        events: [{ start: text(r.after), end: text(r.after + r.hours) }],
        releaseLeadMinutes: r.lead,
        unitRates: [
          { start: text(-1), perKwh: r.perKwh },
          { start: text(r.after / 2), perKwh: -r.perKwh },
        ],
        reward: { perKwh: Math.abs(r.perKwh), baselineKwh: [r.baselineKwh] },
      })
      expect(answer.status).toBe(200)
      // A number that is not finite would stand as null here, and not parse.
      const plan = PlanAnswer.parse(answer.body)
      for (const event of plan.events) {
        if (event.holdBy === null) continue
        expect(Date.parse(event.holdBy)).toBeGreaterThanOrEqual(now)
        expect(Date.parse(event.holdBy)).toBeLessThanOrEqual(Date.parse(event.start))
      }
    }),
    { numRuns: 500 },
  )
})
