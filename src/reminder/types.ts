// A household as a value: what it is, what was announced and reported, what is asked of its people.
// Plain data only, so that it can be stored, compared and sent over RPC.

import type {
  Battery,
  EventPlan,
  Instant,
  Margin,
  PastDay,
  Plan,
  Reading,
  Rule,
} from '../plan/index.ts'
import type { LedgerRow } from '../ledger/index.ts'
import type { HouseholdChannel } from './channels.ts'
import type { Habits } from './habits.ts'

export type Language = 'en'

export type Settings = Habits & {
  readonly name: string
  /** IANA name. */
  readonly timeZone: string
  readonly language: Language
  /** 10/11 is the tenth of November. */
  readonly dayFirst: boolean
  readonly battery: Battery
  /** What the house draws in the evening, kW. */
  readonly loadKw: number
  /** When the battery charges itself from the grid every night, local clock times `HH:MM`; the forecast counts on it. */
  readonly nightCharge: { readonly from: string; readonly until: string } | null
  readonly margin: Margin
  readonly rule: Rule | null
  readonly releaseLeadMinutes: number
  /** The household's own words: "how we pause it at home". */
  readonly howToHold: string
  readonly howToRelease: string
  /** Somebody depends on powered medical equipment: advised against taking part. */
  readonly medical: boolean
  /** `oldSecret` signs as well for a while after a change of the secret. */
  readonly webhook: {
    readonly url: string
    readonly secret: string
    readonly oldSecret?: { readonly secret: string; readonly until: Instant }
  } | null
  /** Whether the calendar feed carries alarms. */
  readonly calendarAlarms: boolean
  /** An invented household to look around in. */
  readonly demo: boolean
}

export type TopUp = NonNullable<EventPlan['topUp']>

export type HouseholdEvent = {
  readonly id: string
  readonly start: Instant
  readonly end: Instant
  readonly state: 'announced' | 'cancelled'
  /** Rises with each change of time or state (RFC 5546 §2.1.4). */
  readonly sequence: number
  readonly changedAt: Instant
  /** When somebody said that the discharge is paused, and that it runs again. */
  readonly heldAt: Instant | null
  readonly releasedAt: Instant | null
  /** What the display showed afterwards, if somebody said. */
  readonly outcomePct: number | null
  /** The charge from the grid that somebody said is done or set for it. */
  readonly topUp?: TopUp | null
  /** Since when it runs again between two holds; what was answered for the hold before is done with. */
  readonly runsSince?: Instant | null
}

/** What the battery held at an instant: told by a person, or reckoned from the plan when hands paused or released it. */
export type HouseholdReading = Reading & { readonly reckoned: boolean }

/** The kinds and states that the HTTP contract names. */
export type ReminderKind =
  'plan' | 'enrol' | 'overnight' | 'reading' | 'hold' | 'release' | 'restore' | 'outcome'

export type ReminderState = 'waiting' | 'sent' | 'acknowledged' | 'lapsed' | 'replaced' | 'missed'

/** Why a reminder reached nobody: nothing woke in time; nobody was there; no channel took it; another message was too near. */
export type MissedBecause = 'woke-late' | 'nobody-there' | 'no-channel' | 'crowded'

export type Reminder = {
  /** Stable and safe in an address: `hold-e1-1`. */
  readonly key: string
  readonly kind: ReminderKind
  readonly eventId: string
  /** When it is first to be sent. */
  readonly dueAt: Instant
  /** After this it asks for nothing that still helps. */
  readonly uselessAfter: Instant
  readonly state: ReminderState
  /** As last sent; `null` until then. */
  readonly text: string | null
  readonly sentAt: Instant | null
  /** The next send: the due time, a nudge, or the end of a snooze; `null` when none is to come. */
  readonly nextAt: Instant | null
  /** 0 the first time, then one more with each nudge. */
  readonly repeat: number
  readonly acknowledgedAt: Instant | null
  readonly acknowledgedBy: string | null
  /** With `missed` alone. */
  readonly missedBecause: MissedBecause | null
}

/** What a person can tap instead of typing: `send` is a complete message. */
export type Button = { readonly label: string; readonly send: string }

export type Message = {
  /** Rises by one. */
  readonly seq: number
  readonly at: Instant
  readonly from: 'household' | 'holdbell'
  readonly text: string
  readonly buttons: readonly Button[]
  /** The reminder that this message is a sending of. */
  readonly reminderKey: string | null
}

/** One message on its way to one channel. The row exists before the send; its id never changes (Standard Webhooks: `webhook-id`). */
export type Delivery = {
  readonly id: string
  /** `ask`: the reminder. `settle`: what is out there shows that it was answered, or is over. */
  readonly purpose: 'ask' | 'settle'
  readonly reminderKey: string
  readonly kind: ReminderKind
  readonly repeat: number
  /** The channel's id, or `webhook`. */
  readonly channel: string
  readonly state: 'queued' | 'sending' | 'accepted' | 'dropped'
  readonly attempts: number
  /** When to try next; while sending, when the attempt counts as lost. */
  readonly nextAt: Instant | null
  readonly note: string | null
  /** When the channel took it, and what it calls it. */
  readonly acceptedAt: Instant | null
  readonly handle: string | null
  /** An attempt ended unknown: it may have arrived, and the next one is its double. */
  readonly doubtful: boolean
}

/** The household's own readings of its meter, as whole days of the local clock; stored apart, since they are many. */
export type MeterHistory = {
  /** When the last of them arrived. */
  readonly takenAt: Instant
  /** The first and the last whole day, `2027-01-14`. */
  readonly from: string
  readonly until: string
  /** How many whole days there are, and how many between the first and the last are missing. */
  readonly wholeDays: number
  readonly missingDays: number
  /** The share of half-hours of the newest days in which next to nothing came in: what a battery or panels gave then, a meter does not see. */
  readonly idleShare: number
  /** Oldest first. Empty in what a page or the API is given. */
  readonly days: readonly PastDay[]
}

export type Household = {
  readonly id: string
  readonly settings: Settings
  readonly events: readonly HouseholdEvent[]
  /** Newest last; the last one counts. */
  readonly readings: readonly HouseholdReading[]
  readonly reminders: readonly Reminder[]
  readonly messages: readonly Message[]
  readonly deliveries: readonly Delivery[]
  /** The ways to its people, besides the page and the webhook; in the order in which each person's are tried. */
  readonly channels: readonly HouseholdChannel[]
  /** `null` until somebody uploads them. */
  readonly meter: MeterHistory | null
  /** Rises with every change of events, plan or settings: the calendar feed's ETag. */
  readonly revision: number
  /** The plan as last computed; `null` while there is no event or no reading. */
  readonly plan: HouseholdPlan | null
}

/** A plan with the events it is for, in the same order. */
export type HouseholdPlan = {
  readonly at: Instant
  readonly eventIds: readonly string[]
  readonly plan: Plan
  /** What the plan from past days was calibrated for; not there in any other plan. */
  readonly calibratedFor?: string
  /** How its figures come about, where that was worked out already: what it takes may not be at hand elsewhere. */
  readonly why?: readonly (readonly LedgerRow[])[]
}

/** A household as it begins. */
export const newHousehold = (id: string, settings: Settings): Household => ({
  id,
  settings,
  events: [],
  readings: [],
  reminders: [],
  messages: [],
  deliveries: [],
  channels: [],
  meter: null,
  revision: 1,
  plan: null,
})
