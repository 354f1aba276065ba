// Meter data in the household's object, in the platform's own runtime: taken, merged, asked about, forgotten.

import { abortAllDurableObjects, runInDurableObject } from 'cloudflare:test'
import { env } from 'cloudflare:workers'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import type { Env } from '../../src/env.ts'
import type { MeterOutcome } from '../../src/household/index.ts'
import { Store } from '../../src/household/store.ts'
import { NO_HABITS } from '../../src/reminder/index.ts'
import { settings } from '../reminder/house.ts'
import { isoWall, kwh, rows, seriesFrom, wall, whAt } from '../meter/build.ts'

const ZONE = 'America/Halifax'
const NOW = Date.parse('2036-01-14T13:00:00-04:00')
const keys = { page: 'p'.repeat(43), feed: 'f'.repeat(43) }

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['Date'] })
  vi.setSystemTime(NOW)
})
afterEach(() => vi.useRealTimers())

const stubOf = (name: string) => (env as unknown as Env).HOUSEHOLD.getByName(name)

async function house(name: string) {
  const stub = stubOf(name)
  await stub.create({
    id: name,
    settings: { ...settings, timeZone: ZONE },
    origin: 'https://holdbell.example',
    keys,
    clock: null,
  })
}

const bytes = (text: string) => new TextEncoder().encode(text)

/** Half-hours from an instant on, as a file in UTC with its offset: nothing to ask. */
const csv = (start: string, count: number, wh = whAt) =>
  rows(
    seriesFrom(start, count, 30, wh),
    (each) => `${new Date(each.start).toISOString()},${kwh(each.wh)}`,
    'start,kWh',
  )

/** The same by the clock on the wall, without a word of which side of the interval a stamp is. */
const ambiguous = (start: string, count: number) =>
  rows(
    seriesFrom(start, count),
    (each) => `${isoWall(wall(each.start, ZONE))},${kwh(each.wh)}`,
    'time,kWh',
  )

const take = async (name: string, text: string | Uint8Array, keep = true) => {
  const file = { bytes: typeof text === 'string' ? bytes(text) : text, answers: {} }
  return (await stubOf(name).takeMeter(keys.page, file, { keep })) as MeterOutcome
}

const taken = (outcome: MeterOutcome) => {
  if (outcome.kind !== 'taken') throw new Error(JSON.stringify(outcome))
  return outcome
}

/** Midnight in Halifax in winter. */
const MIDNIGHT = 'T04:00:00Z'

const pieces = (name: string) =>
  runInDurableObject(stubOf(name), (_, { storage }) =>
    storage.sql
      .exec<{ name: string; bytes: number; rows: number }>(
        'SELECT name, sum(length(body)) AS bytes, count(*) AS rows FROM piece GROUP BY 1 ORDER BY 1',
      )
      .toArray(),
  )

const allTables = (name: string) =>
  runInDurableObject(stubOf(name), (_, { storage }) =>
    storage.sql
      .exec<{ name: string }>(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE '\\_cf%' ESCAPE '\\'",
      )
      .toArray()
      .map((each) => each.name),
  )

const summary = async (name: string) => (await stubOf(name).read(keys.page))?.household.meter

