// What a run knows at its end.

import type { ServerClock } from './clock.ts'
import type { Known } from './facts.ts'
import type { House } from './house.ts'
import type { Kill } from './killer.ts'
import type { Span } from './realServer.ts'
import type { Arrival } from './standIns.ts'
import type { Left } from './storage.ts'

export type Evidence = {
  readonly houses: readonly House[]
  readonly left: readonly Left[]
  readonly known: Known
  readonly arrivals: readonly Arrival[]
  readonly kills: readonly Kill[]
  readonly up: readonly Span[]
  readonly clock: ServerClock
  /** When all was over, real ms. */
  readonly endedAt: number
}

export const iso = (at: number | null): string =>
  at === null ? 'never' : new Date(at).toISOString().slice(11, 19)
