// What the API needs of a household, as an interface: the Durable Object's stub behind a thin coat in
// production, a few lines in tests. Plain data only: it crosses an RPC call.

import type { Instant } from '../../plan/index.ts'
import type { Button, Command, Decision, Household } from '../../reminder/index.ts'

/** A household and the time on its own clock. */
export type Seen = { readonly household: Household; readonly now: Instant }

export type Reply = { readonly text: string; readonly buttons: readonly Button[] }

export type Performed = {
  readonly outcome: Decision['outcome']
  readonly seen: Seen
  readonly replies: readonly Reply[]
}

export type HouseholdDoor = {
  read(): Promise<Seen>
  perform(command: Command): Promise<Performed>
  /** Does what a chat message would do. */
  say(text: string): Promise<Performed>
  /** Deletes everything. */
  erase(): Promise<void>
}
