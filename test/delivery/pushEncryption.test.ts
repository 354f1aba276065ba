import { createECDH, createHash } from 'node:crypto'
import * as fc from 'fast-check'
import ece from 'http_ece'
import { describe, expect, test } from 'vitest'
import {
  LONGEST_PUSH_OCTETS,
  encryptPush,
  readPushKeys,
  sealRecord,
} from '../../src/delivery/pushEncryption.ts'

const octets = (base64url: string) => new Uint8Array(Buffer.from(base64url, 'base64url'))
const base64url = (bytes: Uint8Array) => Buffer.from(bytes).toString('base64url')
const utf8 = (text: string) => new TextEncoder().encode(text)

// RFC 8291, section 5 and Appendix A.
const rfc8291 = {
  plaintext: 'When I grow up, I want to be a watermelon',
  senderPrivate: 'yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw',
  senderPublic:
    'BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8',
  receiverPrivate: 'q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94',
  p256dh: 'BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4',
  auth: 'BTBZMqHH6r4Tts7J_aSIgg',
  salt: 'DGv6ra1nlYgDCS1FRnbzlw',
  ikm: 'S4lYMb_L0FxCeq0WhDx813KgSYqU26kOyzWUdsXYyrg',
  header:
    'DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8',
  body: 'DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN',
}
const keys = { p256dh: rfc8291.p256dh, auth: rfc8291.auth }

async function senderKeys(): Promise<CryptoKeyPair> {
  const curve = { name: 'ECDH', namedCurve: 'P-256' }
  const point = octets(rfc8291.senderPublic)
  const jwk = {
    kty: 'EC',
    crv: 'P-256',
    x: base64url(point.slice(1, 33)),
    y: base64url(point.slice(33)),
  }
  const secret = { ...jwk, d: rfc8291.senderPrivate }
  return {
    publicKey: await crypto.subtle.importKey('jwk', jwk, curve, true, []),
    privateKey: await crypto.subtle.importKey('jwk', secret, curve, false, ['deriveBits']),
  }
}

async function sealed(plaintext: Uint8Array, chance?: Parameters<typeof encryptPush>[2]) {
  const result = await encryptPush(plaintext, keys, chance)
  if (!result.ok) throw new Error(result.refusal.reason)
  return result.value
}

function opened(body: Uint8Array): Buffer {
  const privateKey = createECDH('prime256v1')
  privateKey.setPrivateKey(Buffer.from(rfc8291.receiverPrivate, 'base64url'))
  return ece.decrypt(Buffer.from(body), {
    version: 'aes128gcm',
    privateKey,
    authSecret: rfc8291.auth,
  })
}

describe('the published example (RFC 8291, Appendix A)', () => {
  test('comes out octet for octet', async () => {
    const body = await sealed(utf8(rfc8291.plaintext), {
      salt: octets(rfc8291.salt),
      senderKeys: await senderKeys(),
    })
    expect(base64url(body)).toBe(rfc8291.body)
    expect(base64url(body.slice(0, 86))).toBe(rfc8291.header)
    // The RFC prints a Content-Length of 145 beside these 144 octets.
    expect(body).toHaveLength(144)
    // Computed from the published body by another program.
    expect(createHash('sha256').update(body).digest('hex')).toBe(
      'f976e174457c5111a0b05234e648bc012cb1e2b37949afce4d7b1e84752953c7',
    )
  })

  test('the published keying material gives the same record', async () => {
    const by = {
      ikm: octets(rfc8291.ikm),
      salt: octets(rfc8291.salt),
      keyId: octets(rfc8291.senderPublic),
    }
    expect(base64url(await sealRecord(utf8(rfc8291.plaintext), by))).toBe(rfc8291.body)
  })
})

describe('the coding aes128gcm (RFC 8188, section 3)', () => {
  test('example 3.1 comes out octet for octet', async () => {
    const body = await sealRecord(utf8('I am the walrus'), {
      ikm: octets('yqdlZ-tYemfogSmv7Ws5PQ'),
      salt: octets('I1BsxtFttlv3u_Oo94xnmw'),
      keyId: new Uint8Array(),
    })
    expect(base64url(body)).toBe(
      'I1BsxtFttlv3u_Oo94xnmwAAEAAA-NAVub2qFgBEuQKRapoZu-IxkIva3MEB1PD-ly8Thjg',
    )
  })

  // We send one record at most; this shows that the decoder of the tests below reads the standard.
  test('example 3.2, of two records, is read by the decoder used below', () => {
    const body =
      'uNCkWiNYzKTnBN9ji3-qWAAAABkCYTHOG8chz_gnvgOqdGYovxyjuqRyJFjEDyoF1Fvkj6hQPdPHI51OEUKEpgz3SsLWIqS_uA'
    const read = ece.decrypt(Buffer.from(body, 'base64url'), {
      version: 'aes128gcm',
      key: 'BO3ZVPxUlnLORbVGMpbT1Q',
    })
    expect(read.toString()).toBe('I am the walrus')
  })
})

