// The door: a meter's file in, a reading, a question or a refusal out. Never throws, whatever the file holds.

import { readCsv } from './csv.ts'
import { readGreenButton } from './greenButton.ts'
import { MOST_CHARACTERS } from './limits.ts'
import { type Step, refuseFile } from './stop.ts'
import type { Asked, MeterReading } from './types.ts'
import { isKnownZone } from './zone.ts'

/**
 * Reads interval data from text: columns parted by comma, semicolon, tab or bar, or Green Button XML (NAESB REQ.21,
 * ESPI). A question's choices are answers: merge one in and read again.
 */
export function readMeter(text: string, asked: Asked): MeterReading {
  const read = checked(text, asked)
  if (!read.ok) return read.stop
  const rows = read.value.series.intervals.length
  return rows > 1 ? read.value : refuseFile({ reason: 'too_few_rows', rows }).stop
}

function checked(text: string, asked: Asked): Step<Extract<MeterReading, { kind: 'understood' }>> {
  if (text.length > MOST_CHARACTERS)
    return refuseFile({ reason: 'too_large', mostMiB: MOST_CHARACTERS / 1024 / 1024 })
  if (!isKnownZone(asked.timeZone))
    return refuseFile({ reason: 'unknown_zone', zone: asked.timeZone.slice(0, 64) })
  const plain = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text
  const begin = plain.search(/\S/)
  if (begin < 0) return refuseFile({ reason: 'empty' })
  const odd = oddCharacter(plain)
  if (odd !== null) return refuseFile({ reason: 'not_text', at: odd + 1 })
  return plain[begin] === '<' ? readGreenButton(plain.slice(begin), asked) : readCsv(plain, asked)
}

/** Control characters, and what a decoder puts for bytes that are no text. */
const isOdd = (code: number): boolean =>
  code < 9 || (code > 13 && code < 32 && code !== 27) || code === 0xfffd

/** Where a file turns out not to be text; one broken letter in a name above the table is no harm. */
function oddCharacter(text: string): number | null {
  const length = Math.min(text.length, 100_000)
  let first = -1
  let count = 0
  for (let i = 0; i < length; i += 1) {
    const code = text.charCodeAt(i)
    if (code === 0) return i
    if (!isOdd(code)) continue
    if (first < 0) first = i
    count += 1
  }
  return count > 0.02 * length ? first : null
}
