// A meter's file over the API: what is answered for each way in which a file can be, and that no file makes it break.

import fc from 'fast-check'
import { beforeEach, describe, expect, it } from 'vitest'
import * as answers from '../../src/web/api/schemas/answers.ts'
import { isoWall, kwh, rows, seriesFrom, wall } from '../meter/build.ts'
import { api, newHousehold } from './given.ts'

const ZONE = 'America/Halifax'
/** Midnight in Halifax in winter. */
const START = '2026-12-20T04:00:00Z'

let home: ReturnType<typeof api>
beforeEach(async () => {
  home = api()
  await home.call('POST', '/api/households', newHousehold())
})

const send = (body: string | Uint8Array, query = '', type = 'text/csv', more = {}) =>
  home.call('POST', `/api/meter${query}`, body, { 'content-type': type, ...more })

const csv = (start: string, count: number) =>
  rows(
    seriesFrom(start, count),
    (each) => `${new Date(each.start).toISOString()},${kwh(each.wh)}`,
    'start,kWh',
  )

/** By a clock that the file does not name. */
const plain = (count: number, names = 'time,kWh') =>
  rows(
    seriesFrom(START, count),
    (each) => `${isoWall(wall(each.start, ZONE))},${kwh(each.wh)}`,
    names,
  )

describe('POST /api/meter', () => {
  it('takes ten days in, says what was understood, and shows them in the household', async () => {
    const answer = await send(csv(START, 480))
    expect(answer.status).toBe(200)
    const taken = answers.MeterAnswer.parse(answer.body)
    expect(taken).toMatchObject({
      from: '2026-12-20T04:00:00Z',
      until: '2026-12-30T04:00:00Z',
      intervals: 480,
      wholeDays: 10,
      newDays: 10,
      understood: { unit: 'kWh', minutes: 30, stamps: 'start', clock: 'offset', flow: 'import' },
      gaps: { count: 0 },
    })
    expect(taken.said[0]).toBe('10 whole days were read, from 2026-12-20 to 2026-12-29.')
    const seen = await home.call('GET', '/api/household')
    expect(answers.HouseholdAnswer.parse(seen.body).meter).toEqual(taken.meter)
    expect(taken.meter).toEqual({
      takenAt: '2027-01-14T17:00:00Z',
      from: '2026-12-20',
      until: '2026-12-29',
      wholeDays: 10,
      missingDays: 0,
      idleShare: 0,
    })
  })

  it('a later file adds, and counts where both say something', async () => {
    await send(csv(START, 480))
    const more = await send(csv('2026-12-29T04:00:00Z', 96))
    expect(more.body).toMatchObject({ newDays: 1, newHalfHours: 48, replacedHalfHours: 48 })
    expect(home.household().meter?.days).toHaveLength(11)
  })

  it('leaves out what is still to come', async () => {
    // Now is 14 January, 13:00.
    const answer = await send(csv('2027-01-13T04:00:00Z', 96))
    expect(answer.body).toMatchObject({ ahead: 22, wholeDays: 1 })
    const later = await send(csv('2027-01-20T04:00:00Z', 96))
    expect(later.status).toBe(422)
    expect(later.body['detail']).toMatch(/still to come/)
  })

  it('asks with the choices as data, and takes the answer as query parameters', async () => {
    const asked = await send(plain(480))
    expect(asked.status).toBe(409)
    expect(answers.ProblemAnswer.parse(asked.body)).toMatchObject({
      type: '/problems/meter-question',
      question: {
        about: 'clock',
        text: 'Which clock are the times in the file from?',
        choices: [{ answer: { clock: 'local' } }, { answer: { clock: 'utc' } }],
      },
    })
    expect(home.household().meter).toBeNull()
    const answered = await send(plain(480), '?clock=utc')
    expect(answered.body).toMatchObject({
      from: '2026-12-20T00:00:00Z',
      understood: { clock: 'utc' },
    })
  })

  it.each([
    ['?stamp=end', '#/stamp'],
    ['?stamps=middle', '#/stamps'],
    ['?unit=kWh&unit=Wh', '#/unit'],
    ['?column=-1', '#/column'],
  ])('refuses what it does not know: %s', async (query, pointer) => {
    const answer = await send(csv(START, 480), query)
    expect(answer.status).toBe(400)
    expect(answer.body.errors?.map((each) => each.pointer)).toEqual([pointer])
    expect(home.sent).toEqual([])
  })

  it.each<[string, string | Uint8Array, RegExp]>([
    ['gas', plain(96, 'time,gas (m3)'), /gas/],
    ['empty', '\n', /empty/],
    ['packed', new Uint8Array([0x50, 0x4b, 3, 4, 20, 0]), /Unpack/],
    ['bytes', new Uint8Array(4000).fill(1), /not text/],
    [
      'cut off',
      '<?xml version="1.0"?><feed xmlns="http://www.w3.org/2005/Atom"><entry>',
      /damaged/,
    ],
  ])('a refused file (%s) is answered in words and changes nothing', async (_, file, words) => {
    await send(csv(START, 480))
    const before = home.household()
    const answer = await send(file)
    expect(answer.status).toBe(422)
    expect(answer.body['detail']).toMatch(words)
    expect(home.household()).toBe(before)
  })

  it('a year that is missing is told, and the days around it are kept', async () => {
    const file = `${csv('2024-12-01T04:00:00Z', 480)}\n${csv(START, 480).split('\n').slice(1).join('\n')}`
    const answer = await send(file)
    expect(answer.body).toMatchObject({
      wholeDays: 20,
      gaps: { count: 1, first: [{ start: '2024-12-11T04:00:00Z', end: '2026-12-20T04:00:00Z' }] },
      meter: { wholeDays: 20, missingDays: 739 },
    })
  })

  it('takes 5 MiB and not a byte more, whether the length is declared or not', async () => {
    const [names, ...lines] = csv(START, 480).split('\n')
    const note = 'x'.repeat(10_800)
    const padded = [`${names},note`, ...lines.map((line) => `${line},${note}`)].join('\n')
    const large = new TextEncoder().encode(padded.padEnd(5 * 1024 * 1024, 'x'))
    expect(large.length).toBe(5 * 1024 * 1024)
    expect((await send(large)).status).toBe(200)
    const larger = new Uint8Array(large.length + 1).fill(10)
    for (const more of [{}, { 'content-length': String(larger.length) }]) {
      const answer = await send(larger, '', 'text/csv', more)
      expect(answer.status).toBe(413)
      expect(answer.body['detail']).toContain('5242880')
    }
  })

  it.each([
    ['application/json', {}],
    ['multipart/form-data; boundary=x', {}],
    ['text/csv', { 'content-encoding': 'gzip' }],
  ])('%s %j is 415', async (type, more) => {
    expect((await send(csv(START, 96), '', type, more)).status).toBe(415)
  })

  it('never breaks, whatever is sent', async () => {
    const base = plain(96)
    const cut = fc
      .tuple(fc.nat(base.length), fc.string({ unit: 'binary', maxLength: 40 }), fc.nat(200))
      .map(([at, text, gone]) => base.slice(0, at) + text + base.slice(at + gone))
    const queries = fc.constantFrom('', '?column=9999', '?kind=none', '?series=x', '?clock=utc')
    await fc.assert(
      fc.asyncProperty(
        fc.oneof(fc.string({ maxLength: 300 }), cut, fc.uint8Array({ maxLength: 300 })),
        queries,
        async (file, query) => {
          const answer = await send(file, query)
          expect([200, 409, 422]).toContain(answer.status)
          if (answer.status !== 200) answers.ProblemAnswer.parse(answer.body)
        },
      ),
      { numRuns: 150 },
    )
  }, 30_000)
})

