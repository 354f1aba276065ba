// Scores of a way over many evenings, and the table of them.

import type { Outcome } from './evening.ts'

export type Score = {
  readonly evenings: number
  readonly coveredPct: number
  readonly importedPct: number
  readonly heldMinutes: number
  readonly readings: number
  readonly leftPct: number
}

export function scoreOf(outcomes: readonly Outcome[]): Score {
  const sum = (value: (outcome: Outcome) => number) =>
    outcomes.reduce((total, outcome) => total + value(outcome), 0)
  const mean = (value: (outcome: Outcome) => number) => sum(value) / outcomes.length
  return {
    evenings: outcomes.length,
    coveredPct: 100 * mean(({ covered }) => (covered ? 1 : 0)),
    importedPct: (100 * sum(({ importedKwh }) => importedKwh)) / sum(({ eventKwh }) => eventKwh),
    heldMinutes: mean(({ heldMinutes }) => heldMinutes),
    readings: mean(({ readings }) => readings),
    leftPct: mean(({ leftPct }) => leftPct),
  }
}

const COLUMNS = ['evenings', 'covered', 'imported', 'held', 'readings', 'left'] as const

/** One line for each score, in columns. */
export function tableOf(
  title: string,
  rows: readonly { readonly name: string; readonly score: Score }[],
): string {
  const width = Math.max(title.length, ...rows.map(({ name }) => name.length))
  const line = (name: string, cells: readonly string[]) =>
    [name.padEnd(width), ...cells.map((cell) => cell.padStart(9))].join(' ')
  return [
    line(title, COLUMNS),
    ...rows.map(({ name, score }) =>
      line(name, [
        String(score.evenings),
        `${score.coveredPct.toFixed(1)} %`,
        `${score.importedPct.toFixed(1)} %`,
        `${score.heldMinutes.toFixed(1)} min`,
        score.readings.toFixed(2),
        `${score.leftPct.toFixed(1)} %`,
      ]),
    ),
  ].join('\n')
}
