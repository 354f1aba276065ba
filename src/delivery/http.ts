// What the channels over HTTP have in common: one POST that gives up in time and is led nowhere else, and how
// its answer is read. What an answer means is each channel's own business.

import { DateTime } from 'luxon'
import { type Instant, type Result, ok, refuse } from '../plan/index.ts'
import { NO_CONNECTION } from '../reminder/index.ts'
import type { Outcome } from './channel.ts'

/** Below the 15 to 30 s that Standard Webhooks suggests: waiting is what costs on this platform. */
export const TIMEOUT_MS = 8000

// What a receiver answers is its own choice; more than this is never read.
const LONGEST_ANSWER = 65_536

const TOO_MUCH: ReadonlySet<number> = new Set([429, 502, 504])

// Longer than the first waits of our own schedule (retry.ts), and short beside an evening.
const SLOWED_MS = 30_000

export type TryAgain = Extract<Outcome, { kind: 'try-again' }>

/** What is posted: the headers and the octets. */
export type Posted = {
  readonly headers: Record<string, string>
  readonly body: string | Uint8Array
}

/** The answer to one POST, or why there was none. Who gets the answer lets its body go (`discard`, `readJson`). */
export async function post(
  fetch: typeof globalThis.fetch,
  url: string,
  { headers, body }: Posted,
): Promise<Result<Response, TryAgain>> {
  try {
    const response = await fetch(url, {
      method: 'POST',
      headers,
      body,
      // A redirect could lead to an address that nobody checked.
      redirect: 'manual',
      signal: AbortSignal.timeout(TIMEOUT_MS),
    })
    return ok(response)
  } catch (error) {
    return refuse(troubleOf(error))
  }
}

/** What a failed `fetch` says: the request may have arrived all the same. The runtime says the same of a connection that was refused and of one that broke after the message was taken. */
export function troubleOf(error: unknown): TryAgain {
  const late =
    error instanceof Error && (error.name === 'TimeoutError' || error.name === 'AbortError')
  return late
    ? { kind: 'try-again', afterMs: null, note: 'no answer in time', doubtful: true }
    : { kind: 'try-again', afterMs: null, note: NO_CONNECTION, doubtful: true }
}

/** Retry-After as milliseconds from `now`: seconds or an HTTP-date (RFC 9110 §10.2.3); `null` if it is neither. */
export function retryAfterMs(field: string | null, now: Instant): number | null {
  const value = field?.trim() ?? ''
  if (/^\d{1,9}$/.test(value)) return Number(value) * 1000
  const date = DateTime.fromHTTP(value, { zone: 'utc' })
  return date.isValid ? Math.max(0, date.toMillis() - now) : null
}

/**
 * How long an answer that is not 2xx asks us to wait: what it says, or half a minute where it is too much for
 * the receiver and it does not say (429, 502 and 504 in Standard Webhooks); else `null`.
 */
export function waitAskedMs({ status, headers }: Response, now: Instant): number | null {
  const said = status >= 400 ? retryAfterMs(headers.get('retry-after'), now) : null
  return said ?? (TOO_MUCH.has(status) ? SLOWED_MS : null)
}

/** Lets a body go that is nobody's business: unread it would keep the connection open. */
export function discard(response: Response): void {
  response.body?.cancel().catch(() => undefined)
}

/** The answer's JSON; `null` if it is none, breaks off, or is longer than 64 KiB. */
export async function readJson(response: Response): Promise<unknown> {
  const octets = new Uint8Array(LONGEST_ANSWER)
  let length = 0
  try {
    for await (const chunk of response.body ?? []) {
      if (length + chunk.length > LONGEST_ANSWER) return null
      octets.set(chunk, length)
      length += chunk.length
    }
    return JSON.parse(new TextDecoder().decode(octets.subarray(0, length)))
  } catch {
    return null
  }
}
