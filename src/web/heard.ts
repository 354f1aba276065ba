// What is answered to somebody who wrote or tapped outside the page.

import { refusalText } from '../chat/index.ts'
import { type Heard, type Performed, settledText } from '../household/index.ts'

export type { Heard }

/** Our replies to one message as one text. Where there are none: why it was not done, or what became of the reminder. */
export function repliesText({ outcome, replies, seen }: Performed, key?: string): string {
  if (replies.length > 0) return replies.map(({ text }) => text).join('\n\n')
  if (!outcome.ok) return refusalText(seen.household, outcome.refusal)
  const reminder = seen.household.reminders.find((each) => each.key === key)
  return reminder === undefined ? '' : settledText(seen.household, reminder)
}
