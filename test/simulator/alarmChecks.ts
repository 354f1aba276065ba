// I6: an alarm is armed whenever work is due, at the right time.

import { nextWake } from '../../src/reminder/index.ts'
import type { Household } from '../../src/reminder/index.ts'
import { type Facts, SLACK_MS } from './facts.ts'
import { Broken } from './shell.ts'

/** The platform may be a minute late with an alarm; somebody who looks in meanwhile has it armed anew, and it may be late again. */
const LATEST_MS = 120_000
const CLOSEST_MS = 50

export class AlarmChecks {
  readonly #facts: Facts
  #known: { readonly household: Household; readonly wake: number | null } | null = null

  constructor(facts: Facts) {
    this.#facts = facts
  }

  /** What is done later than an alarm can be late has a reason outside. */
  overdue(ms: number): void {
    if (ms <= LATEST_MS + SLACK_MS) return
    const { platform, excused, now, season } = this.#facts
    const wasOut = season.faults.outages.some(
      ({ from, until }) => from <= now && until >= now - ms - LATEST_MS,
    )
    if (excused || wasOut || platform.alarmLostAt !== null) return
    throw new Broken('I6', `Work was overdue by ${Math.round(ms / 1000)} s and nothing had failed`)
  }

  armed(household: Household): void {
    const { platform, now } = this.#facts
    const wake = this.#wakeOf(household)
    if (wake === null) {
      if (platform.armed !== null) throw new Broken('I6', 'An alarm is armed for nothing')
      return
    }
    const right = Math.max(Math.ceil(wake), now + CLOSEST_MS)
    if (platform.armed === null || Math.abs(platform.armed - right) > CLOSEST_MS)
      throw new Broken('I6', `The alarm is at ${platform.armed}, work is due at ${wake}`)
  }

  atRest(household: Household): void {
    const { platform, unarmed } = this.#facts
    const wake = this.#wakeOf(household)
    if (wake === null || unarmed) return
    if (platform.armed === null) throw new Broken('I6', 'Work is due and no alarm is armed')
    if (platform.armed > Math.max(Math.ceil(wake), this.#facts.now) + 2 * CLOSEST_MS)
      throw new Broken('I6', `The alarm is at ${platform.armed}, work is due at ${wake}`)
  }

  #wakeOf(household: Household): number | null {
    if (this.#known?.household !== household) this.#known = { household, wake: nextWake(household) }
    return this.#known.wake
  }
}
