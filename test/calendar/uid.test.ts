import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { entryUid, fnv1a128 } from '../../src/calendar/uid.ts'

// FNV-1a 128 bits as its authors publish it (RFC 9923); the values are from memory.
test.each([
  ['', '6c62272e07bb014262b821756295c58d'],
  ['a', 'd228cb696f1a8caf78912b704e4a8964'],
  ['foobar', '343e1662793c64bf6f0d3597ba446f18'],
])('FNV-1a of %j', (text, hash) => expect(fnv1a128(text)).toBe(hash))

describe('entryUid', () => {
  const id = fc.string({ unit: 'binary' })
  const kind = fc.constantFrom('event' as const, 'hold' as const, 'release' as const)

  // RFC 9562 §4.1 and §5.8; RFC 7986 §5.3 wants a UUID and nothing of host or user in it.
  test('is a UUID of version 8, whatever the ids contain', () => {
    fc.assert(
      fc.property(id, id, kind, (household, event, of) => {
        expect(entryUid(household, event, of)).toMatch(
          /^[\da-f]{8}-[\da-f]{4}-8[\da-f]{3}-[89ab][\da-f]{3}-[\da-f]{12}$/,
        )
      }),
    )
  })

  test('differs with household, event and kind, also where the joined ids would be alike', () => {
    const uids = [
      entryUid('h1', 'e1', 'event'),
      entryUid('h1', 'e1', 'hold'),
      entryUid('h1', 'e1', 'release'),
      entryUid('h1', 'e2', 'event'),
      entryUid('h2', 'e1', 'event'),
      entryUid('h1e', '1', 'event'),
      entryUid('h1","e1', '', 'event'),
      entryUid('h1', '","e1', 'event'),
    ]
    expect(new Set(uids).size).toBe(uids.length)
  })

  test('is fixed: another value would double every entry in every calendar', () => {
    expect(entryUid('h4f0c2', 'e1', 'hold')).toBe('0890095e-4093-87b0-9ed1-a0c43e6a80f9')
  })
})
