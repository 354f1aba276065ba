// The conversation on the household's own page.

import type { Instant } from '../plan/index.ts'
import { KEEP_MESSAGES } from './timing.ts'
import type { Button, Household, Message } from './types.ts'

/** The household with one more message; the oldest give way. */
export function withMessage(
  household: Household,
  at: Instant,
  from: Message['from'],
  text: string,
  extra: { readonly buttons?: readonly Button[]; readonly reminderKey?: string } = {},
): Household {
  const message: Message = {
    seq: (household.messages.at(-1)?.seq ?? 0) + 1,
    at,
    from,
    text,
    buttons: extra.buttons ?? [],
    reminderKey: extra.reminderKey ?? null,
  }
  return { ...household, messages: [...household.messages, message].slice(-KEEP_MESSAGES) }
}

/** What Holdbell said since a message. */
export const saidSince = (household: Household, seq: number): readonly Message[] =>
  household.messages.filter((each) => each.seq > seq && each.from === 'holdbell')
