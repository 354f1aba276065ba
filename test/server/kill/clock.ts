// What a server's clock shows, as seen from outside, over starts and stops. A start takes time, and the clock begins to
// run somewhere within it, so where each run's began is learnt from what the server says.

type Run = { readonly from: number; readonly since: number }

// From a start to the clock's beginning it takes so long at least, ms; and less than the shortest seen is assumed, as a clock
// that jumped ahead would make alarms late that were armed by the one before.
const LEAST_LEAD_MS = 500
const QUICKER_MS = 500

export class ServerClock {
  readonly rate: number
  readonly #runs: Run[] = []
  #leadMs = Infinity

  constructor(from: number, rate: number) {
    this.rate = rate
    this.#runs.push({ from, since: Date.now() })
  }

  /** What to start a server with so that its clock goes on where the last one's was, and never runs back. */
  nextFrom(): number {
    const lead = Number.isFinite(this.#leadMs) ? this.#leadMs - QUICKER_MS : LEAST_LEAD_MS
    return Math.ceil(this.at(Date.now() + lead))
  }

  /** The server that was started at the real time `startedAt` with `from` says that it showed `shown` at `real`. */
  learn(startedAt: number, from: number, shown: number, real: number): void {
    const since = real - (shown - from) / this.rate
    this.#leadMs = Math.min(this.#leadMs, Math.max(LEAST_LEAD_MS + QUICKER_MS, since - startedAt))
    // What is learnt again is known better.
    if (this.#runs.at(-1)?.from === from) this.#runs.pop()
    this.#runs.push({ from, since })
  }

  /** What it shows, showed, or would have shown, at a real time. */
  at(real: number): number {
    const run = this.#runs.findLast(({ since }) => since <= real) ?? this.#runs[0]
    return run === undefined ? NaN : run.from + (real - run.since) * this.rate
  }

  now(): number {
    return this.at(Date.now())
  }

  /** When, in real time, the clock of the present run shows it. */
  realAt(shown: number): number {
    const run = this.#runs.at(-1)
    return run === undefined ? NaN : run.since + (shown - run.from) / this.rate
  }
}
