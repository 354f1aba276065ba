// The deadline for saying yes, where an announcement names one with its day and its clock.

import type { Instant } from '../plan/index.ts'
import { minutesOf } from './halves.ts'
import type { DayWords } from './dayWords.ts'
import { resolveMinutes } from './localTime.ts'
import type { Item } from './scan.ts'

const ENROLLING =
  /\b(?:enrol|enroll|enrolment|enrollment|opt in|opt-in|sign up|register|reply|respond|accept|confirm|join|take part)\b/

/** The enrolment deadline in a known zone, or null when none is named without doubt. */
export function enrolByOf(
  items: readonly Item[],
  sentences: readonly string[],
  timeZone: string,
): Instant | null {
  const deadlines = items.filter(
    (item) =>
      (item.kind === 'day' || item.kind === 'clock') &&
      item.deadline &&
      ENROLLING.test(sentences[item.sentence] ?? ''),
  )
  const days = deadlines.flatMap((item): DayWords[] => (item.kind === 'day' ? [item.day] : []))
  const minutes = deadlines.flatMap((item) =>
    item.kind === 'clock' ? [minutesOf(item.clock)] : [],
  )
  const [day] = days
  const [clock] = minutes
  if (day === undefined || clock === undefined || days.length > 1 || minutes.length > 1) return null
  const [minute, other] = clock
  if (minute === undefined || day.unsure !== null || day.others.length > 0) return null
  // `12:00` is noon far more often than midnight, but `by 5` is asked nowhere and so is not taken.
  const noon = minute === 0 && other === 720
  if (other !== undefined && !noon) return null
  const resolved = resolveMinutes(day.day, noon ? 720 : minute, timeZone)
  return resolved.kind === 'one' ? resolved.at : null
}
