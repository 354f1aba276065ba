// What a household's object shows of itself to the web.

import type { Instant } from '../plan/index.ts'
import type { Decision, Household } from '../reminder/index.ts'

/** A household as it is now by its own clock, its plan reckoned anew for the moment. */
export type Seen = { readonly household: Household; readonly now: Instant }

export type Performed = Pick<Decision, 'outcome'> & {
  readonly seen: Seen
  /** What Holdbell said to it. */
  readonly replies: readonly { text: string; buttons: Household['messages'][number]['buttons'] }[]
}
