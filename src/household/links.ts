// Links and addresses that a household hands out one by one: each carries a code that only its object can make (HMAC-SHA256),
// so nothing has to be kept for it.

/** 128 bits in base64url: for an address that acts on one reminder, one channel. */
export const linkCode = async (key: string, ...parts: readonly string[]): Promise<string> =>
  base64url((await macOf(key, parts)).slice(0, 16))

/** 130 bits in small letters and digits (RFC 4648 §6): for the part of a mail address before the @, whose case may get lost. */
export async function mailCode(key: string, ...parts: readonly string[]): Promise<string> {
  const bytes = await macOf(key, parts)
  return Array.from({ length: 26 }, (_, i) => BASE32[fiveBits(bytes, 5 * i)]).join('')
}

/** Whether a code is the one that belongs there; in constant time. */
export function isSameCode(given: string, expected: string): boolean {
  const [a, b] = [new TextEncoder().encode(given), new TextEncoder().encode(expected)]
  return a.length === b.length && crypto.subtle.timingSafeEqual(a, b)
}

const BASE32 = 'abcdefghijklmnopqrstuvwxyz234567'

function fiveBits(bytes: Uint8Array, bit: number): number {
  const two = ((bytes[bit >> 3] ?? 0) << 8) | (bytes[(bit >> 3) + 1] ?? 0)
  return (two >> (11 - (bit & 7))) & 31
}

async function macOf(key: string, parts: readonly string[]): Promise<Uint8Array> {
  // A part with a line end in it could pass for two.
  const text = new TextEncoder().encode(parts.map((part) => part.replaceAll('\n', ' ')).join('\n'))
  const hmac = { name: 'HMAC', hash: 'SHA-256' }
  const secret = new TextEncoder().encode(key)
  const signing = await crypto.subtle.importKey('raw', secret, hmac, false, ['sign'])
  return new Uint8Array(await crypto.subtle.sign('HMAC', signing, text))
}

const base64url = (bytes: Uint8Array): string =>
  btoa(String.fromCharCode(...bytes))
    .replaceAll('+', '-')
    .replaceAll('/', '_')
    .replaceAll('=', '')
