// Questions and refusals in words, each by one exhaustive switch.

import { meterWords } from '../words/index.ts'
import type { Answers, MeterReading, MeterRefusal, Question } from './types.ts'

/** A question in words, with the words of each choice in the order of its choices. */
export type Said = {
  readonly text: string
  readonly choices: readonly { readonly text: string; readonly answer: Answers }[]
}

type Understood = Extract<MeterReading, { kind: 'understood' }>

export function sayQuestion(question: Question): Said {
  const { question: words, choice } = meterWords
  const said = (text: string, texts: readonly string[]): Said => ({
    text,
    choices: question.choices.map((answer, i) => ({ text: texts[i] ?? '', answer })),
  })
  switch (question.about) {
    case 'date-order': {
      const { dayFirst, monthFirst } = question.days
      return said(words.dateOrder(dayFirst, monthFirst), [
        choice.dayFirst(dayFirst),
        choice.monthFirst(monthFirst),
      ])
    }
    case 'stamps':
      return said(words.stamps(question.first), [choice.start, choice.end])
    case 'unit':
      return said(
        words.unit(question.column),
        question.choices.map(({ unit }, i) => choice.unit(unit ?? '', question.kwhPerDay[i] ?? 0)),
      )
    case 'clock':
      return said(
        words.clock,
        question.choices.map(({ clock }) => choice[clock ?? 'local']),
      )
    case 'column':
      return said(words.column, question.names.map(choice.column))
    case 'kind':
      return said(words.kind, question.names)
    case 'series':
      return said(words.series, question.names)
  }
}

export function sayRefusal(refusal: MeterRefusal): string {
  const { refused } = meterWords
  switch (refusal.reason) {
    case 'empty':
      return refused.empty
    case 'not_text':
      return refused.notText
    case 'too_large':
      return refused.tooLarge(refusal.mostMiB)
    case 'too_many_cells':
      return refused.tooManyCells(refusal.most)
    case 'too_many_intervals':
      return refused.tooManyIntervals(refusal.most)
    case 'too_long':
      return refused.tooLong(refusal.years, refusal.mostYears)
    case 'unknown_zone':
      return refused.unknownZone(refusal.zone)
    case 'gas':
      return refused.gas(refusal.evidence)
    case 'not_electricity':
      return refused.notElectricity(refusal.evidence)
    case 'no_times':
      return refused.noTimes(refusal.evidence)
    case 'no_energy':
      return refused.noEnergy(refusal.evidence)
    case 'register_only':
      return refused.registerOnly(refusal.evidence)
    case 'mixed_dates':
      return refused.mixedDates(refusal.dayFirst, refusal.monthFirst)
    case 'interval_length':
      return refused.intervalLength(refusal.minutes)
    case 'too_few_rows':
      return refused.tooFewRows
    case 'damaged':
      return refused.damaged(refusal.line, refusal.evidence)
    case 'other_xml':
      return refused.otherXml(refusal.root)
  }
}

/** What was taken in, a sentence each: the whole days (`null` for none), then what is missing, doubled or left out. */
export function sayTaken(
  { gaps, duplicates, skippedRows }: Pick<Understood, 'gaps' | 'duplicates' | 'skippedRows'>,
  days: { readonly count: number; readonly from: string; readonly until: string } | null,
): readonly string[] {
  const row = skippedRows.first[0]
  return [
    days === null ? meterWords.noWholeDay : meterWords.taken(days.count, days.from, days.until),
    ...(gaps.count > 0 ? [meterWords.gaps(gaps.count)] : []),
    ...(duplicates.different.count > 0 ? [meterWords.duplicates(duplicates.different.count)] : []),
    ...(row === undefined ? [] : [meterWords.skipped(skippedRows.count, row.line)]),
  ]
}
