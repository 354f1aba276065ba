// Bodies that may be large: read up to a bound, and thrown away unread beyond it.

/** A meter's file: the contract's 5 MiB, ten years of half-hours in any form that is usual. */
export const MOST_FILE_BYTES = 5 * 1024 * 1024

/** RFC 4180 §3. */
export const CSV_TYPE = 'text/csv; charset=utf-8; header=present'

/** More is not even listened to: the connection is cut. */
const MOST_HEARD_BYTES = 256 * 1024 * 1024

/**
 * The whole body, or `null` when it is over `most` bytes. What is too much is never held in memory, but it is heard to
 * its end: a browser that is still sending does not look at an answer.
 */
export async function bodyWithin(request: Request, most: number): Promise<Uint8Array | null> {
  if (request.body === null) return new Uint8Array(0)
  let tooMuch = Number(request.headers.get('content-length') ?? 0) > most
  const reader = request.body.getReader()
  let chunks: Uint8Array[] = []
  let heard = 0
  for (;;) {
    const { done, value } = await reader.read()
    if (done) break
    heard += value.length
    tooMuch ||= heard > most
    if (!tooMuch) chunks.push(value)
    else chunks = []
    if (heard > MOST_HEARD_BYTES) {
      await reader.cancel()
      return null
    }
  }
  return tooMuch ? null : joined(chunks, heard)
}

function joined(chunks: readonly Uint8Array[], length: number): Uint8Array {
  const whole = new Uint8Array(length)
  let at = 0
  for (const chunk of chunks) {
    whole.set(chunk, at)
    at += chunk.length
  }
  return whole
}
