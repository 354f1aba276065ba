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
  return read.ok ? read.value : read.stop
}

function checked(text: string, asked: Asked): Step<Extract<MeterReading, { kind: 'understood' }>> {
  if (text.length > MOST_CHARACTERS)
    return refuseFile({ reason: 'too_large', mostMiB: MOST_CHARACTERS / 1024 / 1024 })
  if (!isKnownZone(asked.timeZone))
    return refuseFile({ reason: 'unknown_zone', zone: asked.timeZone.slice(0, 64) })
  const plain = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text
  const begin = plain.search(/\S/)
  if (begin < 0) return refuseFile({ reason: 'empty' })
  // Control characters, or what a decoder puts for bytes that are no text.
  const odd = plain.search(/[\u0000-\u0008\u000e-\u001a\u001c-\u001f\ufffd]/)
  if (odd >= 0 && isUnlikeText(plain, odd)) return refuseFile({ reason: 'not_text', at: odd + 1 })
  return plain[begin] === '<' ? readGreenButton(plain.slice(begin), asked) : readCsv(plain, asked)
}

/** One broken letter in a name above the table is no harm; a zip archive is. */
const isUnlikeText = (text: string, first: number): boolean => {
  const shown = text.slice(first, first + 2000)
  const odd = shown.match(/[\u0000-\u0008\u000e-\u001a\u001c-\u001f\ufffd]/g)?.length ?? 0
  return shown.includes('\u0000') || odd > 0.02 * shown.length
}