describe('GET /api/meter', () => {
  it('gives what is kept, so that it can be taken in again to the same days', async () => {
    expect((await home.call('GET', '/api/meter')).status).toBe(404)
    // Over the end of summer time, hourly, with a gap.
    const hourly = rows(
      {
        minutes: 60,
        intervals: seriesFrom('2026-10-30T03:00:00Z', 200, 60).intervals.filter(
          (_, i) => i !== 150,
        ),
      },
      (each) => `${new Date(each.start).toISOString()},${kwh(each.wh)}`,
      'start,kWh',
    )
    await send(hourly)
    const days = home.household().meter?.days
    const file = await home.call('GET', '/api/meter')
    expect(file.headers.get('content-type')).toMatch(/^text\/csv/)
    await home.call('DELETE', '/api/meter')
    const again = await send(String(file.body['text']))
    expect(again.body).toMatchObject({ newHalfHours: 398, gaps: { count: 1 } })
    expect(home.household().meter?.days).toEqual(days)
  })
})

describe('DELETE /api/meter', () => {
  it('takes all of it away', async () => {
    await send(csv(START, 480))
    expect((await home.call('DELETE', '/api/meter')).status).toBe(204)
    expect((await home.call('GET', '/api/household')).body['meter']).toBeNull()
    const again = await send(csv(START, 480))
    expect(again.body).toMatchObject({ newHalfHours: 480, newDays: 10 })
  })
})
