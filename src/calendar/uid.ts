// The name by which a calendar knows an entry again: the same for ever, and it tells nothing.

/** The entries of one event. */
export type EntryKind = 'event' | 'hold' | 'release'

// FNV-1a with 128 bits (RFC 9923). It spreads names evenly; it is no secret-keeper and need not be.
const OFFSET = 0x6c62272e07bb014262b821756295c58dn
const PRIME = 0x1000000000000000000013bn
const MASK = (1n << 128n) - 1n

/** FNV-1a, 128 bits, of an ASCII text: 32 hexadecimal digits. */
export function fnv1a128(ascii: string): string {
  let hash = OFFSET
  for (let i = 0; i < ascii.length; i++)
    hash = ((hash ^ BigInt(ascii.charCodeAt(i))) * PRIME) & MASK
  return hash.toString(16).padStart(32, '0')
}

/**
 * A UUID of version 8 (RFC 9562 §5.8) from ids alone: no host, user, token or clock in it (RFC 7986
 * §5.3), and nothing that could break out of its line, whatever the ids contain.
 */
export function entryUid(householdId: string, eventId: string, kind: EntryKind): string {
  const hex = fnv1a128(encodeURIComponent(JSON.stringify([householdId, eventId, kind])))
  const variant = ((Number.parseInt(hex.slice(16, 17), 16) & 3) | 8).toString(16)
  return [
    hex.slice(0, 8),
    hex.slice(8, 12),
    `8${hex.slice(13, 16)}`,
    `${variant}${hex.slice(17, 20)}`,
    hex.slice(20),
  ].join('-')
}
