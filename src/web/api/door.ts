// What the API needs of a household, as an interface: the Durable Object's stub behind a thin coat in
// production, a few lines in tests. Plain data only: it crosses an RPC call.

import type { Instant, Result } from '../../plan/index.ts'
import type { Button, Household, Settings } from '../../reminder/index.ts'

export type Command =
  | { readonly type: 'announce'; readonly start: Instant; readonly end: Instant }
  | {
      readonly type: 'move'
      readonly eventId: string
      readonly start: Instant
      readonly end: Instant
    }
  | { readonly type: 'cancel'; readonly eventId: string }
  | { readonly type: 'reading'; readonly at: Instant; readonly socPct: number }
  | { readonly type: 'acknowledge'; readonly key: string; readonly by: string }
  | { readonly type: 'snooze'; readonly key: string; readonly minutes: number }
  | { readonly type: 'settings'; readonly settings: Settings }

export type CommandRefusal =
  | { readonly reason: 'unknown_event'; readonly eventId: string }
  | { readonly reason: 'event_cancelled'; readonly eventId: string }
  | { readonly reason: 'event_over'; readonly end: Instant; readonly now: Instant }
  | { readonly reason: 'event_reversed' }
  | { readonly reason: 'events_overlap'; readonly eventId: string }
  | { readonly reason: 'too_many_events'; readonly most: number }
  | { readonly reason: 'reading_in_future'; readonly at: Instant; readonly now: Instant }
  | { readonly reason: 'unknown_reminder'; readonly key: string }
  | { readonly reason: 'reminder_closed'; readonly key: string }
  | { readonly reason: 'snooze_too_long'; readonly uselessAfter: Instant }

export type Reply = { readonly text: string; readonly buttons: readonly Button[] }

export type HouseholdDoor = {
  read(): Promise<Household>
  /** The household after the command; the event that was announced or moved is found by its times. */
  perform(command: Command): Promise<Result<Household, CommandRefusal>>
  /** Does what a chat message would do. */
  say(text: string): Promise<readonly Reply[]>
  /** Deletes everything. */
  erase(): Promise<void>
}
