// What is to happen when: a binary heap by time. What falls on one instant comes in an order of chance.

import type { Instant } from '../../src/plan/index.ts'
import type { Chance } from './random.ts'

type Item = { readonly at: Instant; readonly tie: number; readonly run: () => void }

export class Queue {
  readonly #heap: Item[] = []
  readonly #chance: Chance

  constructor(chance: Chance) {
    this.#chance = chance
  }

  get nextAt(): Instant | null {
    return this.#heap[0]?.at ?? null
  }

  add(at: Instant, run: () => void): void {
    const heap = this.#heap
    const item = { at, tie: this.#chance.next(), run }
    let place = heap.length
    heap.push(item)
    while (place > 0) {
      const parent = (place - 1) >> 1
      const above = heap[parent]
      if (above === undefined || !isBefore(item, above)) break
      heap[place] = above
      place = parent
    }
    heap[place] = item
  }

  take(): Item | undefined {
    const heap = this.#heap
    const top = heap[0]
    const last = heap.pop()
    if (top === undefined || last === undefined || heap.length === 0) return top
    let place = 0
    for (;;) {
      const left = heap[2 * place + 1]
      const right = heap[2 * place + 2]
      const child = right !== undefined && left !== undefined && isBefore(right, left) ? 2 : 1
      const below = child === 2 ? right : left
      if (below === undefined || !isBefore(below, last)) break
      heap[place] = below
      place = 2 * place + child
    }
    heap[place] = last
    return top
  }
}

const isBefore = (a: Item, b: Item): boolean => a.at < b.at || (a.at === b.at && a.tie < b.tie)
