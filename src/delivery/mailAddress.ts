// Mail addresses as values: the plain form of one, and the address at which a person's answers arrive.

// 26 letters of base32 (RFC 4648 §6): 130 bits.
const TOKEN = /^[a-z2-7]{26}$/
// RFC 5321 §4.5.3.1: 64 octets before the @, 254 in all (256 with its angle brackets).
const LONGEST = 254
const LONGEST_LOCAL = 64
// An atom of RFC 5322 §3.2.3, beyond ASCII too (RFC 6532): none of the marks that mean something in a header.
const ATOM = /^[^\s()<>[\]:;@\\,."\p{C}]+$/u
const LABEL = /^[a-z0-9](?:[a-z0-9-]{0,61}[a-z0-9])?$/

/**
 * The address in lower case, its domain in ASCII (IDNA); `null` if it is not `name@domain.example`.
 * Quoted names and number addresses (RFC 5321 §4.1.2, §4.1.3) are valid, but nobody's here.
 */
export function plainAddress(text: string): string | null {
  const at = text.lastIndexOf('@')
  const local = text.slice(0, Math.max(at, 0)).toLowerCase()
  const domain = plainDomain(text.slice(at + 1))
  if (text.length > LONGEST || at > LONGEST_LOCAL || domain === null) return null
  // What would be decoded to something else in a header (RFC 2047 §2).
  if (local.includes('=?')) return null
  return local.split('.').every((atom) => ATOM.test(atom)) ? `${local}@${domain}` : null
}

/** The domain in lower-case ASCII without a dot at its end; `null` if it is not a name with a dot in it. */
export function plainDomain(text: string): string | null {
  if (text.length > LONGEST || !/^[\p{L}\p{M}\p{N}.-]+$/u.test(text)) return null
  const address = `http://${text}`
  if (!URL.canParse(address)) return null
  const domain = new URL(address).hostname.replace(/\.$/, '')
  const labels = domain.split('.')
  const isName = labels.length > 1 && labels.every((label) => LABEL.test(label))
  return isName && !/^\d+$/.test(labels.at(-1) ?? '') ? domain : null
}

/** Where a person's answers arrive: `token@domain`. */
export function mailAddress(token: string, domain: string): string {
  // Never in the message: what the token is.
  if (!TOKEN.test(token))
    throw new RangeError(
      'Cannot make a mail address as its token must be 26 letters of a-z and 2-7',
    )
  return `${token}@${domain}`
}

/** The token of such an address, whatever case it arrives in; `null` if it has none. */
export function tokenOfAddress(to: string): string | null {
  const [local, domain] = to.toLowerCase().split('@')
  return local !== undefined && domain !== undefined && TOKEN.test(local) ? local : null
}
