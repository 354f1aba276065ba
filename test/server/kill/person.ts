// The scripted people of a household: by seed they answer what reaches them, sometimes late, twice, or not at all, in the
// way it came or by the API. When the server is down they try again, as people do.

import type { Chance } from '../../simulator/random.ts'
import { nextUpdate } from './chat.ts'
import type { Ending, House } from './house.ts'
import type { Arrival } from './standIns.ts'

const HANDS = new Set(['hold', 'release', 'restore', 'overnight'])
const FIGURES = new Set(['reading', 'outcome'])

const MOST_TRIES = 12
const TRY_AGAIN_MS = 900

/** Waits, unless the run is over by then. */
export type Pause = (ms: number) => Promise<boolean>

export class Person {
  /** Nobody is at home: nothing is answered. */
  away = false
  readonly #house: House
  readonly #chance: Chance
  readonly #pause: Pause
  /** What a display shows at the moment. */
  readonly #shows: () => number
  readonly #busy = new Set<string>()
  readonly #done = new Set<string>()

  constructor(house: House, chance: Chance, pause: Pause, shows: () => number) {
    this.#house = house
    this.#chance = chance
    this.#pause = pause
    this.#shows = shows
  }

  /** Something arrived. */
  async see(arrival: Arrival): Promise<void> {
    const { purpose, key, kind, channel } = arrival
    if (purpose === 'settle' || this.away) return
    const figure = FIGURES.has(kind) || (key === '' && channel === 'telegram')
    if (!figure && !HANDS.has(kind)) return
    const subject = key === '' ? 'a figure' : key
    // Somebody answers once more what was answered.
    const again = this.#chance.is(0.1)
    if ((this.#busy.has(subject) || this.#done.has(subject)) && !again) return
    if (!this.#chance.is(figure ? 0.7 : 0.55)) return
    this.#busy.add(subject)
    const late = this.#chance.is(0.3)
    const way = this.#wayFor(arrival, figure)
    if (!(await this.#pause(late ? this.#chance.whole(2000, 7000) : this.#chance.whole(100, 1200))))
      return
    for (let tries = 0; tries < MOST_TRIES; tries++) {
      const { kind: ended } = await way()
      if (ended !== 'again') {
        if (ended === 'taken' && key !== '') this.#done.add(key)
        break
      }
      if (!(await this.#pause(TRY_AGAIN_MS))) break
    }
    this.#busy.delete(subject)
  }

  #wayFor({ channel, key, answerUrl }: Arrival, figure: boolean): () => Promise<Ending> {
    const byApi = this.#chance.is(0.3)
    if (figure) {
      const shown = this.#shows()
      if (byApi || channel === 'webhook') return () => this.#house.read(shown)
      if (channel === 'telegram') {
        const updateId = nextUpdate()
        return () => this.#house.writeInChat(`${shown} %`, updateId)
      }
      return () => this.#house.readByLink(answerUrl ?? '', shown)
    }
    if (byApi || channel === 'webhook') return () => this.#house.acknowledge(key)
    if (channel === 'telegram') {
      const updateId = nextUpdate()
      return () => this.#house.tapInChat(key, updateId)
    }
    return () => this.#house.tapLink(answerUrl ?? '', key)
  }
}
