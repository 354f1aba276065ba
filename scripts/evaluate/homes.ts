// Homes from a folder of meter files: half-hours by the local clock, as the stamps give it with their offset.

import { readFileSync, readdirSync } from 'node:fs'
import { basename, join } from 'node:path'
import Papa from 'papaparse'
import type { PastDay } from '../../src/plan/index.ts'

export type Home = {
  readonly name: string
  /** Days with all 48 half-hours, oldest first. */
  readonly days: readonly PastDay[]
  /** Those of November to February; June to August where the clocks are forward in January. */
  readonly winter: readonly PastDay[]
  /** Eight hours of the mean winter load between 16:00 and 20:00, in half kWh, at least five. */
  readonly capacityKwh: number
}

const HEADER = /^start,kwh\s*$/m
const STAMP = /^(\d{4}-\d\d-\d\d)T(\d\d):(\d\d)([+-]\d\d):?(\d\d)$/

/** Reads every CSV of the folder with the columns `start,kwh`; others are named and passed over. */
export function homesIn(folder: string): readonly Home[] {
  const files = readdirSync(folder)
    .filter((file) => file.endsWith('.csv'))
    .toSorted()
  return files.flatMap((file) => {
    const text = readFileSync(join(folder, file), 'utf8')
    const home = HEADER.test(text.slice(0, 40)) ? homeFrom(basename(file, '.csv'), text) : null
    if (home === null) console.error(`evaluate: ${file} is no list of half-hours, passed over`)
    return home ?? []
  })
}

function homeFrom(name: string, text: string): Home | null {
  const { data } = Papa.parse(text, { delimiter: ',', skipEmptyLines: true })
  const byDate = new Map<string, number[]>()
  const januaryOffsets = new Set<number>()
  const julyOffsets = new Set<number>()
  for (const [start = '', kwh] of data) {
    const match = STAMP.exec(start)
    if (match === null) continue
    const [, date = '', hour, minute, offset] = match
    const half = 2 * Number(hour) + (Number(minute) >= 30 ? 1 : 0)
    const day = byDate.get(date) ?? Array.from({ length: 48 }, () => NaN)
    day[half] = Number(kwh)
    byDate.set(date, day)
    if (date.slice(5, 7) === '01') januaryOffsets.add(Number(offset))
    if (date.slice(5, 7) === '07') julyOffsets.add(Number(offset))
  }
  const days = [...byDate]
    .filter(([, kwh]) => kwh.every(Number.isFinite))
    .map(([date, kwh]) => ({ day: Date.parse(`${date}T00:00:00Z`) / 86_400_000, kwh }))
    .toSorted((a, b) => a.day - b.day)
  const south = Math.max(...januaryOffsets) > Math.max(...julyOffsets)
  const winter = days.filter(({ day }) => {
    const month = new Date(day * 86_400_000).getUTCMonth() + 1
    return south ? month >= 6 && month <= 8 : month >= 11 || month <= 2
  })
  if (winter.length === 0) return null
  const evening = winter.flatMap(({ kwh }) => kwh.slice(32, 40)).reduce((a, b) => a + b, 0)
  const meanKw = evening / winter.length / 4
  return { name, days, winter, capacityKwh: Math.max(5, Math.round(2 * 8 * meanKw) / 2) }
}
