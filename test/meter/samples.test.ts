// Published samples, if they lie beside the project; they are not part of it. Sums for the Green Button files are
// worked out from the published fixtures of the standard's own reference implementation (Apache-2.0).

import { existsSync, readFileSync, readdirSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, test } from 'vitest'
import { compact, daysOf, expand, readMeter } from '../../src/meter/index.ts'
import { understood, wall } from './build.ts'

const folder = fileURLToPath(new URL('../../../shared/data', import.meta.url).href)
const has = (name: string) => existsSync(`${folder}/${name}`)
const read = (name: string, timeZone: string) =>
  understood(readMeter(readFileSync(`${folder}/${name}`, 'utf8'), { timeZone }))
const ZONE = 'America/New_York'

describe('Green Button', () => {
  const fortnight = 'greenbutton/gba_test_usage_data.xml'
  const short = 'greenbutton/espi_15min_23h_dst_day_2012-03-11.xml'
  const first = 'greenbutton/espi_15min_24h_day_2012-03-01.xml'
  const coastal = 'greenbutton/coastal_single_family_jan2011.xml'

  test.runIf(has(short))('the day of 23 hours: 92 readings, 109403 Wh', () => {
    const { intervals } = read(short, ZONE).series
    expect(intervals).toHaveLength(92)
    expect(intervals.reduce((sum, { wh }) => sum + wh, 0)).toBe(109_403)
    expect(intervals[0]).toEqual({ start: 1_331_442_000_000, wh: 327 })
    expect(intervals.at(-1)).toEqual({ start: 1_331_523_900_000, wh: 899 })
  })

  test.runIf(has(first))(
    'the day of 24 hours: 96 readings, 93846 Wh, two of them not measured',
    () => {
      const { series, understood: how } = read(first, ZONE)
      expect(series.intervals).toHaveLength(96)
      expect(series.intervals.reduce((sum, { wh }) => sum + wh, 0)).toBe(93_846)
      expect(how.notMeasured).toBe(2)
    },
  )

  test.runIf(has(fortnight))(
    '14 days and their local evenings, not those of a fixed offset',
    () => {
      const { series } = read(fortnight, ZONE)
      const sums = new Map<string, number>()
      for (const { start, wh } of series.intervals) {
        const { y, mo, d } = wall(start, ZONE)
        sums.set(`${y}-${mo}-${d}`, (sums.get(`${y}-${mo}-${d}`) ?? 0) + wh)
      }
      expect([...sums.values()]).toEqual([
        93846, 97977, 114969, 111980, 92916, 93845, 93054, 92674, 98054, 114936, 109403, 91950,
        93036, 93026,
      ])
      const evenings = daysOf(series, ZONE).map(({ kwh }) =>
        Math.round(kwh.slice(32, 38).reduce((sum, each) => sum + each, 0) * 1000),
      )
      expect(evenings).toEqual([
        14563, 14450, 18281, 18611, 14423, 14681, 14758, 14265, 14980, 18057, 18167, 11619, 12148,
        12309,
      ])
      // What a routine stuck on -05:00 would give for the last four days.
      const stuck = daysOf(series, 'Etc/GMT+5').map(({ kwh }) =>
        Math.round(kwh.slice(32, 38).reduce((sum, each) => sum + each, 0) * 1000),
      )
      expect(stuck.slice(11)).toContain(14305)
      for (const wrong of [17892, 14305, 14668, 14883]) expect(evenings).not.toContain(wrong)
    },
  )

  test.runIf(has(coastal))('a block that declares 31 days and holds 362 hours', () => {
    const { series, gaps } = read(coastal, 'America/Los_Angeles')
    expect(series.minutes).toBe(60)
    expect(series.intervals).toHaveLength(362)
    expect(gaps.count).toBe(0)
    expect(daysOf(series, 'America/Los_Angeles')).toHaveLength(15)
  })
})

describe('homes', () => {
  // Rows of each file, and its whole days by the table of the sources.
  const homes = [
    ['lcl_MAC000002.csv', 'Europe/London', 24_119],
    ['lcl_MAC000007.csv', 'Europe/London', 17_517],
    ['lcl_MAC000010.csv', 'Europe/London', 20_305],
    ['sgsc_10006414.csv', 'Australia/Sydney', 36_061],
    ['sgsc_10017936.csv', 'Australia/Sydney', 30_652],
    ['uci_sceaux_2008.csv', 'Europe/Paris', 17_545],
  ] as const

  for (const [name, zone, rows] of homes) {
    test.runIf(has(name))(`${name} comes through whole, and from its local clock alone`, () => {
      const { series, duplicates, skippedRows } = read(name, zone)
      expect(series.intervals).toHaveLength(rows)
      expect([duplicates.equal, duplicates.different.count, skippedRows.count]).toEqual([0, 0, 0])
      const kept = expand(compact(series))
      const off = kept.intervals.map(({ wh }, i) => Math.abs(wh - (series.intervals[i]?.wh ?? 0)))
      expect(Math.max(...off)).toBeLessThanOrEqual(0.5)
      // The same file without its offsets, as many suppliers write it.
      const text = readFileSync(`${folder}/${name}`, 'utf8').replaceAll(/[+-]\d\d:\d\d,/g, ',')
      const local = readMeter(text, { timeZone: zone })
      expect(understood(local).understood.clock).toBe('local')
      expect(understood(local).series).toEqual(series)
    })
  }

  test.runIf(has('SOURCES.md'))('every table of readings that is there is among these', () => {
    const tables = readdirSync(folder).filter((name) => /^(lcl|sgsc|uci)_.*\.csv$/.test(name))
    expect(tables.toSorted()).toEqual(homes.map(([name]) => name).toSorted())
  })
})
