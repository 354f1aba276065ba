// The plan page's plain forms as commands: a reading, and an event's day and times on the household's clock.

import { dateExists, isKnownZone, resolveLocal } from '../announcement/index.ts'
import type { Instant } from '../plan/index.ts'
import type { Command, Settings } from '../reminder/index.ts'
import { troubleWords } from '../words/index.ts'
import { figure } from './figure.ts'
import type { FieldError } from './pages/index.ts'

const DAY_MINUTES = 24 * 60
/** An end before the start means the next day only for an event as long as events are (common practice, no source). */
const LONGEST_OVERNIGHT_MINUTES = 6 * 60

type Form = Readonly<Record<string, string>>

export function readingPct(form: Form, now: Instant): Command | FieldError {
  const socPct = figure(form['socPct'])
  return socPct !== undefined && socPct >= 0 && socPct <= 100
    ? { type: 'reading', at: now, socPct }
    : { field: 'socPct', message: troubleWords.wrongReading }
}

/** An event on one day, or over midnight when it ends before it begins. A time that the clock skips or shows twice has to be said otherwise. */
export function localSpan(
  form: Form,
  { timeZone }: Settings,
  command: { readonly type: 'announce' } | { readonly type: 'move'; readonly eventId: string },
  id: string,
): Command | FieldError {
  const date = /^(\d{4})-(\d{2})-(\d{2})$/.exec(form['date'] ?? '')
  const from = minutesOf(form['from'])
  const until = minutesOf(form['until'])
  if (date === null || from === null || until === null || !isKnownZone(timeZone))
    return { field: `${id}-date`, message: troubleWords.wrongTimes }
  const [year, month, day] = date.slice(1).map(Number) as [number, number, number]
  if (!dateExists({ year, month, day }))
    return { field: `${id}-date`, message: troubleWords.wrongTimes }
  const at = (minutes: number) =>
    resolveLocal(
      { year, month, day, hour: Math.floor(minutes / 60), minute: minutes % 60 },
      timeZone,
    )
  const start = at(from)
  const overnight = until <= from
  if (overnight && until + DAY_MINUTES - from > LONGEST_OVERNIGHT_MINUTES)
    return { field: `${id}-date`, message: troubleWords.endBeforeStart }
  const end = at(overnight ? until + DAY_MINUTES : until)
  if (start.kind !== 'one' || end.kind !== 'one')
    return { field: `${id}-date`, message: troubleWords.clockChange }
  return { ...command, start: start.at, end: end.at }
}

function minutesOf(clock: string | undefined): number | null {
  const match = /^([01]\d|2[0-3]):([0-5]\d)(:00)?$/.exec(clock ?? '')
  return match === null ? null : Number(match[1]) * 60 + Number(match[2])
}
