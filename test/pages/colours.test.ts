// WCAG 2.2, 1.4.3 (text 4.5 : 1) and 1.4.11 (graphics 3 : 1), by the formula of its "relative luminance" and
// "contrast ratio" definitions, on the stylesheet itself.

import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'

const css = readFileSync(join(import.meta.dirname, '../../src/web/public/style.css'), 'utf8')

const palettes = [...css.matchAll(/:root\s*\{([^}]*)\}/g)].map(([, block = '']) =>
  Object.fromEntries(
    [...block.matchAll(/--([a-z]+):\s*(#[0-9a-f]{3,6})/g)].map((match) => [match[1], match[2]]),
  ),
)

function luminance(hex: string): number {
  const full = hex.length === 4 ? hex.replaceAll(/[0-9a-f]/g, (digit) => digit + digit) : hex
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((from) => {
    const value = Number.parseInt(full.slice(from, from + 2), 16) / 255
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4
  })
  return 0.2126 * r + 0.7152 * g + 0.0722 * b
}

function contrast(a = '', b = ''): number {
  const [dark = 0, light = 0] = [luminance(a), luminance(b)].toSorted((x, y) => x - y)
  return (light + 0.05) / (dark + 0.05)
}

test('the formula gives WCAG’s own ends: 21 for black on white, 1 for the same', () => {
  expect(contrast('#000', '#ffffff')).toBeCloseTo(21, 6)
  expect(contrast('#faf6ec', '#faf6ec')).toBe(1)
})

test('light, dark and print each have a palette', () => {
  expect(palettes).toHaveLength(3)
})

describe.each(
  palettes.map((palette, index) => [['light', 'dark', 'print'][index], palette] as const),
)('%s', (_, { paper, ink, muted, accent, curve }) => {
  test('text can be read', () => {
    for (const colour of [ink, muted, accent]) expect(contrast(paper, colour)).toBeGreaterThan(4.5)
  })
  test('lines can be seen', () => {
    expect(contrast(paper, curve)).toBeGreaterThan(3)
  })
})

// The figures of the design: contrast by the same formula, to within a tenth (6.85 is given as 6.8).
test.each([
  [0, 'ink', 15.9],
  [0, 'muted', 5.4],
  [0, 'accent', 6.8],
  [0, 'curve', 8.4],
  [1, 'ink', 14.7],
  [1, 'muted', 6.5],
  [1, 'accent', 7.0],
  [1, 'curve', 8.2],
])('palette %i: %s is %f to 1 on paper', (index, name, ratio) => {
  const palette = palettes[index]
  expect(Math.abs(contrast(palette?.paper, palette?.[name]) - ratio)).toBeLessThan(0.1)
})

test('the stylesheet stays small and reaches for nothing', () => {
  expect(css.length).toBeLessThan(15_000)
  expect(css).not.toMatch(/@import|url\(|!important|border-radius: [1-9]|box-shadow/)
})
