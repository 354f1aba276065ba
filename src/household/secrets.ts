// The keys of a household: 256 random bits each, one per purpose, shown once; only their digests are kept
// (OWASP ASVS 5.0, 7.2.3). A token is the household's id and a key, so no central table is asked.

export type Purpose = 'page' | 'feed'

export type Token = { readonly id: string; readonly key: string }

const KEY_BYTES = 32
const ID_BYTES = 12

/** Random bytes in base64url without padding (RFC 4648 §5). */
export function randomText(bytes: number): string {
  return toBase64url(crypto.getRandomValues(new Uint8Array(bytes)))
}

export const newId = (): string => randomText(ID_BYTES)
export const newKey = (): string => randomText(KEY_BYTES)

export const tokenText = ({ id, key }: Token): string => `${id}.${key}`

/** Whether it can be a household's id, so that no object is woken for anything else. */
export const isId = (text: string): boolean => /^[\w-]{16}$/.test(text)

/** `null` for what cannot be a token, so that no object is woken for it. */
export function parseToken(text: string): Token | null {
  const match = /^([\w-]{16})\.([\w-]{43})$/.exec(text)
  return match === null ? null : { id: match[1] ?? '', key: match[2] ?? '' }
}

/** SHA-256; a fast digest is enough at 256 random bits. */
export async function digestOf(key: string): Promise<string> {
  const digest = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(key))
  return toBase64url(new Uint8Array(digest))
}

/** Compares two digests in constant time. */
export function sameDigest(a: string, b: string): boolean {
  const [left, right] = [new TextEncoder().encode(a), new TextEncoder().encode(b)]
  return left.length === right.length && crypto.subtle.timingSafeEqual(left, right)
}

const toBase64url = (bytes: Uint8Array): string =>
  btoa(String.fromCharCode(...bytes))
    .replaceAll('+', '-')
    .replaceAll('/', '_')
    .replaceAll('=', '')
