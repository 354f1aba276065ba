// Signatures of Standard Webhooks 1.0: HMAC-SHA256 over `id.timestamp.body`, scheme `v1`.

const PREFIX = 'whsec_'

// The specification asks for 24 to 64 random bytes.
const SHORTEST_KEY = 24
const LONGEST_KEY = 64

/** A secret to hand to a receiver, from 24 to 64 random bytes: `whsec_` and base64. */
export function newWebhookSecret(randomBytes: Uint8Array): string {
  if (randomBytes.length < SHORTEST_KEY || randomBytes.length > LONGEST_KEY)
    throw new RangeError(
      `Cannot make a webhook secret as it must have 24 to 64 bytes: current value has ${randomBytes.length}`,
    )
  return PREFIX + toBase64(randomBytes)
}

/**
 * The `webhook-signature` header for exactly these octets of `body` (UTF-8): `v1,` and base64, once for each
 * secret in their order, with spaces between. The timestamp is that of the attempt, in whole seconds.
 */
export async function signWebhook(
  secrets: readonly string[],
  id: string,
  timestampSeconds: number,
  body: string,
): Promise<string> {
  // Otherwise a dot could be moved from one part to the next under the same signature.
  if (id.includes('.') || !Number.isSafeInteger(timestampSeconds))
    throw new RangeError(
      `Cannot sign a webhook as its id must have no dot and its timestamp must be whole seconds: current values are ${id} and ${timestampSeconds}`,
    )
  if (secrets.length === 0) throw new RangeError('Cannot sign a webhook without a secret')
  const content = new TextEncoder().encode(`${id}.${timestampSeconds}.${body}`)
  const signatures = await Promise.all(secrets.map((secret) => signature(secret, content)))
  return signatures.join(' ')
}

async function signature(secret: string, content: Uint8Array): Promise<string> {
  const hmac = { name: 'HMAC', hash: 'SHA-256' }
  const key = await crypto.subtle.importKey('raw', keyBytes(secret), hmac, false, ['sign'])
  return `v1,${toBase64(new Uint8Array(await crypto.subtle.sign('HMAC', key, content)))}`
}

function keyBytes(secret: string): Uint8Array {
  const key = secret.startsWith(PREFIX) ? secret.slice(PREFIX.length) : secret
  // Never in the message: what the secret is.
  if (key === '') throw new RangeError('Cannot sign a webhook as its secret is empty')
  return Uint8Array.from(atob(key), (char) => char.charCodeAt(0))
}

const toBase64 = (bytes: Uint8Array) => btoa(String.fromCharCode(...bytes))
