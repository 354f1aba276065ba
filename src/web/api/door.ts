// What the API needs of a household, as an interface: the Durable Object's stub behind a thin coat in
// production, a few lines in tests. Plain data only: it crosses an RPC call.

import type { MeterOutcome, MeterSeen, Tested } from '../../household/index.ts'
import type { Answers, Question } from '../../meter/index.ts'
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
  /** What is known of the meter. */
  meter(): Promise<MeterSeen>
  /** The readings that are kept, as CSV; empty where there are none. */
  meterFile(): Promise<string>
  /** Takes a meter's file in; `keep`: a question that it raises waits in the household for its answer. */
  takeMeter(
    file: { readonly bytes: Uint8Array; readonly answers: Answers },
    how: { readonly keep: boolean },
  ): Promise<MeterOutcome>
  /** Answers the question that is open, by the place of one of its choices. */
  answerMeter(about: Question['about'], choice: number): Promise<MeterOutcome>
  /** Lets go of the file that a question is open about. */
  dropMeterFile(): Promise<void>
  /** Forgets all meter data. */
  forgetMeter(): Promise<Performed>
  /** Tries a channel now. */
  testChannel(channelId: string): Promise<Tested>
  /** Asks the owner of a mail address to confirm it. */
  askMailOwner(channelId: string): Promise<Tested>
  /** A code by which a chat becomes a channel of this person's: once, within a quarter of an hour. */
  inviteChat(person: string): Promise<string>
  /** Takes a channel away; nothing leads here from there any more. */
  removeChannel(channelId: string): Promise<Performed>
  /** Deletes everything. */
  erase(): Promise<void>
}
