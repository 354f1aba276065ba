// The README shows what a calm day's messages are; here they are made anew.

import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { calmDay, transcript } from '../../scripts/calmDay.ts'

it('shows in the README what the code says', () => {
  const readme = readFileSync(join(import.meta.dirname, '../../README.md'), 'utf8')
  expect(readme).toContain(transcript())
})

it('[R24] asks unprompted for four things, and answers each answer once', () => {
  const lines = calmDay()
  const unprompted = lines.filter(
    ({ who, at }, i) =>
      who === 'Holdbell' && !(lines[i - 1]?.who === 'Ada' && lines[i - 1]?.at === at),
  )
  expect(unprompted).toHaveLength(4)
  expect(lines.filter(({ who }) => who === 'Ada')).toHaveLength(6)
  expect(lines).toHaveLength(4 + 2 * 6)
})
