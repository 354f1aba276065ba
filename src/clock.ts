// The one door to the time. On a local run the clock may be set to an instant and run faster, for the
// rehearsal; then what is armed is mapped back to the real time at which it will be.

import { type Instant, asInstant } from './plan/index.ts'

export type Clock = {
  now(): Instant
  /** The real epoch milliseconds at which this clock will show `at`. */
  realAt(at: Instant): number
}

/** A clock that showed `from` at the real time `since`, and has run `rate` times as fast ever since. */
export type ClockSetting = { readonly from: number; readonly since: number; readonly rate: number }

export function clockOf(setting: ClockSetting | null): Clock {
  if (setting === null) return { now: () => asInstant(Date.now()), realAt: (at) => at }
  const { from, since, rate } = setting
  return {
    now: () => asInstant(Math.floor(from + (Date.now() - since) * rate)),
    realAt: (at) => since + (at - from) / rate,
  }
}
