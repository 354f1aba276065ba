// What every channel has in common: a message to the outside, and how the attempt ended. When to try,
// and what is recorded, is the household's business.

import type { Instant } from '../plan/index.ts'
import type { ReminderKind } from '../reminder/index.ts'

/** One reminder as it leaves the house. The same at every attempt of the same delivery. */
export type OutgoingMessage = {
  /** The delivery's id: by it a receiver knows a repeat. Without a dot. */
  readonly id: string
  /** When the message was made, not when it is sent. */
  readonly at: Instant
  readonly key: string
  readonly kind: ReminderKind
  readonly eventId: string
  readonly text: string
  readonly dueAt: Instant
  readonly uselessAfter: Instant
  readonly repeat: number
  readonly page: string
}

/** `note` is for the record and for a developer, never for a person at home. */
export type Outcome =
  | { readonly kind: 'accepted' }
  /** `afterMs`: how long the receiver asked us to wait; `null` when it did not say. */
  | { readonly kind: 'try-again'; readonly afterMs: number | null; readonly note: string }
  /** The receiver wants nothing at this address, ever. */
  | { readonly kind: 'gone'; readonly note: string }

export type Tools = { readonly fetch: typeof fetch; readonly now: Instant }

/** Makes one attempt. A silent, unreachable or refusing receiver is an outcome; a throw is a bug. */
export type Channel<Target> = (
  target: Target,
  message: OutgoingMessage,
  tools: Tools,
) => Promise<Outcome>
