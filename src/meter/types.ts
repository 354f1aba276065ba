// What comes out of a meter's file: a series of intervals, or a question, or a refusal with its evidence.

import type { Instant, Span } from '../plan/index.ts'

/** Energy through the meter from `start` on, Wh; negative where more went out than in. */
export type Interval = { readonly start: Instant; readonly wh: number }

/** Intervals of one length, in order, none twice; a gap is a start that is missing. */
export type Series = { readonly minutes: number; readonly intervals: readonly Interval[] }

export type Unit = 'kWh' | 'Wh' | 'kW' | 'W'
export type Stamps = 'start' | 'end'
export type DateOrder = 'day-first' | 'month-first'
export type Flow = 'import' | 'export' | 'net'
/** Which clock wrote the stamps: the household's; UTC; the household's without summer time; or each stamp says. */
export type WallClock = 'local' | 'utc' | 'standard'
export type Clock = WallClock | 'offset'

/** What a person has said about a file; each choice of a question is one of these, to be merged in. */
export type Answers = {
  readonly dateOrder?: DateOrder
  readonly stamps?: Stamps
  readonly unit?: Unit
  readonly clock?: WallClock
  /** The column of the energy, counted from 0. */
  readonly column?: number
  /** The series of a Green Button file, as the question named it. */
  readonly series?: string
  /** The one to take where a column says what each row is, such as import and export. */
  readonly kind?: string
}

export type Asked = {
  /** A known IANA name. */
  readonly timeZone: string
  /** The household's order of day and month, for dates that would read either way. */
  readonly dayFirst?: boolean
  readonly answers?: Answers
}

export type ColumnRole = 'time' | 'date' | 'clock' | 'period' | 'kind' | 'energy' | 'unused'

export type Understood = {
  readonly form: 'row-per-interval' | 'row-per-day' | 'green-button'
  readonly delimiter: ',' | ';' | '\t' | '|' | null
  readonly columns: readonly { readonly name: string; readonly role: ColumnRole }[]
  readonly unit: Unit
  readonly minutes: number
  readonly stamps: Stamps
  readonly clock: Clock
  /** `null` where no date would read either way. */
  readonly dateOrder: DateOrder | null
  readonly flow: Flow
  /** Intervals that the meter did not measure as such (estimated, edited, questionable); only Green Button says. */
  readonly notMeasured: number
}

/** How many there are, and the first of them as evidence. */
export type Noted<T> = { readonly count: number; readonly first: readonly T[] }

export type Duplicate = { readonly at: Instant; readonly keptWh: number; readonly otherWh: number }

export type SkipReason =
  | 'no-time'
  | 'no-value'
  | 'not-a-number'
  | 'implausible'
  | 'off-grid'
  | 'other-length'
  | 'skipped-hour'
  | 'forecast'

/** A row that was left out: its line in the file (or its place among the readings), counted from 1, and what it says. */
export type SkippedRow = {
  readonly line: number
  readonly reason: SkipReason
  readonly text: string
}

export type Gap = Span

export type Question =
  | {
      readonly about: 'date-order'
      /** The first such date in both readings. */
      readonly days: { readonly dayFirst: string; readonly monthFirst: string }
      readonly choices: readonly Answers[]
    }
  | { readonly about: 'stamps'; readonly first: string; readonly choices: readonly Answers[] }
  | {
      readonly about: 'unit'
      readonly column: string
      /** What the mean day would come to with each choice, kWh. */
      readonly kwhPerDay: readonly number[]
      readonly choices: readonly Answers[]
    }
  | { readonly about: 'clock'; readonly choices: readonly Answers[] }
  | {
      readonly about: 'column'
      readonly names: readonly string[]
      readonly choices: readonly Answers[]
    }
  | {
      readonly about: 'kind'
      readonly names: readonly string[]
      readonly choices: readonly Answers[]
    }
  | {
      readonly about: 'series'
      readonly names: readonly string[]
      readonly choices: readonly Answers[]
    }

export type MeterRefusal =
  | { readonly reason: 'empty' }
  | { readonly reason: 'not_text'; readonly at: number }
  | { readonly reason: 'too_large'; readonly mostMiB: number }
  | { readonly reason: 'too_many_cells'; readonly most: number }
  | { readonly reason: 'too_many_intervals'; readonly most: number }
  | { readonly reason: 'too_long'; readonly years: number; readonly mostYears: number }
  | { readonly reason: 'unknown_zone'; readonly zone: string }
  | { readonly reason: 'gas'; readonly evidence: string }
  | { readonly reason: 'not_electricity'; readonly evidence: string }
  | { readonly reason: 'no_times'; readonly evidence: string }
  | { readonly reason: 'no_energy'; readonly evidence: string }
  | { readonly reason: 'register_only'; readonly evidence: string }
  | { readonly reason: 'mixed_dates'; readonly dayFirst: string; readonly monthFirst: string }
  | { readonly reason: 'interval_length'; readonly minutes: number | null }
  | { readonly reason: 'too_few_rows'; readonly rows: number }
  | { readonly reason: 'damaged'; readonly line: number; readonly evidence: string }
  | { readonly reason: 'other_xml'; readonly root: string }

export type MeterReading =
  | {
      readonly kind: 'understood'
      readonly understood: Understood
      readonly series: Series
      readonly gaps: Noted<Gap>
      /** Equal ones are dropped; of different ones the first is kept. */
      readonly duplicates: { readonly equal: number; readonly different: Noted<Duplicate> }
      readonly skippedRows: Noted<SkippedRow>
    }
  | { readonly kind: 'question'; readonly question: Question }
  | { readonly kind: 'refused'; readonly refusal: MeterRefusal }

/** Why reading stops short of a series. */
export type Stop = Exclude<MeterReading, { kind: 'understood' }>
