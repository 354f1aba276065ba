// Chance from a seed: the same seed, the same world.

/** A stream of draws (mulberry32, public domain; 32 bits of state are plenty for one season). */
export class Chance {
  #state: number

  constructor(seed: number) {
    this.#state = seed >>> 0
  }

  /** From 0 up to but not 1. */
  next(): number {
    this.#state = (this.#state + 0x6d2b79f5) >>> 0
    let mixed = this.#state
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1)
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32
  }

  is(probability: number): boolean {
    return this.next() < probability
  }

  /** A whole number, both ends included. */
  whole(from: number, to: number): number {
    return from + Math.floor(this.next() * (to - from + 1))
  }

  one<Value>(of: readonly [Value, ...Value[]]): Value {
    return of[Math.floor(this.next() * of.length)] ?? of[0]
  }

  /** Usually short, sometimes long: exponential, whole, at least 1. */
  wait(mean: number): number {
    return 1 + Math.floor(-Math.log(1 - this.next()) * mean)
  }

  /** A stream of its own, so that what is drawn there moves nothing here. */
  apart(): Chance {
    return new Chance(Math.floor(this.next() * 2 ** 32))
  }
}
