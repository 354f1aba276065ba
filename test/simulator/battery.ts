// What the display shows: a battery that really runs down, is held, and charges at night. Roughly; it is here so that right
// readings are right enough and wrong ones are wrong.

import { DAY_MS, HOUR_MS, type Instant } from '../../src/plan/index.ts'
import type { Chance } from './random.ts'
import type { Season } from './season.ts'

export class HouseBattery {
  readonly #perMs: number
  readonly #floor: number
  readonly #charges: boolean
  readonly #chance: Chance
  #pct: number
  #at: Instant
  #held = false

  constructor({ household, begins }: Season, chance: Chance) {
    const { battery, loadKw, nightCharge } = household.settings
    const usual = (loadKw * 100) / battery.capacityKwh / HOUR_MS
    this.#perMs = usual * (0.6 + chance.next())
    this.#floor = battery.outageReservePct
    // What the settings do not say may be so all the same.
    this.#charges = nightCharge !== null || chance.is(0.7)
    this.#chance = chance
    this.#pct = chance.whole(30, 100)
    this.#at = begins
  }

  shows(now: Instant): number {
    const days = Math.floor(now / DAY_MS) - Math.floor(this.#at / DAY_MS)
    // Charged in the night; what the day took from it by now is anybody's guess.
    if (this.#charges && days > 0) this.#pct = this.#chance.whole(35, 100)
    else if (!this.#held) this.#pct -= this.#perMs * (now - this.#at)
    this.#pct = Math.max(this.#floor, this.#pct)
    this.#at = now
    return Math.round(this.#pct)
  }

  touch(now: Instant, what: 'held' | 'runs'): void {
    this.shows(now)
    this.#held = what === 'held'
  }
}
