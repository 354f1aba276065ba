// What reading an announcement gives: events, a question with its evidence, or nothing.

import type { Instant, Span } from '../plan/index.ts'
import type { Change } from './change.ts'
import type { FoundEvent, SettleWhy } from './settle.ts'

export type QuestionWhy =
  | SettleWhy
  | { readonly reason: 'no_end'; readonly start: Instant | null }
  | { readonly reason: 'no_time' }
  | { readonly reason: 'repeating' }
  /** `maybe tomorrow …`, `… or …`, `is there an event …?`: nothing is announced for certain. */
  | { readonly reason: 'only_perhaps' }
  | { readonly reason: 'several_unclear'; readonly count: number }
  | { readonly reason: 'cancelled_and_new' }
  | { readonly reason: 'cancelled_without_time' }
  | { readonly reason: 'moved_without_time' }
  /** `moved from 17:30 to 18:30`: a new start, or the whole of it. */
  | { readonly reason: 'moved_from_or_between' }
  | { readonly reason: 'unknown_zone'; readonly zone: string }

export type AnnouncementReading =
  | { readonly kind: 'nothing' }
  | {
      readonly kind: 'events'
      readonly change: Change
      readonly events: readonly FoundEvent[]
      /** The deadline for saying yes, where one is named without doubt. */
      readonly enrolBy: Instant | null
    }
  | {
      readonly kind: 'question'
      readonly why: QuestionWhy
      readonly candidates: readonly Span[]
      /** What the same text says without doubt. */
      readonly sure: readonly FoundEvent[]
    }

export const nothing: AnnouncementReading = { kind: 'nothing' }

export const question = (
  why: QuestionWhy,
  candidates: readonly Span[] = [],
  sure: readonly FoundEvent[] = [],
): AnnouncementReading => ({ kind: 'question', why, candidates, sure })
