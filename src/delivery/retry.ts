// When to try again, if the receiver did not say; what it says is obeyed as it is, without any spread. Short,
// since a reminder that comes after its deadline is worth nothing: the caller drops it then.

import { shareOf } from '../reminder/index.ts'

const SECOND_MS = 1000

// Standard Webhooks' own schedule goes on for days; this is its shape, compressed (our choice).
const DELAYS_MS = [0, 5, 15, 45, 120, 300].map((seconds) => seconds * SECOND_MS)
const LONGEST_MS = 300 * SECOND_MS

/**
 * Whole milliseconds to wait before the next attempt, after so many attempts: 0 before the first, 5 min at
 * most. `share`, 0 to 1, spreads the second half of each wait, lest all who failed together come back
 * together. Never less than the first half: there are ten attempts, and an outage must not use them up at once.
 */
export function retryDelayMs(attempts: number, share = 1): number {
  const longest = DELAYS_MS[attempts] ?? LONGEST_MS
  return Math.round((longest * (1 + share)) / 2)
}

/** The share of one wait of one delivery, from 0 up to but not 1: without chance. */
export const retryShare = (deliveryId: string, attempts: number): number =>
  shareOf(`${deliveryId} ${attempts}`)
