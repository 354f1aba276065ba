// What differs from one to another without chance: a whole utility's households are not all told in the same second, and
// what failed together is not tried again together (R11, R26).

import { SPREAD_MS } from './timing.ts'
import type { Household } from './types.ts'

const SECOND_MS = 1000

/** Milliseconds, whole seconds: by so much a hold or a release is asked for earlier, an outcome later. Of the id alone. */
export const spreadOf = ({ id, settings }: Pick<Household, 'id' | 'settings'>): number =>
  settings.demo ? 0 : Math.floor((shareOf(id) * SPREAD_MS) / SECOND_MS) * SECOND_MS

/** A number from 0 up to but not 1, always the same for a text, and evenly spread: FNV-1a, then the finalizer of MurmurHash3, as ids differ in few places. */
export function shareOf(text: string): number {
  let hash = 0x811c9dc5
  for (const char of text) hash = Math.imul(hash ^ (char.codePointAt(0) ?? 0), 0x01000193)
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b)
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35)
  return ((hash ^ (hash >>> 16)) >>> 0) / 2 ** 32
}
