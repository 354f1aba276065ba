// How a stand-in for a channel fails, by seed. The waits are short beside a lease, so that what is doubled has a reason.

import type { Chance } from '../../simulator/random.ts'

export type Fault =
  /** Takes it and answers as it should. */
  | 'none'
  /** Takes it, and answers after a while. */
  | 'slow'
  /** Does not take it: 500, or 429 with Retry-After. */
  | 'error'
  | 'too-many'
  /** Breaks the connection before it took it, or after. */
  | 'reset-before'
  | 'reset-after'
  /** Takes it, or not, and never answers. */
  | 'hang-before'
  | 'hang-after'
  /** Takes it, and answers 200 with what nobody can read. */
  | 'garbage'
  /** Takes it, and answers with what is no HTTP. */
  | 'nonsense'

export const takes = (fault: Fault): boolean =>
  !['error', 'too-many', 'reset-before', 'hang-before'].includes(fault)

/** Whether the sender cannot know that it was taken. */
export const leavesDoubt = (fault: Fault, channel: string): boolean =>
  ['reset-after', 'hang-after', 'nonsense'].includes(fault) ||
  (fault === 'garbage' && channel === 'telegram')

const FAULTS: readonly [Fault, ...Fault[]] = [
  'slow',
  'slow',
  'error',
  'error',
  'too-many',
  'too-many',
  'reset-before',
  'reset-after',
  'hang-before',
  'hang-after',
  'garbage',
  'garbage',
  'nonsense',
]

/** A channel of one household: faults come alone or two in a row, so that it works all in all. */
export class Faulty {
  readonly #chance: Chance
  readonly #share: number
  #inARow = 0

  constructor(chance: Chance, share: number) {
    this.#chance = chance
    this.#share = share
  }

  next(): Fault {
    const fault =
      this.#inARow < 2 && this.#chance.is(this.#share) ? this.#chance.one(FAULTS) : 'none'
    this.#inARow = fault === 'none' || fault === 'slow' ? 0 : this.#inARow + 1
    return fault
  }

  /** How long a slow one takes, ms. */
  slowMs(): number {
    return this.#chance.whole(100, 400)
  }
}
