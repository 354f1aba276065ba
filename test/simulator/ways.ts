// The channels as the outside sees them: each a place that takes messages, fails in its own ways, and shows them to somebody.

import type { Outcome } from '../../src/delivery/index.ts'
import { type Instant, MINUTE_MS, asInstant } from '../../src/plan/index.ts'
import type { HouseholdChannel } from '../../src/reminder/index.ts'
import type { Platform } from './platform.ts'
import type { Chance } from './random.ts'
import type { Season } from './season.ts'
import type { Answer, Call } from './shell.ts'

export type Failure = 'late' | '429' | '500' | 'garbage' | 'refused' | 'unreachable'

type Down = { readonly from: Instant; readonly until: Instant; readonly how: Failure }

const TIMEOUT_MS = 8000
const FAILURES = ['late', '429', '500', 'garbage', 'refused', 'unreachable'] as const

export class Way {
  readonly id: string
  readonly kind: HouseholdChannel['target']['kind'] | 'webhook'
  readonly person: string | null
  /** Where it leads now, outside. */
  address: string
  /** When it last did not take a message at once. */
  failedAt: Instant = asInstant(-Infinity)
  goneAt: Instant | null
  readonly downs: readonly Down[]
  readonly #movesAt: Instant | null
  readonly #season: Season
  readonly #platform: Platform
  readonly #chance: Chance
  #handles = 0

  constructor(
    identity: Pick<Way, 'id' | 'kind' | 'person' | 'address'>,
    season: Season,
    platform: Platform,
    chance: Chance,
  ) {
    this.id = identity.id
    this.kind = identity.kind
    this.person = identity.person
    this.address = identity.address
    this.#season = season
    this.#platform = platform
    this.#chance = chance
    const { faults, begins, ends } = season
    const some = () => asInstant(chance.whole(begins, ends))
    this.goneAt = chance.is(faults.gone) ? some() : null
    this.#movesAt = this.kind === 'telegram' && chance.is(faults.gone) ? some() : null
    const count = faults.downs === 0 ? 0 : chance.whole(0, 2 * faults.downs)
    this.downs = Array.from({ length: count }, () => {
      const from = some()
      const minutes = chance.one([2, 20, 90, 300, 1440])
      return { from, until: asInstant(from + minutes * MINUTE_MS), how: chance.one(FAILURES) }
    })
  }

  /** Takes a message, or not. `arrives`: it is shown to the one whose channel it is. */
  call(call: Call, arrives: (afterMs: number, isDouble: boolean) => void): Answer {
    const { now } = this.#platform
    const chance = this.#chance
    const quick = chance.whole(20, 900)
    if (this.goneAt !== null && this.goneAt <= now) {
      this.failedAt = now
      return { outcome: { kind: 'gone', note: 'status 410' }, afterMs: quick }
    }
    if (this.#movesAt !== null && this.#movesAt <= now && !this.address.startsWith('-')) {
      this.address = `-${this.address}`
    }
    if (call.address !== this.address && this.kind === 'telegram') {
      this.failedAt = now
      return {
        outcome: { kind: 'moved', chatId: this.address, note: 'upgraded' },
        afterMs: quick,
      }
    }
    const { faults } = this.#season
    const how = this.downNow()?.how ?? (chance.is(faults.flaky) ? chance.one(FAILURES) : null)
    if (how !== null) this.failedAt = now
    const [outcome, arrived] = how === null ? [this.#accepted(), true] : this.#failed(how)
    if (arrived) {
      const late = chance.is(faults.shownLate) ? chance.whole(1, 90) * MINUTE_MS : 0
      arrives(quick + late, false)
      if (chance.is(faults.shownTwice)) arrives(quick + late + chance.whole(1, 60_000), true)
    }
    return { outcome, afterMs: how === 'late' ? TIMEOUT_MS : quick }
  }

  downNow(): Down | undefined {
    const { now } = this.#platform
    return this.downs.find(({ from, until }) => from <= now && now < until)
  }

  #accepted(): Outcome {
    this.#handles += 1
    const handle = `${this.id}-${this.#handles}`
    return this.kind === 'telegram' || this.kind === 'push'
      ? { kind: 'accepted', handle }
      : { kind: 'accepted' }
  }

  /** What the channel says, and whether the message is there all the same. */
  #failed(how: Failure): [Outcome, boolean] {
    const chance = this.#chance
    switch (how) {
      case 'late':
        return [again('no answer in time', null, true), chance.is(0.5)]
      case '429':
        return [again('status 429', chance.one([1, 30, 90, 600, 7200]) * 1000), false]
      case '500':
        return [again('status 500', null), false]
      case 'garbage':
        return this.kind === 'telegram'
          ? [again('status 200 without a readable answer', null, true), chance.is(0.5)]
          : [again('status 302', null), false]
      case 'refused':
        return [{ kind: 'refused', note: 'status 413' }, false]
      case 'unreachable':
        return [again('no connection', null), false]
    }
  }
}

const again = (note: string, afterMs: number | null, doubtful = false): Outcome =>
  doubtful ? { kind: 'try-again', afterMs, note, doubtful } : { kind: 'try-again', afterMs, note }
