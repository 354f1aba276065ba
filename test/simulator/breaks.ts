// The code broken on purpose, one thing at a time: each is to be found by the invariant that it names, or the invariant guards
// nothing.

import type { Parts } from './shell.ts'

export type Break = {
  /** What is to find it. */
  readonly foundBy: string
  readonly parts: Partial<Parts>
}

export const BREAKS: Readonly<Record<string, Break>> = {
  'skip-still-wanted': { foundBy: 'I3', parts: { stillWanted: () => true } },
  'forget-to-arm': { foundBy: 'I6', parts: { arms: ({ type }) => type !== 'wake' } },
}
