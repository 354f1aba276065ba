// Rows of the report, and the time of a piece of work.

import { performance } from 'node:perf_hooks'

export type Row = { readonly what: string; readonly result: string; readonly failed?: boolean }

/**
 * Microseconds for one call, after a warm-up: the fastest of many short batches, the one that other work on the
 * machine disturbed least.
 */
export function microseconds(work: () => unknown, calls: number, batches = 90): number {
  const batch = () => {
    const start = performance.now()
    for (let i = 0; i < calls; i++) work()
    return ((performance.now() - start) / calls) * 1000
  }
  const times = Array.from({ length: batches }, batch)
  return Math.min(...times.slice(Math.floor(batches / 3)))
}

export const inTime = (us: number): string =>
  us < 1000 ? `${us.toPrecision(3)} µs` : `${(us / 1000).toPrecision(3)} ms`

export function printTable(rows: readonly Row[]): void {
  const width = Math.max(...rows.map(({ what }) => what.length))
  for (const { what, result } of rows) console.log(`${what.padEnd(width)}  ${result}`)
}
