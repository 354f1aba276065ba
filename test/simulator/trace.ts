// What happened, for somebody who has to understand a broken season: the last steps, in local time.

import type { Instant } from '../../src/plan/index.ts'

const KEPT = 4000

export class Trace {
  readonly #clock: Intl.DateTimeFormat
  #lines: { readonly at: Instant; readonly text: string }[] = []

  constructor(timeZone: string) {
    this.#clock = formatter(timeZone)
  }

  add(at: Instant, text: string): void {
    this.#lines.push({ at, text })
    if (this.#lines.length > 2 * KEPT) this.#lines = this.#lines.slice(-KEPT)
  }

  /** `Sun 14 Mar 03:00:00.120` */
  clock(at: Instant): string {
    return this.#clock.format(at).replaceAll(',', '')
  }

  last(count: number): readonly string[] {
    return this.#lines.slice(-count).map(({ at, text }) => `${this.clock(at)}  ${text}`)
  }
}

const known = new Map<string, Intl.DateTimeFormat>()

function formatter(timeZone: string): Intl.DateTimeFormat {
  const found =
    known.get(timeZone) ??
    new Intl.DateTimeFormat('en-GB', {
      timeZone,
      weekday: 'short',
      day: 'numeric',
      month: 'short',
      hour: '2-digit',
      minute: '2-digit',
      second: '2-digit',
      fractionalSecondDigits: 3,
    })
  known.set(timeZone, found)
  return found
}