describe('taking a file', () => {
  it('keeps its whole days, tells what was understood, and gives outside the summary alone', async () => {
    await house('take')
    // Ten days and six hours.
    const { report, seen } = taken(await take('take', csv(`2035-12-20${MIDNIGHT}`, 492)))
    expect(seen.household.meter).toEqual({
      takenAt: NOW,
      from: '2035-12-20',
      until: '2035-12-29',
      wholeDays: 10,
      missingDays: 0,
      idleShare: 0,
      days: [],
    })
    expect(report).toMatchObject({
      intervals: 492,
      days: { count: 10, from: '2035-12-20', until: '2035-12-29' },
      newDays: 10,
      newHalfHours: 492,
      replacedHalfHours: 0,
      ahead: 0,
      understood: { unit: 'kWh', minutes: 30, clock: 'offset' },
    })
    expect((await stubOf('take').meter(keys.page))?.last).toEqual(report)
  })

  it('two years fit in two rows, far under the 2 MB that a row can hold', async () => {
    await house('years')
    taken(await take('years', csv(`2034-01-01${MIDNIGHT}`, 35_040)))
    expect(await pieces('years')).toEqual([
      { name: 'days', bytes: 4 + 730 * 196, rows: 1 },
      { name: 'series', bytes: 8 + 2 * 35_040, rows: 1 },
    ])
  })

  it('a later file adds its days, and counts where both say something', async () => {
    await house('merge')
    await take('merge', csv(`2035-12-01${MIDNIGHT}`, 480))
    // Five of the days again with other figures, five new ones, hourly.
    const hourly = rows(
      seriesFrom(`2035-12-06${MIDNIGHT}`, 240, 60, () => 3000),
      (each) => `${new Date(each.start).toISOString()},${kwh(each.wh)}`,
      'start,kWh',
    )
    const { report } = taken(await take('merge', hourly))
    expect(report).toMatchObject({ newDays: 5, newHalfHours: 240, replacedHalfHours: 240 })
    expect(await summary('merge')).toMatchObject({ from: '2035-12-01', until: '2035-12-15' })
    const kept = await runInDurableObject(stubOf('merge'), (_, { storage }) =>
      new Store(storage).load(),
    )
    const days = kept?.meter?.days ?? []
    expect(days).toHaveLength(15)
    expect(days[4]?.kwh[0]).toBe(whAt(4 * 48) / 1000)
    expect(days[5]?.kwh).toEqual(Array.from({ length: 48 }, () => 1.5))
  })

  it('is the same after the memory was lost', async () => {
    await house('lost')
    const { seen } = taken(await take('lost', csv(`2035-12-01${MIDNIGHT}`, 480)))
    await abortAllDurableObjects()
    expect(await summary('lost')).toEqual(seen.household.meter)
    const { report } = taken(await take('lost', csv(`2035-12-11${MIDNIGHT}`, 48)))
    expect(report).toMatchObject({ newDays: 1 })
    expect(await summary('lost')).toMatchObject({ wholeDays: 11 })
  })

  it('a refused file changes nothing', async () => {
    await house('refused')
    await take('refused', csv(`2035-12-01${MIDNIGHT}`, 480))
    const before = await pieces('refused')
    for (const file of [
      rows(
        seriesFrom(`2035-12-01${MIDNIGHT}`, 96),
        (each) => isoWall(wall(each.start, ZONE)) + ',1',
        'time,gas (m3)',
      ),
      '<?xml version="1.0"?><feed xmlns="http://www.w3.org/2005/Atom"><entry>',
      '',
      new Uint8Array([0x1f, 0x8b, 8, 0]),
      csv(`2036-02-01${MIDNIGHT}`, 96),
    ])
      expect((await take('refused', file)).kind).toBe('refused')
    expect(await pieces('refused')).toEqual(before)
    expect(await summary('refused')).toMatchObject({ wholeDays: 10 })
  })

  it('ten years are kept, and what is older is told', async () => {
    await house('old')
    await take('old', csv(`2035-12-01${MIDNIGHT}`, 480))
    const alone = await take('old', csv(`2024-12-01${MIDNIGHT}`, 480))
    expect(alone).toMatchObject({ kind: 'refused', refusal: { reason: 'too_old', years: 10 } })
    // Ten years and four days before the newest.
    const partly = taken(await take('old', csv(`2025-12-06${MIDNIGHT}`, 480)))
    expect(partly.report.tooOldHalfHours + partly.report.newHalfHours).toBe(480)
    expect(partly.report.tooOldHalfHours).toBeGreaterThan(4 * 48)
    expect(partly.report.tooOldHalfHours).toBeLessThan(6 * 48)
    expect(await summary('old')).toMatchObject({ until: '2035-12-10' })
  })

  it('days are not written again when something else is saved', async () => {
    await house('quiet')
    await take('quiet', csv(`2035-12-01${MIDNIGHT}`, 480))
    const written = await runInDurableObject(stubOf('quiet'), async (object, { storage }) => {
      const exec = vi.spyOn(storage.sql, 'exec')
      await object.perform(keys.page, { type: 'reading', at: NOW as never, socPct: 55 })
      const queries = exec.mock.calls.map(([query]) => String(query))
      exec.mockRestore()
      return queries.filter((query) => /piece/.test(query) && !/sqlite_master/.test(query))
    })
    expect(written).toEqual([])
  })

  it('days are days of the clock: another zone has others', async () => {
    await house('zone')
    await take('zone', csv(`2035-12-01${MIDNIGHT}`, 480))
    const from = (await stubOf('zone').read(keys.page))?.household.settings
    if (from === undefined) throw new Error('there is no household')
    await stubOf('zone').perform(keys.page, {
      type: 'settings',
      settings: { ...from, timeZone: 'Asia/Kathmandu' },
      from,
    })
    // Ten days from 09:45 on by a clock that is 5:45 ahead.
    expect(await summary('zone')).toMatchObject({ from: '2035-12-02', wholeDays: 9, takenAt: NOW })
    await abortAllDurableObjects()
    expect(await summary('zone')).toMatchObject({ from: '2035-12-02', wholeDays: 9 })
  })
})

