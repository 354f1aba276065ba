// Rows of the report, and the median time of a piece of work.

import { performance } from 'node:perf_hooks'

export type Row = { readonly what: string; readonly result: string; readonly failed?: boolean }

/** Microseconds for one call: the median of batches, after a warm-up. */
export function microseconds(work: () => unknown, perBatch: number, batches = 15): number {
  for (let i = 0; i < perBatch; i++) work()
  const times = Array.from({ length: batches }, () => {
    const start = performance.now()
    for (let i = 0; i < perBatch; i++) work()
    return ((performance.now() - start) / perBatch) * 1000
  })
  return times.toSorted((a, b) => a - b)[Math.floor(batches / 2)] ?? NaN
}

export const inTime = (us: number): string =>
  us < 1000 ? `${us.toPrecision(3)} µs` : `${(us / 1000).toPrecision(3)} ms`

export function printTable(rows: readonly Row[]): void {
  const width = Math.max(...rows.map(({ what }) => what.length))
  for (const { what, result } of rows) console.log(`${what.padEnd(width)}  ${result}`)
}
