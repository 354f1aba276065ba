// A whole utility's households are not all told in the same second: each by a time of its own, which never changes (R26).

import { SPREAD_MS } from './timing.ts'
import type { Household } from './types.ts'

const SECOND_MS = 1000

/** Milliseconds, whole seconds: by so much a hold or a release is asked for earlier, an outcome later. Of the id alone; FNV-1a. */
export function spreadOf({ id, settings }: Pick<Household, 'id' | 'settings'>): number {
  if (settings.demo) return 0
  let hash = 0x811c9dc5
  for (const char of id) hash = Math.imul(hash ^ (char.codePointAt(0) ?? 0), 0x01000193) >>> 0
  return (hash % (SPREAD_MS / SECOND_MS)) * SECOND_MS
}
