// Whether an address that a person gave may be called from here: the guard against being sent to call
// something inside (server-side request forgery; OWASP ASVS 5.0, 1.3.6). It looks at the address
// alone. A public name that resolves to an inner address is for the platform to refuse.

import { ok, refuse } from '../plan/index.ts'
import type { Result } from '../plan/index.ts'

export type AddressRefusal =
  | { readonly reason: 'too_long'; readonly length: number; readonly longest: number }
  | { readonly reason: 'unreadable' }
  | { readonly reason: 'not_https'; readonly scheme: string }
  | { readonly reason: 'user_or_password' }
  | { readonly reason: 'port'; readonly port: string }
  | { readonly reason: 'number_address'; readonly host: string }
  | { readonly reason: 'inner_name'; readonly host: string }
  | { readonly reason: 'own_host'; readonly host: string }

const LONGEST = 2048

// Names that never belong to a public host: special-use names (RFC 3172, 6761, 6762, 7686, 8375, 9476),
// ICANN's `internal`, and what routers use at home (common practice, no source).
const INNER_SUFFIXES = [
  'localhost',
  'local',
  'internal',
  'arpa',
  'test',
  'invalid',
  'onion',
  'alt',
  'lan',
  'home',
  'corp',
  'intranet',
  'private',
  'localdomain',
]

const isUnder = (host: string, suffix: string) => host === suffix || host.endsWith(`.${suffix}`)

/**
 * The address as it will be called, or why not. `ownHost` is this worker's host, with its port if it
 * has one; with `allowLocal` (never on a deployed worker) http and any port will do on loopback.
 */
export function checkAddress(
  address: string,
  options: { readonly allowLocal: boolean; readonly ownHost: string | null },
): Result<string, AddressRefusal> {
  if (address.length > LONGEST)
    return refuse({ reason: 'too_long', length: address.length, longest: LONGEST })
  // Parsing first: it turns 2130706433, 0x7f.1, 127.1 and full-width digits into 127.0.0.1.
  if (!URL.canParse(address)) return refuse({ reason: 'unreadable' })
  const url = new URL(address)
  if (url.href.length > LONGEST)
    return refuse({ reason: 'too_long', length: url.href.length, longest: LONGEST })

  const host = url.hostname.replace(/\.$/, '')
  const ownHost = options.ownHost?.toLowerCase() ?? null
  const local = options.allowLocal && isLoopback(host)

  if (url.protocol !== 'https:' && !(local && url.protocol === 'http:'))
    return refuse({ reason: 'not_https', scheme: url.protocol.replace(':', '') })
  if (url.username !== '' || url.password !== '') return refuse({ reason: 'user_or_password' })
  if (local) return url.host === ownHost ? refuse({ reason: 'own_host', host }) : ok(url.href)
  if (url.port !== '') return refuse({ reason: 'port', port: url.port })
  if (host.startsWith('[') || /^\d+(\.\d+){3}$/.test(host))
    return refuse({ reason: 'number_address', host })
  if (host.split('.').includes('')) return refuse({ reason: 'unreadable' })
  if (!host.includes('.') || INNER_SUFFIXES.some((suffix) => isUnder(host, suffix)))
    return refuse({ reason: 'inner_name', host })
  if (ownHost !== null && isUnder(host, ownHost.replace(/\.?(:\d+)?$/, '')))
    return refuse({ reason: 'own_host', host })
  return ok(url.href)
}

const isLoopback = (host: string) =>
  isUnder(host, 'localhost') || host === '[::1]' || /^127(\.\d+){3}$/.test(host)
