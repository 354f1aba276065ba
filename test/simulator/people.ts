// How somebody of the house answers: promptly, late, twice, elsewhere, wrongly, or never.

import type { Chance } from './random.ts'

export type Behaviour = {
  /** Of the messages that ask for hands, and of those that ask for a figure, how many are answered at all. */
  readonly answersHands: number
  readonly answersReadings: number
  /** How long that takes on average, ms. */
  readonly meanMs: number
  readonly twice: number
  readonly snoozes: number
  readonly takesBack: number
  readonly onThePage: number
  readonly wrongReading: number
  /** How often they look at the page, ms on average; `null`: never. */
  readonly looksEveryMs: number | null
}

const SECOND = 1000
const MINUTE = 60 * SECOND
const HOUR = 60 * MINUTE

export function drawBehaviour(chance: Chance, calm: boolean): Behaviour {
  if (calm)
    return {
      answersHands: 1,
      answersReadings: 1,
      meanMs: 20 * SECOND,
      twice: 0,
      snoozes: 0,
      takesBack: 0,
      onThePage: chance.one([0, 0.3]),
      wrongReading: 0,
      looksEveryMs: null,
    }
  return {
    answersHands: chance.one([0, 0, 0.2, 0.5, 0.8, 1]),
    answersReadings: chance.one([0, 0.5, 0.9, 1]),
    meanMs: chance.one([10 * SECOND, MINUTE, 5 * MINUTE, 40 * MINUTE, 3 * HOUR]),
    twice: chance.one([0, 0.1, 0.5]),
    snoozes: chance.one([0, 0.1, 0.4]),
    takesBack: chance.one([0, 0.05, 0.2]),
    onThePage: chance.one([0, 0.3, 1]),
    wrongReading: chance.one([0, 0.1, 0.5]),
    looksEveryMs: chance.one([null, 8 * HOUR, 24 * HOUR]),
  }
}
