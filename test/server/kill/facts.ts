// What was confirmed: each 2xx is a promise that is looked for on the disk after every kill.

import type { Left } from './storage.ts'

export type Fact = {
  readonly household: string
  readonly what: string
  /** When the answer had come, real ms. */
  readonly at: number
  isThere(left: Left): boolean
}

/** "Done" was taken: from here on nobody is asked again. */
export type Answered = { readonly household: string; readonly key: string; readonly at: number }

/** What is known of all calls. */
export type Known = {
  readonly facts: Fact[]
  readonly answers: Answered[]
  /** When a household was last called, real ms. */
  readonly visits: { readonly household: string; readonly at: number }[]
  /** Refusals and answers that should not be. */
  readonly oddities: string[]
}

export type EventSeen = {
  readonly id: string
  readonly start: string
  readonly end: string
  readonly state: string
  readonly sequence: number
}

/** A later change may have come through without its answer; it has a higher sequence. */
export const eventIsThere =
  (seen: EventSeen) =>
  ({ events }: Left): boolean => {
    const event = events.find(({ id }) => id === seen.id)
    if (event === undefined || event.sequence < seen.sequence) return false
    if (event.sequence > seen.sequence) return true
    return (
      event.state === seen.state &&
      event.start === Date.parse(seen.start) &&
      event.end === Date.parse(seen.end)
    )
  }

export const readingIsThere =
  (socPct: number) =>
  ({ readings }: Left): boolean =>
    readings.some((each) => !each.reckoned && Math.abs(each.socPct - socPct) < 1e-6)

export const isAnswered =
  (key: string) =>
  ({ reminders }: Left): boolean =>
    reminders.some((each) => each.key === key && each.state === 'acknowledged')

/** A tap that came too late changes nothing; one in time ends the asking. */
export const isClosed =
  (key: string) =>
  ({ reminders }: Left): boolean =>
    !reminders.some((each) => each.key === key && ['waiting', 'sent'].includes(each.state))
