// What can be asked of a household, and why it may be refused.

import type { Instant, Span } from '../plan/index.ts'
import type { ChannelResult, ChannelTarget } from './channels.ts'
import type { Attempt } from './attempts.ts'
import type { MeterHistory, ReminderState, Settings } from './types.ts'

export type Command =
  | {
      readonly type: 'announce'
      readonly start: Instant
      readonly end: Instant
      /** Named in the same breath: all of them are taken, or none. */
      readonly more?: readonly Span[]
    }
  | {
      readonly type: 'move'
      readonly eventId: string
      readonly start: Instant
      readonly end: Instant
    }
  | { readonly type: 'cancel'; readonly eventId: string }
  | { readonly type: 'reading'; readonly at: Instant; readonly socPct: number }
  /** `by`: a person's name, or where it was said. `channel`: that of the message that was answered. */
  | {
      readonly type: 'acknowledge'
      readonly key: string
      readonly by: string
      readonly channel?: string
    }
  /** "Held", though nobody was asked to: for the event that it is kept for. */
  | { readonly type: 'held'; readonly eventId: string; readonly by: string }
  /** Takes an answer back: "not yet". */
  | { readonly type: 'reopen'; readonly key: string }
  | { readonly type: 'snooze'; readonly key: string; readonly minutes: number }
  /** What differs between the two is changed; what somebody else changed meanwhile stays. */
  | { readonly type: 'settings'; readonly settings: Settings; readonly from: Settings }
  /** Meter data arrived: all that there are now, or none any more. */
  | { readonly type: 'meter'; readonly meter: MeterHistory | null }
  /** A way to a person; one that leads to the same place is changed instead. */
  | {
      readonly type: 'add-channel'
      readonly person: string
      readonly label: string
      readonly target: ChannelTarget
      readonly state: 'waiting' | 'on'
      /** The channel that leads there from now on instead. */
      readonly replaces?: string
    }
  /** Its owner confirmed it, or turned it off or on again. */
  | {
      readonly type: 'turn-channel'
      readonly channelId: string
      readonly to: 'on' | 'off'
    }
  | { readonly type: 'remove-channel'; readonly channelId: string }
  /** Tried before all others of its person. */
  | { readonly type: 'prefer-channel'; readonly channelId: string }
  /** Somebody asked whether it works. */
  | {
      readonly type: 'tested-channel'
      readonly channelId: string
      readonly result: ChannelResult
      /** Where it led when it was tried. */
      readonly address: string
    }
  /** A time has come. */
  | { readonly type: 'wake' }
  /** An attempt to send came back. */
  | { readonly type: 'attempted'; readonly deliveryId: string; readonly attempt: Attempt }

/** To be performed after the household is saved. What comes of it returns as an `attempted` command. */
export type Effect = { readonly type: 'send'; readonly deliveryId: string }

/** Why a command was not carried out, with the evidence. Nothing was changed. */
export type CommandRefusal =
  | { readonly reason: 'event_reversed'; readonly start: Instant; readonly end: Instant }
  | { readonly reason: 'event_over'; readonly end: Instant }
  | { readonly reason: 'event_too_long'; readonly hours: number; readonly limitHours: number }
  | { readonly reason: 'event_too_far'; readonly days: number; readonly limitDays: number }
  | {
      readonly reason: 'events_overlap'
      readonly eventId: string
      readonly start: Instant
      readonly end: Instant
    }
  | { readonly reason: 'too_many_events'; readonly limit: number }
  | { readonly reason: 'no_such_event'; readonly eventId: string }
  | { readonly reason: 'event_cancelled'; readonly eventId: string }
  | { readonly reason: 'reading_out_of_range'; readonly socPct: number }
  | { readonly reason: 'reading_in_future'; readonly at: Instant }
  | { readonly reason: 'reading_too_old'; readonly at: Instant }
  | { readonly reason: 'reading_superseded'; readonly at: Instant; readonly newerAt: Instant }
  | { readonly reason: 'no_such_reminder'; readonly key: string }
  | { readonly reason: 'reminder_closed'; readonly key: string; readonly state: ReminderState }
  | { readonly reason: 'snooze_out_of_range'; readonly minutes: number }
  | { readonly reason: 'no_such_channel'; readonly channelId: string }
  | { readonly reason: 'too_many_channels'; readonly limit: number }
