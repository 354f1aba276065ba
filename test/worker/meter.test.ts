// Meter data in the household's object, in the platform's own runtime: taken, merged, asked about, forgotten.

import { abortAllDurableObjects, runInDurableObject } from 'cloudflare:test'
import { env } from 'cloudflare:workers'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import type { Env } from '../../src/env.ts'
import type { MeterOutcome } from '../../src/household/index.ts'
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
const tables = (name: string) =>
  runInDurableObject(stubOf(name), (_, { storage }) =>
    storage.sql
      .exec<{ name: string; count: number }>('SELECT name, count(*) AS count FROM piece GROUP BY 1')
      .toArray(),
  )

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
})