describe('what is sent', () => {
  test('another program (http_ece) reads any text of 0 to 3993 octets', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.uint8Array({ minLength: 0, maxLength: LONGEST_PUSH_OCTETS, size: 'max' }),
        async (plaintext) => {
          const body = await sealed(plaintext)
          expect(body).toHaveLength(plaintext.length + 103)
          expect(opened(body).equals(Buffer.from(plaintext))).toBe(true)
        },
      ),
    )
  })

  // RFC 8291 §4: 4096 octets are what a receiver has to take.
  test.each([0, 1, 3992, 3993])('at %i octets it stays within 4096', async (length) => {
    const body = await sealed(new Uint8Array(length).fill(7))
    expect(body.length).toBeLessThanOrEqual(4096)
    expect(opened(body)).toHaveLength(length)
  })

  test('3994 octets are a bug', async () => {
    await expect(encryptPush(new Uint8Array(3994), keys)).rejects.toThrow(
      new RangeError(
        'Cannot encrypt a push as it must have 3993 octets at most: current value has 3994',
      ),
    )
  })

  test('salt and sender’s key are fresh each time', async () => {
    const [one, other] = [await sealed(utf8('a')), await sealed(utf8('a'))]
    expect(base64url(one.slice(0, 16))).not.toBe(base64url(other.slice(0, 16)))
    expect(base64url(one.slice(21, 86))).not.toBe(base64url(other.slice(21, 86)))
  })

  test('one changed octet, and nobody reads it', async () => {
    const body = await sealed(utf8(rfc8291.plaintext))
    body[100]! ^= 1
    expect(() => opened(body)).toThrow()
  })
})

describe('keys that cannot be (RFC 8291 §3.1, §3.2, §7)', () => {
  const point = octets(rfc8291.p256dh)
  const changed = (at: number, to: number) => {
    const other = point.slice()
    other[at] = to
    return base64url(other)
  }
  const length = (field: string, found: number, wanted: number) => ({
    reason: 'wrong_length',
    field,
    octets: found,
    wanted,
  })

  test.each([
    ['a changed y', { p256dh: changed(64, point[64]! ^ 1) }, { reason: 'not_on_curve' }],
    ['a changed x', { p256dh: changed(1, point[1]! ^ 1) }, { reason: 'not_on_curve' }],
    [
      'nothing but zeros',
      { p256dh: base64url(new Uint8Array([4, ...Array.from({ length: 64 }, () => 0)])) },
      { reason: 'not_on_curve' },
    ],
    // SEC 1 §2.3.3 (from memory): 06 and 07 also say which y it is; some programs take them.
    ['the hybrid form', { p256dh: changed(0, 6 + (point[64]! & 1)) }, { reason: 'not_on_curve' }],
    ['another first octet', { p256dh: changed(0, 0) }, { reason: 'not_on_curve' }],
    ['the compressed form', { p256dh: base64url(point.slice(0, 33)) }, length('p256dh', 33, 65)],
    ['no key', { p256dh: '' }, length('p256dh', 0, 65)],
    ['a short secret', { auth: 'BTBZMqHH6r4Tts7J_aSI' }, length('auth', 15, 16)],
    ['a long secret', { auth: 'BTBZMqHH6r4Tts7J_aSIggA' }, length('auth', 17, 16)],
    ['padding', { auth: `${keys.auth}==` }, { reason: 'not_base64url', field: 'auth' }],
    [
      'plain base64',
      { auth: keys.auth.replace('_', '/') },
      { reason: 'not_base64url', field: 'auth' },
    ],
    ['a space', { p256dh: ` ${keys.p256dh}` }, { reason: 'not_base64url', field: 'p256dh' }],
    ['a line’s end', { p256dh: `${keys.p256dh}\n` }, { reason: 'not_base64url', field: 'p256dh' }],
    ['half an octet', { auth: 'BTBZM' }, { reason: 'not_base64url', field: 'auth' }],
  ])('%s', async (_, spoilt, refusal) => {
    expect(await readPushKeys({ ...keys, ...spoilt })).toEqual({ ok: false, refusal })
    expect(await encryptPush(utf8('a'), { ...keys, ...spoilt })).toEqual({ ok: false, refusal })
  })

  test('good ones are read', async () => {
    expect(await readPushKeys(keys)).toMatchObject({ ok: true, value: { point } })
  })
})
