// Who sends a push, as the push service asks it: a token signed with the worker's own key (RFC 8292). The
// key must stay the same as long as there are subscriptions made with it.

import { HOUR_MS, type Instant } from '../plan/index.ts'
import { fromBase64url, toBase64url } from './base64url.ts'

export type VapidKeys = {
  /** The point, 65 octets in base64url: what a browser subscribes with (`applicationServerKey`). */
  readonly publicKey: string
  /** The private number, 32 octets in base64url. */
  readonly privateKey: string
  /** Where the push service's people find ours: `mailto:` or `https:` (RFC 8292 §2.1). */
  readonly subject: string
}

// RFC 8292 §2 allows 24 hours; half of it leaves room for clocks that differ.
const VALID_MS = 12 * HOUR_MS

const ES256 = { name: 'ECDSA', hash: 'SHA-256' }
const P256_ECDSA = { name: 'ECDSA', namedCurve: 'P-256' }

/** A new pair of keys, without a subject. */
export async function newVapidKeys(): Promise<Omit<VapidKeys, 'subject'>> {
  const pair = (await crypto.subtle.generateKey(P256_ECDSA, true, ['sign'])) as CryptoKeyPair
  const point = (await crypto.subtle.exportKey('raw', pair.publicKey)) as ArrayBuffer
  const { d } = (await crypto.subtle.exportKey('jwk', pair.privateKey)) as JsonWebKey
  if (d === undefined) throw new TypeError('Cannot export a private key without its number')
  return { publicKey: toBase64url(new Uint8Array(point)), privateKey: d }
}

/**
 * The `Authorization` header for one push service (RFC 8292 §3). It says the same for a whole hour, and
 * is valid for 11 to 12 hours from `now`.
 */
export async function vapidHeader(
  endpoint: string,
  keys: VapidKeys,
  now: Instant,
): Promise<string> {
  const claims = {
    aud: new URL(endpoint).origin,
    exp: (Math.floor(now / HOUR_MS) * HOUR_MS + VALID_MS) / 1000,
    sub: keys.subject,
  }
  const content = `${encoded({ typ: 'JWT', alg: 'ES256' })}.${encoded(claims)}`
  const key = await signingKey(keys)
  const octets = new TextEncoder().encode(content)
  // r and s, 32 octets each, as RFC 7518 §3.4 wants them.
  const signature = new Uint8Array(await crypto.subtle.sign(ES256, key, octets))
  return `vapid t=${content}.${toBase64url(signature)}, k=${keys.publicKey}`
}

async function signingKey({ publicKey, privateKey }: VapidKeys): Promise<CryptoKey> {
  const point = fromBase64url(publicKey) ?? new Uint8Array()
  const jwk = {
    kty: 'EC',
    crv: 'P-256',
    x: toBase64url(point.slice(1, 33)),
    y: toBase64url(point.slice(33)),
    d: privateKey,
  }
  try {
    return await crypto.subtle.importKey('jwk', jwk, P256_ECDSA, false, ['sign'])
  } catch {
    // Never in the message: what the keys are.
    throw new RangeError('Cannot sign a push as the VAPID keys must be a pair on P-256')
  }
}

const encoded = (part: object) => toBase64url(new TextEncoder().encode(JSON.stringify(part)))
