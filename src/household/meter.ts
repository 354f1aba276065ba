// What a meter's file adds to a household: the half-hours kept so far and the new ones as one series, the days
// that come of it, and what is told of it. Values in, values out; no storage here.

import {
  type Answers,
  type Gap,
  type Interval,
  type MeterReading,
  type MeterRefusal,
  type Question,
  type Series,
  compact,
  daysOf,
  expand,
  halfHourly,
} from '../meter/index.ts'
import { DAY_MS, type Instant, MINUTE_MS, asInstant } from '../plan/index.ts'
import type { MeterHistory } from '../reminder/index.ts'

/** The newest years that are kept: 350 KB of half-hours, and twice that in days. */
const KEPT_YEARS = 10

/** A row for each day has a column for each interval: enough of them to see it. */
const MOST_COLUMNS_TOLD = 60

type Read = Extract<MeterReading, { kind: 'understood' }>

export type WholeDays = { readonly count: number; readonly from: string; readonly until: string }

/** What was understood of a file, with its evidence, and what it changed. */
export type MeterReport = Omit<Read, 'kind' | 'series'> & {
  readonly at: Instant
  /** The start of the first interval of the file, and the end of the last. */
  readonly from: Instant
  readonly until: Instant
  readonly intervals: number
  /** The longest stretch that is missing between the two. */
  readonly longestGap: Gap | null
  /** The whole days in the file alone. */
  readonly days: WholeDays | null
  /** Intervals that lie ahead of now: no meter has counted them. */
  readonly ahead: number
  /** Half-hours that were not there before; that took the place of another figure; that are too old to be kept. */
  readonly newHalfHours: number
  readonly replacedHalfHours: number
  readonly tooOldHalfHours: number
  /** Whole days that there are now and were not before. */
  readonly newDays: number
}

/** Why a file is not taken: what its reading says, or what only the household can tell. */
export type UploadRefusal =
  | MeterRefusal
  /** A packed file, or a spreadsheet: bytes, no text. */
  | { readonly reason: 'packed' }
  /** Nothing in it has happened yet. */
  | { readonly reason: 'ahead'; readonly from: Instant }
  /** All of it is so many years older than the newest that is kept. */
  | { readonly reason: 'too_old'; readonly years: number }

/** A question about a file that is kept until it is answered. */
export type OpenQuestion = { readonly question: Question; readonly at: Instant }

export type { Answers, Question }

/** What a file is kept as, if it is taken. */
export type Added = {
  readonly report: MeterReport
  readonly series: Uint8Array
  readonly meter: MeterHistory
}

/** Adds a file to what is kept; where both have a half-hour, the file's counts. */
export function added(
  read: Read,
  kept: Uint8Array | null,
  before: MeterHistory | null,
  { timeZone, now }: { readonly timeZone: string; readonly now: Instant },
): Added | UploadRefusal {
  const { series: whole, understood, gaps, duplicates, skippedRows } = read
  const intervals = whole.intervals.filter(({ start }) => start < now)
  const [first] = intervals
  const last = intervals.at(-1)
  if (first === undefined || last === undefined)
    return { reason: 'ahead', from: whole.intervals[0]?.start ?? now }
  const file = { minutes: whole.minutes, intervals }
  const old = kept === null ? [] : halfHourly(expand(kept), timeZone).intervals
  const fresh = halfHourly(file, timeZone).intervals
  if (fresh.length === 0) return { reason: 'too_few_rows', rows: intervals.length }
  const merged = mergedHalfHours(old, fresh)
  if (merged.noneKept) return { reason: 'too_old', years: KEPT_YEARS }
  const series = compact({ minutes: 30, intervals: merged.intervals })
  const meter = historyOf(series, timeZone, now)
  const known = new Set((before?.days ?? []).map(({ day }) => day))
  return {
    series,
    meter,
    report: {
      gaps,
      duplicates,
      skippedRows,
      understood: { ...understood, columns: understood.columns.slice(0, MOST_COLUMNS_TOLD) },
      at: now,
      from: first.start,
      until: asInstant(last.start + whole.minutes * MINUTE_MS),
      intervals: intervals.length,
      longestGap: longestGap(file),
      days: wholeDays(daysOf(file, timeZone)),
      ahead: whole.intervals.length - intervals.length,
      newHalfHours: merged.unknown,
      replacedHalfHours: merged.replaced,
      tooOldHalfHours: merged.tooOld,
      newDays: meter.days.filter(({ day }) => !known.has(day)).length,
    },
  }
}

