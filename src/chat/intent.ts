// What a message can mean, as data: the vocabulary between understanding and answering.

import type { ApplianceName } from '../appliances/index.ts'
import type { FoundEvent, QuestionWhy } from '../announcement/index.ts'
import type { Instant, Span } from '../plan/index.ts'

export type KnownEvent = Span & { readonly id: string }

export type ChatContext = {
  readonly now: Instant
  /** IANA name. */
  readonly timeZone: string
  /** 10/11 is the tenth of November. */
  readonly dayFirst: boolean
  readonly language: 'en'
  /** The household's events that are announced and not over. */
  readonly events: readonly KnownEvent[]
  /** The names of those who can reach the battery. */
  readonly people?: readonly string[]
}

export type ChatQuestionWhy =
  | QuestionWhy
  | { readonly reason: 'which_event' }
  | { readonly reason: 'no_such_event' }
  | { readonly reason: 'no_events' }
  | { readonly reason: 'how_long' }
  /** `ok`: done, or only seen? */
  | { readonly reason: 'done_or_seen' }
  /** `done 58`: one message, two things. */
  | { readonly reason: 'two_things' }
  /** `empty`: a reading in a word. */
  | { readonly reason: 'reading_in_words'; readonly socPct: number }
  | { readonly reason: 'reading_out_of_range'; readonly value: number }
  | { readonly reason: 'reading_in_future'; readonly at: Instant }

/** What a choice's button shows. */
export type ChoiceLabel =
  | {
      readonly kind: 'span'
      readonly span: Span
      /** Beside a change of the clocks: which of the two times of that name. */
      readonly clocks: 'plain' | 'before' | 'after' | 'across'
    }
  | { readonly kind: 'event'; readonly event: KnownEvent }
  | { readonly kind: 'minutes'; readonly minutes: number }
  | { readonly kind: 'reading'; readonly socPct: number }
  | { readonly kind: 'done' }
  | { readonly kind: 'not-yet' }

/** `send` is a message of its own, which is understood without a further question. */
export type Choice = { readonly label: ChoiceLabel; readonly send: string }

export type Question = {
  readonly kind: 'question'
  readonly why: ChatQuestionWhy
  readonly choices: readonly Choice[]
}

/** Whom a message is about. */
export type Who =
  | { readonly kind: 'me' }
  | { readonly kind: 'all' }
  | { readonly kind: 'named'; readonly name: string }

export type Intent =
  | { readonly kind: 'announce'; readonly events: readonly FoundEvent[] }
  | { readonly kind: 'move'; readonly eventId: string; readonly to: FoundEvent }
  | { readonly kind: 'cancel'; readonly eventId: string }
  /** `at` null: now. */
  | { readonly kind: 'reading'; readonly socPct: number; readonly at: Instant | null }
  /** `did` null: it does not say which, as `done` alone does. */
  | { readonly kind: 'done'; readonly did: 'held' | 'running' | null }
  | { readonly kind: 'not-yet' }
  | { readonly kind: 'snooze'; readonly minutes: number }
  | { readonly kind: 'plan' }
  | { readonly kind: 'why' }
  | { readonly kind: 'worth' }
  /** What may run in an event: one appliance, or all (`null`). */
  | { readonly kind: 'appliance'; readonly name: ApplianceName | null }
  | { readonly kind: 'help' }
  /** Meter readings: asked after, or pasted as they stand in a file. */
  | { readonly kind: 'meter'; readonly pasted: boolean }
  /** Somebody cannot reach the battery: once, or every night; times as `HH:MM`. */
  | { readonly kind: 'away'; readonly who: Who; readonly span: Span }
  | { readonly kind: 'asleep'; readonly who: Who; readonly from: string; readonly until: string }
  /** It is about that, but not from when to when. */
  | { readonly kind: 'presence-unclear'; readonly about: 'away' | 'night' }
  | { readonly kind: 'who-is-there' }
  | { readonly kind: 'prices' }
  | { readonly kind: 'sun' }
  | { readonly kind: 'thanks' }
  | { readonly kind: 'stop' }
  /** Smoke, smell, swelling: the battery may be dangerous. */
  | { readonly kind: 'danger' }
  /** Someone's life depends on power. */
  | { readonly kind: 'medical' }
  /** The power is out. */
  | { readonly kind: 'outage' }
  | Question
  | { readonly kind: 'unknown' }
