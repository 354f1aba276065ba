// Octets as base64url without padding (RFC 4648 §5), as keys, tokens and topics of Web Push are written.

export const toBase64url = (octets: Uint8Array): string =>
  btoa(String.fromCharCode(...octets))
    .replaceAll('+', '-')
    .replaceAll('/', '_')
    .replaceAll('=', '')

/** The octets, or `null` for a text that is not unpadded base64url. */
export function fromBase64url(text: string): Uint8Array | null {
  if (!/^[\w-]*$/.test(text) || text.length % 4 === 1) return null
  const binary = atob(text.replaceAll('-', '+').replaceAll('_', '/'))
  return Uint8Array.from(binary, (char) => char.charCodeAt(0))
}