/** The days of kept half-hours on a zone's clock. Without a whole one, from and until are those of the half-hours. */
export function historyOf(bytes: Uint8Array, timeZone: string, takenAt: Instant): MeterHistory {
  const series = expand(bytes)
  const days = daysOf(series, timeZone).map(({ date, kwh }) => ({ day: dayOf(date), kwh }))
  const first = days[0]?.day ?? localDay(series.intervals[0], timeZone)
  const last = days.at(-1)?.day ?? localDay(series.intervals.at(-1), timeZone)
  return {
    takenAt,
    from: dateOf(first),
    until: dateOf(last),
    wholeDays: days.length,
    missingDays: days.length === 0 ? 0 : last - first + 1 - days.length,
    idleShare: idleShare(days),
    days,
  }
}

/** Under this no house is, kWh in a half-hour: a fridge and what stands by take several times as much (common practice, no source). */
const IDLE_KWH = 0.01
const IDLE_DAYS = 60

function idleShare(days: MeterHistory['days']): number {
  const halves = days.slice(-IDLE_DAYS).flatMap(({ kwh }) => kwh)
  return halves.filter((kwh) => kwh < IDLE_KWH).length / Math.max(1, halves.length)
}

/** Kept half-hours as a file of the form that is read without a question: each start in UTC, and kWh. */
export function csvOf(bytes: Uint8Array): string {
  const lines = expand(bytes).intervals.map(
    ({ start, wh }) => `${new Date(start).toISOString().slice(0, 16)}Z,${wh / 1000}`,
  )
  return `start,kWh\n${lines.join('\n')}\n`
}

function mergedHalfHours(old: readonly Interval[], fresh: readonly Interval[]) {
  const newest = Math.max(old.at(-1)?.start ?? 0, fresh.at(-1)?.start ?? 0)
  const oldest = newest - KEPT_YEARS * 365.25 * DAY_MS
  const isKept = ({ start }: Interval) => start >= oldest
  const all = new Map<number, Interval>(old.filter(isKept).map((each) => [each.start, each]))
  let unknown = 0
  let replaced = 0
  for (const each of fresh.filter(isKept)) {
    const before = all.get(each.start)
    if (before === undefined) unknown += 1
    else if (Math.round(before.wh) !== Math.round(each.wh)) replaced += 1
    all.set(each.start, each)
  }
  const intervals: Series['intervals'] = [...all.values()].sort((a, b) => a.start - b.start)
  const tooOld = [...old, ...fresh].filter((each) => !isKept(each)).length
  return { intervals, unknown, replaced, tooOld, noneKept: !fresh.some(isKept) }
}

function longestGap({ minutes, intervals }: Series): Gap | null {
  let longest: Gap | null = null
  for (const [i, { start: end }] of intervals.entries()) {
    const start = asInstant((intervals[i - 1]?.start ?? end) + minutes * MINUTE_MS)
    if (end - start > (longest === null ? 0 : longest.end - longest.start)) longest = { start, end }
  }
  return longest
}

function wholeDays(days: readonly { readonly date: string }[]): WholeDays | null {
  const first = days[0]
  const last = days.at(-1)
  return first === undefined || last === undefined
    ? null
    : { count: days.length, from: first.date, until: last.date }
}

const dayOf = (date: string): number => Date.parse(`${date}T00:00:00Z`) / DAY_MS
const dateOf = (day: number): string => new Date(day * DAY_MS).toISOString().slice(0, 10)

function localDay(interval: Interval | undefined, timeZone: string): number {
  const date = new Intl.DateTimeFormat('en-CA', { timeZone }).format(interval?.start ?? 0)
  return dayOf(date)
}

/** The text of a file, by its byte order mark or else as UTF-8; `null` where it is packed. */
export function textOf(bytes: Uint8Array): string | null {
  const starts = (...mark: readonly number[]) => mark.every((byte, i) => bytes[i] === byte)
  // zip (and the spreadsheets that are one), gzip, and the older spreadsheets' compound file.
  if (starts(0x50, 0x4b, 3, 4) || starts(0x1f, 0x8b) || starts(0xd0, 0xcf, 0x11, 0xe0)) return null
  const label = starts(0xff, 0xfe) ? 'utf-16le' : starts(0xfe, 0xff) ? 'utf-16be' : 'utf-8'
  return new TextDecoder(label).decode(bytes)
}
