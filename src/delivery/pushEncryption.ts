// What a push carries, sealed for one browser: one record of aes128gcm (RFC 8188) under keys agreed as
// RFC 8291 says. The push service in between reads none of it. Not padded: what is sent is short anyway.

import { type Result, ok, refuse } from '../plan/index.ts'
import { fromBase64url } from './base64url.ts'

/** A subscription's keys in base64url: its public key (65 octets) and its authentication secret (16). */
export type PushKeys = { readonly p256dh: string; readonly auth: string }

/** What is wrong with keys that a browser is said to have given. */
export type PushKeysRefusal =
  | { readonly reason: 'not_base64url'; readonly field: keyof PushKeys }
  | {
      readonly reason: 'wrong_length'
      readonly field: keyof PushKeys
      readonly octets: number
      readonly wanted: number
    }
  | { readonly reason: 'not_on_curve' }

/** Made fresh for each message, except in a test. */
export type PushChance = { readonly salt?: Uint8Array; readonly senderKeys?: CryptoKeyPair }

// RFC 8291 §4: a receiver need not take more than 4096 octets: a header of 86, a delimiter, a tag of 16.
const RECORD_OCTETS = 4096
export const LONGEST_PUSH_OCTETS = RECORD_OCTETS - 86 - 1 - 16

const POINT_OCTETS = 65
const AUTH_OCTETS = 16
const SALT_OCTETS = 16
const UNCOMPRESSED = 0x04
const LAST_RECORD = 0x02

const P256_ECDH = { name: 'ECDH', namedCurve: 'P-256' }

/** The body to send with `Content-Encoding: aes128gcm`, 103 octets longer than `plaintext`. */
export async function encryptPush(
  plaintext: Uint8Array,
  keys: PushKeys,
  chance: PushChance = {},
): Promise<Result<Uint8Array, PushKeysRefusal>> {
  if (plaintext.length > LONGEST_PUSH_OCTETS)
    throw new RangeError(
      `Cannot encrypt a push as it must have ${LONGEST_PUSH_OCTETS} octets at most: current value has ${plaintext.length}`,
    )
  const read = await readPushKeys(keys)
  if (!read.ok) return read
  const receiver = read.value
  const salt = chance.salt ?? crypto.getRandomValues(new Uint8Array(SALT_OCTETS))
  const sender = chance.senderKeys ?? (await newSenderKeys())
  const senderPoint = await pointOf(sender.publicKey)

  // RFC 8291 §3.4: the secret of the two key pairs, with the authentication secret.
  const shared = await sharedSecret(sender.privateKey, receiver.key)
  const keyInfo = joined(utf8('WebPush: info\0'), receiver.point, senderPoint)
  const ikm = await hkdf(receiver.auth, shared, keyInfo, 32)
  return ok(await sealRecord(plaintext, { ikm, salt, keyId: senderPoint }))
}

/** The coding aes128gcm (RFC 8188) of what fits into one record of 4096 octets. */
export async function sealRecord(
  plaintext: Uint8Array,
  by: { readonly ikm: Uint8Array; readonly salt: Uint8Array; readonly keyId: Uint8Array },
): Promise<Uint8Array> {
  // §2.2 and §2.3. The first record's nonce is the base itself.
  const cek = await hkdf(by.salt, by.ikm, utf8('Content-Encoding: aes128gcm\0'), 16)
  const nonce = await hkdf(by.salt, by.ikm, utf8('Content-Encoding: nonce\0'), 12)
  const aes = await crypto.subtle.importKey('raw', cek, 'AES-GCM', false, ['encrypt'])
  const delimited = joined(plaintext, Uint8Array.of(LAST_RECORD))
  const sealed = await crypto.subtle.encrypt({ name: 'AES-GCM', iv: nonce }, aes, delimited)
  return joined(headerOf(by.salt, by.keyId), new Uint8Array(sealed))
}

type ReadKeys = {
  readonly key: CryptoKey
  readonly point: Uint8Array
  readonly auth: Uint8Array
}

/** The keys as they are used, or why they cannot be (RFC 8291 §3.1, §3.2 and §7). */
export async function readPushKeys(keys: PushKeys): Promise<Result<ReadKeys, PushKeysRefusal>> {
  const point = octetsOf(keys, 'p256dh', POINT_OCTETS)
  if (!point.ok) return point
  const auth = octetsOf(keys, 'auth', AUTH_OCTETS)
  if (!auth.ok) return auth
  // The platform checks that it lies on the curve; some take it with another first octet as well.
  if (point.value[0] !== UNCOMPRESSED) return refuse({ reason: 'not_on_curve' })
  try {
    const key = await crypto.subtle.importKey('raw', point.value, P256_ECDH, false, [])
    return ok({ key, point: point.value, auth: auth.value })
  } catch {
    return refuse({ reason: 'not_on_curve' })
  }
}

function octetsOf(
  keys: PushKeys,
  field: keyof PushKeys,
  wanted: number,
): Result<Uint8Array, PushKeysRefusal> {
  const octets = fromBase64url(keys[field])
  if (octets === null) return refuse({ reason: 'not_base64url', field })
  return octets.length === wanted
    ? ok(octets)
    : refuse({ reason: 'wrong_length', field, octets: octets.length, wanted })
}

/** §2.1: salt, record size, length of the key's id, and that id. */
function headerOf(salt: Uint8Array, keyId: Uint8Array): Uint8Array {
  const recordSize = new Uint8Array(4)
  new DataView(recordSize.buffer).setUint32(0, RECORD_OCTETS)
  return joined(salt, recordSize, Uint8Array.of(keyId.length), keyId)
}

const newSenderKeys = async () =>
  (await crypto.subtle.generateKey(P256_ECDH, false, ['deriveBits'])) as CryptoKeyPair

/** A public key as a point of 65 octets. */
async function pointOf(key: CryptoKey): Promise<Uint8Array> {
  return new Uint8Array((await crypto.subtle.exportKey('raw', key)) as ArrayBuffer)
}

async function sharedSecret(privateKey: CryptoKey, publicKey: CryptoKey): Promise<Uint8Array> {
  // The platform's types call the field `$public`; the standard and the platform itself, `public`.
  const agreement = { name: 'ECDH', public: publicKey }
  return new Uint8Array(await crypto.subtle.deriveBits(agreement, privateKey, 256))
}

async function hkdf(
  salt: Uint8Array,
  ikm: Uint8Array,
  info: Uint8Array,
  octets: number,
): Promise<Uint8Array> {
  const key = await crypto.subtle.importKey('raw', ikm, 'HKDF', false, ['deriveBits'])
  const how = { name: 'HKDF', hash: 'SHA-256', salt, info }
  return new Uint8Array(await crypto.subtle.deriveBits(how, key, octets * 8))
}

const utf8 = (text: string) => new TextEncoder().encode(text)

function joined(...parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0))
  let at = 0
  for (const part of parts) {
    whole.set(part, at)
    at += part.length
  }
  return whole
}
