// What really happened, kept apart from what the household believes: when it could not act, what was asked, answered, called
// and taken. The invariants judge by this.

import type { Instant } from '../../src/plan/index.ts'
import { type Attempt, type Reminder, nextWake } from '../../src/reminder/index.ts'
import type { Household } from '../../src/reminder/index.ts'
import type { Platform } from './platform.ts'
import type { Season } from './season.ts'
import type { Trace } from './trace.ts'
import type { Way } from './ways.ts'

/** A little more than an alarm takes when all is well. */
export const SLACK_MS = 2000
/** A send that a crash cut off is taken up again after its lease. */
const LEASE_MS = 62_000

export type Ask = {
  readonly key: string
  readonly kind: Reminder['kind']
  readonly eventId: string
  readonly repeat: number
  readonly at: Instant
}

export type MadeCall = {
  readonly at: Instant
  readonly process: number
  arrived: boolean
  attempt: Attempt | null
  returnedAt: Instant | null
  /** What the receiver asked for. */
  waitMs: number
}

export type Arrival = { readonly at: Instant; readonly channel: string; readonly repeat: number }

/** What was planned for an event, and since when. */
export type Planned = {
  readonly holdBy: Instant | null
  readonly releaseAt: Instant | null
  readonly since: Instant
}

export class Facts {
  readonly season: Season
  readonly platform: Platform
  readonly trace: Trace
  readonly ways: ReadonlyMap<string, Way>
  readonly current: () => Household
  readonly asks: Ask[] = []
  readonly asksOf = new Map<string, Ask[]>()
  readonly calls = new Map<string, MadeCall[]>()
  readonly arrivals = new Map<string, Arrival[]>()
  /** Answered, and not taken back. */
  readonly answered = new Map<string, Instant>()
  /** When anybody last said something about a reminder. */
  readonly touched = new Map<string, Instant>()
  readonly planned = new Map<string, Planned>()
  readonly #troubles: { readonly from: Instant; readonly until: Instant }[] = []
  process = 0
  /** How often there was something to judge, by invariant: what is never looked at guards nothing. */
  readonly looked: Record<string, number> = {}
  /** When channels or settings were last changed. */
  householdChangedAt: Instant | null = null
  /** The process died and nothing has armed since. */
  unarmed = false
  /** The process died, or the alarm was lost, since the last decision. */
  excused = false

  constructor(
    season: Season,
    platform: Platform,
    trace: Trace,
    ways: ReadonlyMap<string, Way>,
    current: () => Household,
  ) {
    this.season = season
    this.platform = platform
    this.trace = trace
    this.ways = ways
    this.current = current
  }

  get now(): Instant {
    return this.platform.now
  }

  /** By how much what is done now is overdue, ms; notes that the household could not act meanwhile. */
  overdueMs(household: Household): number {
    const due = nextWake(household)
    if (due === null || due >= this.now - SLACK_MS) return 0
    this.#troubles.push({ from: due, until: this.now })
    return this.now - due
  }

  crashed(): void {
    this.#troubles.push({ from: this.now, until: (this.now + LEASE_MS) as Instant })
    this.process += 1
    this.unarmed = true
    this.excused = true
  }

  /** Whether nothing kept the household from acting in that time. */
  wasAwake(from: Instant, until: Instant): boolean {
    const due = nextWake(this.current())
    const isLate = due !== null && due < this.now - SLACK_MS && due <= until
    return (
      !isLate &&
      !this.#troubles.some((each) => each.from <= until && each.until >= from) &&
      !this.season.faults.outages.some((each) => each.from <= until && each.until >= from)
    )
  }

  look(invariant: string): void {
    this.looked[invariant] = (this.looked[invariant] ?? 0) + 1
  }

  add<Value>(to: Map<string, Value[]>, key: string, value: Value): void {
    const list = to.get(key)
    if (list === undefined) to.set(key, [value])
    else list.push(value)
  }
}
