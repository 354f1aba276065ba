// The words of a mark, by the catalogue.

import type { Span } from '../plan/index.ts'
import type { Format } from '../words/index.ts'
import { chartWords } from '../words/index.ts'
import type { Mark } from './marks.ts'

/** The text of its flag. */
export function flagText(mark: Mark, f: Format): string {
  const range = f.range(mark.at, mark.until)
  const time = f.time(mark.at)
  if (mark.kind === 'event' && !mark.first) return chartWords.flag.laterEvent(time)
  return mark.kind === 'event' || mark.kind === 'topUp'
    ? chartWords.flag[mark.kind](range)
    : chartWords.flag[mark.kind](time)
}

/** Its sentence in the description. */
export function markSentence(mark: Mark, f: Format): string {
  const range = f.range(mark.at, mark.until)
  const time = f.time(mark.at)
  const pct = f.pctUp(mark.holdAtPct)
  switch (mark.kind) {
    case 'hold':
      return chartWords.describe.hold(time, pct)
    case 'holdNow':
      return chartWords.describe.holdNow(pct)
    case 'event':
    case 'topUp':
      return chartWords.describe[mark.kind](range)
    default:
      return chartWords.describe[mark.kind](time)
  }
}

/** The day, or the first and the last day, that a frame shows. */
export const frameDays = (frame: Span, f: Format): string =>
  f.isoDay(frame.start) === f.isoDay(frame.end)
    ? f.day(frame.start)
    : chartWords.days(f.shortDay(frame.start), f.shortDay(frame.end))
