export type {
  Button,
  Delivery,
  Household,
  HouseholdEvent,
  HouseholdPlan,
  Language,
  Message,
  Reminder,
  ReminderKind,
  ReminderState,
  Settings,
} from './types.ts'
