// When to try again, if the receiver did not say. Short, since a reminder that comes after its
// deadline is worth nothing: the caller drops it then.

const SECOND_MS = 1000

// Standard Webhooks' own schedule goes on for days; this is its shape, compressed (our choice).
const DELAYS_MS = [0, 5, 15, 45, 120, 300].map((seconds) => seconds * SECOND_MS)
const LONGEST_MS = 300 * SECOND_MS

/** Milliseconds to wait before the next attempt, after so many attempts: 0 before the first, 5 min at most. */
export const retryDelayMs = (attempts: number): number => DELAYS_MS[attempts] ?? LONGEST_MS