describe('a question', () => {
  it('keeps the file, and each answer leads on until it is taken', async () => {
    await house('ask')
    const file = ambiguous(`2035-12-01${MIDNIGHT}`, 480)
    const asked = await take('ask', file)
    expect(asked).toMatchObject({ kind: 'question', question: { about: 'clock' } })
    await abortAllDurableObjects()
    const { open } = (await stubOf('ask').meter(keys.page)) ?? {}
    expect(open).toMatchObject({ at: NOW, question: { about: 'clock' } })
    expect(await summary('ask')).toBeNull()
    const choice = open?.question.choices.findIndex((each) => each.clock === 'local') ?? -1
    const answered = (await stubOf('ask').answerMeter(keys.page, 'clock', choice)) as MeterOutcome
    expect(taken(answered).report).toMatchObject({ newDays: 10, understood: { clock: 'local' } })
    expect((await stubOf('ask').meter(keys.page))?.open).toBeNull()
    expect((await pieces('ask')).map((each) => each.name)).toEqual(['days', 'series'])
    expect(await stubOf('ask').answerMeter(keys.page, 'clock', choice)).toEqual({ kind: 'closed' })
  })

  it('a large file is kept in pieces and comes back whole', async () => {
    await house('large')
    const note = 'x'.repeat(6000)
    const file = ambiguous(`2035-12-01${MIDNIGHT}`, 480)
      .split('\n')
      .map((line) => `${line},${note}`)
      .join('\n')
    expect((await take('large', file)).kind).toBe('question')
    expect(await pieces('large')).toEqual([{ name: 'upload', bytes: file.length, rows: 3 }])
    const answered = (await stubOf('large').answerMeter(keys.page, 'clock', 0)) as MeterOutcome
    expect(taken(answered).report.newDays).toBe(10)
  })

  it.each([
    ['another question', 'unit', 0],
    ['no such choice', 'clock', 7],
    ['no number', 'clock', Number.NaN],
    ['a name that every object has', 'constructor', 0],
  ])('an answer to %s is none, and the file stays', async (what, about, choice) => {
    const name = `none ${what}`
    await house(name)
    await take(name, ambiguous(`2035-12-01${MIDNIGHT}`, 480))
    const outcome = await stubOf(name).answerMeter(keys.page, about as never, choice)
    expect(outcome).toEqual({ kind: 'closed' })
    expect((await stubOf(name).meter(keys.page))?.open).not.toBeNull()
  })

  it('waits a day at most, and goes when it is told to', async () => {
    await house('day')
    await take('day', ambiguous(`2035-12-01${MIDNIGHT}`, 480))
    vi.setSystemTime(NOW + 24 * 3_600_000 - 1)
    expect((await stubOf('day').meter(keys.page))?.open).not.toBeNull()
    vi.setSystemTime(NOW + 24 * 3_600_000)
    expect((await stubOf('day').meter(keys.page))?.open).toBeNull()
    expect(await pieces('day')).toEqual([])
    await take('day', ambiguous(`2035-12-01${MIDNIGHT}`, 480))
    await stubOf('day').dropMeterFile(keys.page)
    expect(await pieces('day')).toEqual([])
  })

  it('is not kept where the asker sends the file again itself', async () => {
    await house('again')
    const asked = await take('again', ambiguous(`2035-12-01${MIDNIGHT}`, 480), false)
    expect(asked.kind).toBe('question')
    expect(await allTables('again')).toEqual(['part'])
  })
})

