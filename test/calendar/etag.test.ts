import { describe, expect, test } from 'vitest'
import { etagMatches, feedEtag } from '../../src/calendar/index.ts'

// RFC 9110 §8.8.3.2, the comparison table: only weak comparison counts for If-None-Match (§13.1.2).
describe('weak comparison', () => {
  test.each([
    ['W/"1"', 'W/"1"', true],
    ['W/"1"', 'W/"2"', false],
    ['W/"1"', '"1"', true],
    ['"1"', '"1"', true],
  ])('%s and %s: %s', (a, b, same) => {
    expect(etagMatches(a, b)).toBe(same)
    expect(etagMatches(b, a)).toBe(same)
  })
})

describe('If-None-Match (RFC 9110 §8.8.3, §13.1.2)', () => {
  test.each([
    ['*', true],
    [' * ', true],
    ['"xyzzy"', true],
    ['"xyzzy", "r2d2xxxx", "c3piozzzz"', true],
    ['"r2d2xxxx",W/"xyzzy"', true],
    ['"r2d2xxxx",, "xyzzy",', true],
    ['"r2d2xxxx", "c3piozzzz"', false],
    // A comma may stand inside a tag.
    ['"a,"xyzzy"', false],
    ['"xyzzy,b"', false],
    ['""', false],
    ['', false],
    // Not a field of that form: `*` in a list, no quotes, `W/` in small letters.
    ['*, "xyzzy"', false],
    ['xyzzy', false],
    ['w/"xyzzy"', false],
    ['"XYZZY"', false],
    ['"xyzzy', false],
  ])('%j: %s', (field, matches) => {
    expect(etagMatches(field, 'W/"xyzzy"')).toBe(matches)
  })

  test('no field matches nothing', () => expect(etagMatches(null, 'W/"1"')).toBe(false))

  test('an empty tag is a tag', () => expect(etagMatches('""', 'W/""')).toBe(true))
})

describe('feedEtag', () => {
  test('is a weak entity-tag: the edge may compress (RFC 9110 §8.8.3)', () => {
    expect(feedEtag({ revision: 3 })).toMatch(/^W\/"[\x21\x23-\x7e]+"$/)
  })

  test('changes with each revision, and matches itself also when made strong on the way', () => {
    expect(new Set([0, 1, 2, 11, 111].map((revision) => feedEtag({ revision }))).size).toBe(5)
    const etag = feedEtag({ revision: 3 })
    expect(etagMatches(etag, etag)).toBe(true)
    expect(etagMatches(etag.replace('W/', ''), etag)).toBe(true)
    expect(etagMatches(feedEtag({ revision: 2 }), etag)).toBe(false)
  })
})
