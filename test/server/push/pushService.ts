// A push service on loopback (RFC 8030): takes what is sent to its subscribers, and opens it with a second
// implementation of the encryption, with keys that only the test has.

import { type ECDH, createECDH, createPublicKey, randomBytes, verify } from 'node:crypto'
import { once } from 'node:events'
import { type IncomingHttpHeaders, createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import ece from 'http_ece'
import type { PushBody } from '../../../src/delivery/index.ts'

export type Received = {
  readonly headers: IncomingHttpHeaders
  /** As the browser gets it. */
  readonly text: string
  readonly notification: PushBody['notification']
}

/** What a browser would hand out, and what then came. */
export type Subscriber = {
  readonly endpoint: string
  readonly keys: { readonly p256dh: string; readonly auth: string }
  readonly received: readonly Received[]
}

export async function startPushService() {
  const boxes = new Map<string, { privateKey: ECDH; auth: string; received: Received[] }>()
  const server = createServer((request, response) => {
    const parts: Buffer[] = []
    request.on('data', (part: Buffer) => parts.push(part))
    request.on('end', () => {
      const box = boxes.get(request.url ?? '')
      if (box === undefined || request.method !== 'POST') return response.writeHead(404).end()
      const text = ece
        .decrypt(Buffer.concat(parts), {
          version: 'aes128gcm',
          privateKey: box.privateKey,
          authSecret: box.auth,
        })
        .toString()
      const { notification } = JSON.parse(text) as PushBody
      box.received.push({ headers: request.headers, text, notification })
      return response.writeHead(201).end()
    })
  }).listen(0, '127.0.0.1')
  await once(server, 'listening')
  const origin = `http://127.0.0.1:${(server.address() as AddressInfo).port}`

  const subscriber = (): Subscriber => {
    const privateKey = createECDH('prime256v1')
    const p256dh = privateKey.generateKeys('base64url')
    const auth = randomBytes(16).toString('base64url')
    const path = `/push/${randomBytes(16).toString('base64url')}`
    const received: Received[] = []
    boxes.set(path, { privateKey, auth, received })
    return { endpoint: `${origin}${path}`, keys: { p256dh, auth }, received }
  }
  const close = () => {
    server.closeAllConnections()
    server.close()
  }
  return { origin, subscriber, close }
}

/** The claims of a VAPID header (RFC 8292 §3) whose signature (RFC 7518 §3.4) fits its own key; throws where none does. */
export function vapidOf(header: string | undefined) {
  const [, t = '', k = ''] = /^vapid t=([\w.-]+), ?k=([\w-]+)$/.exec(header ?? '') ?? []
  const [head = '', claims = '', signature = ''] = t.split('.')
  const point = Buffer.from(k, 'base64url')
  const [x, y] = [point.subarray(1, 33), point.subarray(33)].map((each) =>
    each.toString('base64url'),
  )
  const key = createPublicKey({
    format: 'jwk',
    key: { kty: 'EC', crv: 'P-256', x: x ?? '', y: y ?? '' },
  })
  const signed = verify(
    'sha256',
    Buffer.from(`${head}.${claims}`),
    { key, dsaEncoding: 'ieee-p1363' },
    Buffer.from(signature, 'base64url'),
  )
  if (!signed) throw new Error('the signature does not fit')
  return { key: k, head: parsed(head), claims: parsed(claims) }
}

const parsed = (part: string) =>
  JSON.parse(Buffer.from(part, 'base64url').toString()) as Record<string, unknown>
