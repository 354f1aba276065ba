// Every number that decides when somebody is asked, with its reason. The rules that use them are in README.md.

import { DAY_MS, HOUR_MS, MINUTE_MS } from '../plan/index.ts'

const minutes = (...each: readonly number[]) => each.map((count) => count * MINUTE_MS)

// Where nobody said when the battery charges, what it holds today says little of tomorrow: it is planned on the day.

/** A reading so long before an event, or an event so long after another, is of another day. */
export const SAME_DAY_MS = 12 * HOUR_MS

/** On the day a reading is asked for this long before the event. */
export const ASK_ON_DAY_MS = 10 * HOUR_MS

/** Where somebody is about to leave or to sleep, a reading is asked for this long before that: time to hold as well. */
export const BEFORE_LEAVING_MS = 30 * MINUTE_MS

/** A charge by hand that begins so long before an event is of the night before. */
export const NIGHT_BEFORE_MS = DAY_MS

/** An event that is planned the evening before is planned from a reading of so long before that. */
export const STILL_GOOD_MS = 4 * HOUR_MS

/** Let run so long before an event's own release, a battery may be held once more for it. */
export const RUNS_BETWEEN_MS = 20 * MINUTE_MS

/** A hold is asked for this long before it has to be done: time to find the phone and walk to the inverter. */
export const HOLD_AHEAD_MS = 10 * MINUTE_MS

/** A look that is due just before the hold says at which figure to hold; unanswered, the hold is asked for this long before it. */
export const HOLD_AFTER_LOOK_MS = 6 * MINUTE_MS

/** A release is asked for this long before its time; the lead before the event is the rest of the slack. */
export const RELEASE_AHEAD_MS = 2 * MINUTE_MS

/** A reading is asked for this long before the hold: late enough to be worth much, early enough to be answered. */
export const READING_AHEAD_MS = HOUR_MS

/** Two readings of one stretch of the day tell what was used between them. */
export const SAME_STRETCH_MS = 12 * HOUR_MS

/** The forecast is walked from a reading at most this old; an older one is taken as of then. */
export const OLDEST_READING_MS = 7 * DAY_MS

/** A reading younger than this when it would be asked for is good enough. */
export const FRESH_READING_MS = 2 * HOUR_MS

/** At most this many readings are asked for per event. */
export const MAX_READINGS = 2

/** Without a reading nothing can be planned: ask again after these, then no more. */
export const NO_READING_NUDGES_MS = [1, 2, 4].map((hours) => hours * HOUR_MS)

/** A hold that nobody answers is asked for again at these times from its latest safe one: closer together towards it, then further apart, then no more. */
export const HOLD_AGAIN_MS = minutes(-6, -3, -1, 3, 10, 30, 90)

/** A release likewise, from the start of its event; and then every half hour as long as the event runs. */
export const RELEASE_AGAIN_MS = minutes(-4, -2, 0, 3, 8, 15, 30)
export const RELEASE_THEN_EVERY_MS = 30 * MINUTE_MS

/** Somebody has a minute at least between two askings. */
export const LEAST_GAP_MS = MINUTE_MS

/** "Let it run again" of a battery that is known to be held and has no event any more: so long after each sending. */
export const RESTORE_NUDGES_MS = minutes(10, 30)

/** "Not yet", or a snooze when the time is past already: asked again after this. */
export const ASK_AGAIN_MS = 5 * MINUTE_MS

/** Nearer to its deadline than this, or past it, an asking goes to everybody at once. */
export const EVERYBODY_MS = 3 * MINUTE_MS

/** Who said something so recently is at hand: nobody else is called for it. */
export const AT_HAND_MS = 2 * MINUTE_MS

/** Between two messages that may wait (an operator's alarm rate, EEMUA 191: one in ten minutes on average). */
export const APART_MS = 10 * MINUTE_MS

/** Households of one utility are not all told in the same second: earlier by up to this, or later after an event. */
export const SPREAD_MS = MINUTE_MS

/** A charge by hand of less than this is not asked for; the margin holds more. */
export const WORTH_CHARGING_MS = 5 * MINUTE_MS

/** The charge for the night: once more, before people go to bed. */
export const OVERNIGHT_NUDGES_MS = [20 * MINUTE_MS]

/** What the display shows is asked for this long after the end: the battery is at rest, the person near. */
export const OUTCOME_AFTER_MS = 5 * MINUTE_MS
export const OUTCOME_USEFUL_MS = 12 * HOUR_MS

/** A battery still paused after its event: worth saying for this long. */
export const RESTORE_USEFUL_MS = 12 * HOUR_MS

/** A hold that moves later by at least this replaces one that was sent; less is not worth a new message. */
export const WORTH_MOVING_MS = 20 * MINUTE_MS

/** A plan that changes by less is the same plan to a person. */
export const SAME_TIME_MS = MINUTE_MS

/** A send that has not come back after this is taken as lost and tried again, with the same id. */
export const LEASE_MS = MINUTE_MS

/** After so many attempts a send is given up; a nudge is a send of its own. With the delays of delivery/retry.ts that is half an hour. */
export const MAX_ATTEMPTS = 10

/** Kept for the page: past reminders and deliveries for this long, this many messages and readings. */
export const KEEP_MS = 60 * DAY_MS
export const KEEP_MESSAGES = 200
export const KEEP_READINGS = 100
