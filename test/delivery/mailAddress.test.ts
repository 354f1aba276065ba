import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { mailAddress, plainAddress, tokenOfAddress } from '../../src/delivery/index.ts'

const TOKEN = 'abcdefghijklmnopqrstuvwx27'

describe('a person’s receiving address', () => {
  test('brings its token back, in whatever case it arrives', () => {
    // RFC 4648 §6, table 3, in lower case.
    const letter = fc.constantFrom(...'abcdefghijklmnopqrstuvwxyz234567')
    const token = fc.string({ unit: letter, minLength: 26, maxLength: 26 })
    fc.assert(
      fc.property(token, fc.infiniteStream(fc.boolean()), (made, upper) => {
        const mixed = [...mailAddress(made, 'in.example.org')].map((char) =>
          upper.next().value === true ? char.toUpperCase() : char,
        )
        expect(tokenOfAddress(mixed.join(''))).toBe(made)
      }),
    )
  })

  test.each([
    '',
    TOKEN,
    `${TOKEN}+x@example.org`,
    `x${TOKEN}@example.org`,
    `${TOKEN.slice(1)}@example.org`,
    `${TOKEN.slice(1)}1@example.org`,
    `"${TOKEN}"@example.org`,
    `eve@${TOKEN}@example.org`,
  ])('%j has none', (to) => {
    expect(tokenOfAddress(to)).toBeNull()
  })

  test('is not made from anything else, and the error keeps the secret', () => {
    const bad = `${TOKEN}x`
    expect(() => mailAddress(bad, 'example.org')).toThrow(RangeError)
    expect(() => mailAddress(bad, 'example.org')).not.toThrow(bad)
  })
})

describe('the plain form of an address', () => {
  test.each([
    ['Ada@Example.ORG', 'ada@example.org'],
    ["o'ada+x=1@a.example.org.", "o'ada+x=1@a.example.org"],
    // IDNA: the pair of the Unicode consortium's own examples (UTS #46).
    ['ada@bücher.example.org', 'ada@xn--bcher-kva.example.org'],
    ['adé@example.org', 'adé@example.org'],
  ])('of %s', (given, plain) => {
    expect(plainAddress(given)).toBe(plain)
  })

  test.each(
    [
      ['', '@', 'ada', 'ada@', '@example.org', 'ada@localhost', 'ada@127.0.0.1', 'ada@0x7f.1'],
      [
        'ada@[192.0.2.1]',
        'a b@example.org',
        '"a"@example.org',
        'a@b@example.org',
        '.a@example.org',
      ],
      [
        'a..b@example.org',
        'a.@example.org',
        'ada@example..org',
        'ada@-example.org',
        'ada@exa_mple.org',
      ],
      ['ada@example.org/x', 'ada@example.org:25', 'ada@example.org?x', 'Ada <ada@example.org>'],
      [
        'ada@example.org\n',
        '\r\nada@example.org',
        'ada\u0000@example.org',
        `${'a'.repeat(65)}@example.org`,
      ],
      [
        `ada@${'a'.repeat(64)}.org`,
        `ada@${'a.'.repeat(130)}org`,
        'ada\u202e@example.org',
        '=?utf-8?q?eve?=ada@example.org',
      ],
    ].flat(),
  )('%j has none', (given) => {
    expect(plainAddress(given)).toBeNull()
  })

  test('is its own plain form, and one line without brackets', () => {
    fc.assert(
      fc.property(fc.oneof(fc.emailAddress(), fc.string()), (given) => {
        const plain = plainAddress(given)
        if (plain === null) return
        expect(plainAddress(plain)).toBe(plain)
        expect(plain).toMatch(/^[^\s<>()[\],;:"\\@]+@[a-z0-9.-]+$/)
      }),
    )
    fc.assert(
      fc.property(fc.emailAddress(), (given) => {
        // What begins like an encoded word (RFC 2047) is left out on purpose.
        if (given.length <= 254 && !given.includes('=?'))
          expect(plainAddress(given)).toBe(given.toLowerCase())
      }),
    )
  })
})
