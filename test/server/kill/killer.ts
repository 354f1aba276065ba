// When the server is killed: at random, or aimed at the moments at which most can go wrong.

import type { Chance } from '../../simulator/random.ts'

export type When =
  | 'at random'
  /** A stand-in has taken a message and has not answered. */
  | 'receiving'
  /** A stand-in has just answered. */
  | 'answered'
  /** A call is on its way. */
  | 'called'
  /** A call was just confirmed. */
  | 'confirmed'
  /** As soon as it is up. */
  | 'at once'
  /** While it is starting. */
  | 'starting'

export type Kill = {
  readonly number: number
  readonly at: number
  readonly when: When
  readonly detail: string
}

const WHEN: readonly [When, ...When[]] = [
  'at random',
  'at random',
  'receiving',
  'receiving',
  'receiving',
  'answered',
  'answered',
  'called',
  'confirmed',
  'confirmed',
  'at once',
  'starting',
]

export const drawWhen = (chance: Chance): When => chance.one(WHEN)

// An aimed kill that finds no such moment comes at random.
const AIM_MS = 6000

export class Killer {
  readonly kills: Kill[] = []
  readonly #kill: () => boolean
  readonly #chance: Chance
  #armed: { readonly when: When; readonly killed: () => void } | null = null

  constructor(kill: () => boolean, chance: Chance) {
    this.#kill = kill
    this.#chance = chance
  }

  /** Resolves when it has happened. */
  async aim(when: When): Promise<void> {
    await new Promise<void>((killed) => {
      this.#armed = { when, killed }
      const wait = when === 'at random' ? this.#chance.whole(200, 5000) : AIM_MS
      this.#strikeIn(wait, when === 'at random' ? '' : 'nothing to aim at')
    })
  }

  now(when: When): void {
    if (this.#kill()) this.#note(when, '')
  }

  /** Whether it was killed by this. */
  received(what: string): boolean {
    if (this.#armed?.when !== 'receiving') return false
    this.#strike(what)
    return true
  }

  answered(what: string): void {
    if (this.#armed?.when !== 'answered') return
    const wait = this.#chance.whole(0, 12)
    if (wait === 0) this.#strike(what)
    else this.#strikeIn(wait, `${what}, ${wait} ms after`)
  }

  called(): void {
    if (this.#armed?.when !== 'called') return
    const wait = this.#chance.whole(0, 25)
    this.#strikeIn(wait, `${wait} ms after a call`)
  }

  confirmed(): void {
    if (this.#armed?.when === 'confirmed') this.#strike('')
  }

  #strikeIn(ms: number, detail: string): void {
    const armed = this.#armed
    setTimeout(() => {
      if (this.#armed === armed) this.#strike(detail)
    }, ms)
  }

  #strike(detail: string): void {
    const armed = this.#armed
    if (armed === null) return
    this.#armed = null
    this.#kill()
    this.#note(armed.when, detail)
    armed.killed()
  }

  #note(when: When, detail: string): void {
    this.kills.push({ number: this.kills.length + 1, at: Date.now(), when, detail })
  }
}
