export type {
  Button,
  Delivery,
  Household,
  HouseholdEvent,
  HouseholdPlan,
  Message,
  MeterHistory,
  MissedBecause,
  Reminder,
  ReminderKind,
  Settings,
} from './types.ts'
export { newHousehold } from './types.ts'
export type { Habits, Person, Rates, Solar, SolarArray, Weekly } from './habits.ts'
export { NO_HABITS, habitsOf } from './habits.ts'
export type { Command, CommandRefusal } from './commands.ts'
export type { Attempt } from './attempts.ts'
export type { Decision } from './decide.ts'
export { decide } from './decide.ts'
export { saidSince, withMessage } from './messages.ts'
export { WEBHOOK, stillWanted } from './outbox.ts'
export { isUrgent } from './ladder.ts'
export { NO_CONNECTION, addressOf } from './channels.ts'
export { deadlineOf } from './deadline.ts'
export { pctAfter } from './chargeText.ts'
export {
  chargesFirst,
  hasNothingToGive,
  heldSince,
  isHeld,
  lastTold,
  onTheDay,
  planFor,
  plannedFrom,
  planInput,
  plannedEvent,
  takesPct,
  upcoming,
} from './planning.ts'
export { outOfReach, whoReaches } from './reach.ts'
export { isOpen } from './reconcile.ts'
export type { Advice } from './advice.ts'
export { adviceFor } from './advice.ts'
export { advice, adviceText } from './adviceText.ts'
export { eventName, formatOf, planText, reminderText } from './text.ts'
export { shareOf } from './spread.ts'
export { sunAhead } from './sun.ts'
export { sunTexts } from './sunText.ts'
export { fedFromElsewhere } from './pastDays.ts'
export { provenText } from './provenText.ts'
export { nextWake } from './wake.ts'
export { RELEASE_AHEAD_MS, SAME_DAY_MS } from './timing.ts'
export type { EventWorth } from './worth.ts'
export { worthOfEvent, worthOfEvents } from './worth.ts'
export { worthText } from './worthText.ts'
export type { ChannelKind, ChannelResult, ChannelTarget, HouseholdChannel } from './channels.ts'
