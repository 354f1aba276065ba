// Days as bytes, and files as text: what goes in comes out.

import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { packDays, unpackDays } from '../../src/household/days.ts'
import { textOf } from '../../src/household/meter.ts'

const day = fc.record({
  day: fc.integer({ min: 10_957, max: 47_481 }),
  // To a thousandth of a Wh, up to a half-hour of a megawatt either way.
  kwh: fc.array(
    fc.integer({ min: -500_000_000, max: 500_000_000 }).map((mwh) => mwh / 1e6),
    { minLength: 48, maxLength: 48 },
  ),
})

describe('packed days', () => {
  test('come out as they went in', () => {
    fc.assert(
      fc.property(fc.array(day, { maxLength: 20 }), (days) => {
        expect(unpackDays(packDays(days))).toEqual(days)
      }),
    )
  })

  test('of other bytes there are none', () => {
    for (const bytes of [new Uint8Array(0), new Uint8Array(4), packDays([]).slice(0, 3)])
      expect(() => unpackDays(bytes)).toThrow(RangeError)
    expect(() => unpackDays(new Uint8Array(4 + 195).fill(1))).toThrow(RangeError)
  })
})

describe('the text of a file', () => {
  const text = 'start,kWh – Zähler'
  // Unicode 17, §23.8: the byte order marks.
  test.each([
    ['UTF-8', [...Buffer.from(text, 'utf8')]],
    ['UTF-8 with its mark', [0xef, 0xbb, 0xbf, ...Buffer.from(text, 'utf8')]],
    ['UTF-16, little end first', [0xff, 0xfe, ...Buffer.from(text, 'utf16le')]],
    ['UTF-16, big end first', [0xfe, 0xff, ...Buffer.from(text, 'utf16le').swap16()]],
  ])('is read from %s', (_, bytes) => {
    expect(textOf(Uint8Array.from(bytes))).toBe(text)
  })

  // APPNOTE.TXT 4.3.7 and RFC 1952 §2.3.1; the compound file's mark by MS-CFB §2.2.
  test.each([
    ['zip', [0x50, 0x4b, 3, 4]],
    ['gzip', [0x1f, 0x8b, 8]],
    ['compound file', [0xd0, 0xcf, 0x11, 0xe0, 0xa1]],
  ])('a %s has none', (_, bytes) => {
    expect(textOf(Uint8Array.from(bytes))).toBeNull()
  })
})
