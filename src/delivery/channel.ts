// What every channel has in common: a message to the outside, and how the attempt ended. When to try,
// and what is recorded, is the household's business.

import type { Instant } from '../plan/index.ts'
import type { ReminderKind } from '../reminder/index.ts'

/** What a tap on a message does: says that it is done, or asks again later. */
export type Tap = { readonly label: string; readonly does: 'done' | 'later' }

/** One reminder as it leaves the house. The same at every attempt of the same delivery. */
export type OutgoingMessage = {
  /** The delivery's id: by it a receiver knows a repeat. Without a dot. */
  readonly id: string
  /** When the message was made, not when it is sent. */
  readonly at: Instant
  readonly key: string
  /** `test`: somebody asked whether the channel works. */
  readonly kind: ReminderKind | 'test'
  readonly eventId: string
  readonly text: string
  readonly dueAt: Instant
  readonly uselessAfter: Instant
  readonly repeat: number
  readonly page: string
}

/** A message to a person: what a channel shows besides the text. */
export type PersonalMessage = OutgoingMessage & {
  /** The household's name: what a notification or a mail is headed with. */
  readonly title: string
  readonly taps: readonly Tap[]
  /** A page that answers this one reminder; its POST acts, a GET never does. Also what a tap posts to, as JSON `{ "do": "done" | "later" }`. */
  readonly answerUrl: string
  /** Hold, release, restore: worth waking a phone. */
  readonly urgent: boolean
}

/** What is out there is over: somebody answered, or it does not help any more. `text` says which. */
export type Settled = {
  /** What the channel said the message is called there. */
  readonly handle: string
  readonly message: PersonalMessage
  readonly text: string
}

/** `note` is for the record and for a developer, never for a person at home. */
export type Outcome =
  /** `handle`: what the channel calls the message, where it can be changed afterwards. */
  | { readonly kind: 'accepted'; readonly handle?: string }
  /** `afterMs`: how long the receiver asked us to wait; `null` when it did not say. `doubtful`: it may have arrived all the same. */
  | {
      readonly kind: 'try-again'
      readonly afterMs: number | null
      readonly note: string
      readonly doubtful?: boolean
    }
  /** This message will never be taken; another may. */
  | { readonly kind: 'refused'; readonly note: string }
  /** The receiver wants nothing at this address, ever. */
  | { readonly kind: 'gone'; readonly note: string }
  /** The same chat has another id from now on. */
  | { readonly kind: 'moved'; readonly chatId: string; readonly note: string }

export type Tools = { readonly fetch: typeof fetch; readonly now: Instant }

/** Makes one attempt. A silent, unreachable or refusing receiver is an outcome; a throw is a bug. */
export type Channel<Target, Message = PersonalMessage, Needed = Tools> = (
  target: Target,
  message: Message,
  tools: Needed,
) => Promise<Outcome>