describe('forgetting', () => {
  it('takes the readings, the last file and an open question away, and nothing else', async () => {
    await house('forget')
    await take('forget', csv(`2035-12-01${MIDNIGHT}`, 480))
    await take('forget', ambiguous(`2035-12-01${MIDNIGHT}`, 480))
    await stubOf('forget').forgetMeter(keys.page)
    expect(await stubOf('forget').meter(keys.page)).toMatchObject({
      seen: { household: { meter: null, settings: { timeZone: ZONE } } },
      last: null,
      open: null,
    })
    expect(await pieces('forget')).toEqual([])
    await abortAllDurableObjects()
    expect(await summary('forget')).toBeNull()
  })

  it('erasing the household leaves no table', async () => {
    await house('erase')
    await take('erase', csv(`2035-12-01${MIDNIGHT}`, 480))
    await take('erase', ambiguous(`2035-12-01${MIDNIGHT}`, 480))
    await stubOf('erase').erase(keys.page)
    expect(await allTables('erase')).toEqual([])
  })

  it('nothing is told or taken without the key', async () => {
    await house('key')
    const stub = stubOf('key')
    const file = { bytes: bytes(csv(`2035-12-01${MIDNIGHT}`, 480)), answers: {} }
    expect(await stub.takeMeter('wrong', file, { keep: true })).toBeNull()
    expect(await stub.takeMeter(keys.feed, file, { keep: true })).toBeNull()
    expect(await stub.meter('wrong')).toBeNull()
    expect(await stub.meterFile('wrong')).toBeNull()
    expect(await stub.forgetMeter('wrong')).toBeNull()
    expect(await stub.answerMeter('wrong', 'clock', 0)).toBeNull()
    expect(await stub.dropMeterFile('wrong')).toBe(false)
    expect(await summary('key')).toBeNull()
  })
})

describe('a household that was saved by form 1', () => {
  it('loads without habits and meter data, and takes both', async () => {
    await house('form 1')
    // As form 1 wrote it: its number, no habits among the settings, no part for the meter.
    await runInDurableObject(stubOf('form 1'), (_, { storage }) => {
      const habits = Object.keys(NO_HABITS)
      const body = (kind: string) =>
        JSON.parse(
          storage.sql.exec<{ body: string }>('SELECT body FROM part WHERE kind = ?', kind).one()
            .body,
        ) as Record<string, unknown>
      const put = (kind: string, value: unknown) =>
        storage.sql.exec('UPDATE part SET body = ? WHERE kind = ?', JSON.stringify(value), kind)
      put('household', { ...body('household'), version: 1 })
      put(
        'settings',
        Object.fromEntries(
          Object.entries(body('settings')).filter(([name]) => !habits.includes(name)),
        ),
      )
    })
    await abortAllDurableObjects()
    const seen = await stubOf('form 1').read(keys.page)
    expect(seen?.household.meter).toBeNull()
    expect(seen?.household.settings).toEqual({ ...settings, timeZone: ZONE, ...NO_HABITS })
    taken(await take('form 1', csv(`2035-12-01${MIDNIGHT}`, 480)))
    await abortAllDurableObjects()
    expect(await summary('form 1')).toMatchObject({ wholeDays: 10 })
  })
})
