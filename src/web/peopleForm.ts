// The page of people as the API's change of settings would say it, and back.

import { type LocalTime, dateExists, isKnownZone, resolveLocal } from '../announcement/index.ts'
import { DAY_MS, type Instant } from '../plan/index.ts'
import type { Settings } from '../reminder/index.ts'
import { format, peopleWords } from '../words/index.ts'
import { printInstant } from './api/index.ts'
import {
  type Place,
  type Typed,
  emptyRow,
  isEmptyRow,
  rowsOf,
  typedIn,
  weeklyIn,
  weeklyPlaces,
  weeklyTyped,
} from './rowsForm.ts'

const words = peopleWords.wrong

/** The people on the form, by the prefix of their fields. */
export const peopleOn = (typed: Typed): readonly string[] => rowsOf(typed, 'p', 'name')

/** The change of settings that the form stands for, and where what is wrong with it is to be shown. */
export function peopleChange(typed: Typed, timeZone: string) {
  const places: Place[] = [{ pointer: '/people', field: 'p-0-name', message: words.tooMany }]
  const people = peopleOn(typed)
    .filter((who) => !isNobody(typed, who))
    .map((who, i) => {
      const at = `/people/${i}`
      const filled = (list: string) =>
        rowsOf(typed, `${who}-${list}`).filter((row) => !isEmptyRow(typed, row))
      const [away, once] = [filled('away'), filled('once')]
      const quiet = weeklyIn(typed, `${who}-quiet`)
      const asleep = !isEmptyRow(typed, `${who}-quiet`)
      places.push(
        { pointer: `${at}/name`, field: `${who}-name`, message: words.name },
        ...away.flatMap((row, j) => weeklyPlaces(`${at}/away/${j}`, row, words)),
        ...once.map((row, j) => ({
          pointer: `${at}/absences/${j}`,
          field: `${row}-from`,
          message: words.once,
        })),
        { pointer: `${at}/quiet`, field: `${who}-quiet-from`, message: words.quiet },
        { pointer: at, field: `${who}-name`, message: words.tooMany },
      )
      return {
        name: typedIn(typed, `${who}-name`).replace(/\s+/g, ' '),
        away: away.map((row) => weeklyIn(typed, row)),
        absences: once.map((row) => ({
          start: instantIn(typed, `${row}-from`, timeZone, 'first'),
          end: instantIn(typed, `${row}-until`, timeZone, 'last'),
        })),
        quiet: asleep ? { from: quiet.from, until: quiet.until } : null,
      }
    })
  return { change: { people }, places: [...places.slice(1), ...places.slice(0, 1)] }
}

const isNobody = (typed: Typed, who: string): boolean =>
  typedIn(typed, `${who}-name`) === '' &&
  [...rowsOf(typed, `${who}-away`), ...rowsOf(typed, `${who}-once`), `${who}-quiet`].every((row) =>
    isEmptyRow(typed, row),
  )

/** A day and time on the household's clock as RFC 3339; where the clock skips it or shows it twice, the longer absence. What is none stays as typed, to be refused. */
function instantIn(typed: Typed, field: string, timeZone: string, fold: 'first' | 'last'): string {
  const text = typedIn(typed, field)
  const local = localIn(text)
  const found = local === null || !isKnownZone(timeZone) ? null : resolveLocal(local, timeZone)
  if (found === null || found.kind === 'unknown-zone') return text
  if (found.kind === 'fold') return printInstant(fold === 'first' ? found.first : found.second)
  return printInstant(found.at)
}

function localIn(text: string): LocalTime | null {
  const match = /^(\d{4})-(\d\d)-(\d\d)T([01]\d|2[0-3]):([0-5]\d)(:00)?$/.exec(text)
  if (match === null) return null
  const [year = 0, month = 0, day = 0, hour = 0, minute = 0] = match.slice(1, 6).map(Number)
  return dateExists({ year, month, day }) ? { year, month, day, hour, minute } : null
}

/** The form as it stands for these settings, with a spare row in each list and a spare person. Absences that are over are left out. */
export function peopleTyped({ people, timeZone, language }: Settings, now: Instant): Typed {
  const f = format(language, timeZone)
  const local = (at: Instant) => `${f.isoDay(at)}T${f.time(at)}`
  const filled = people.map((person, i): Typed => {
    const who = `p-${i}`
    const absences = person.absences.filter(({ end }) => end > now - DAY_MS)
    return {
      ...emptyPerson(who, person.away.length, absences.length),
      [`${who}-name`]: person.name,
      ...Object.assign({}, ...person.away.map((each, j) => weeklyTyped(`${who}-away-${j}`, each))),
      ...Object.assign(
        {},
        ...absences.map(({ start, end }, j) => ({
          [`${who}-once-${j}-from`]: local(start),
          [`${who}-once-${j}-until`]: local(end),
        })),
      ),
      ...(person.quiet === null ? {} : weeklyTyped(`${who}-quiet`, { days: [], ...person.quiet })),
    }
  })
  return Object.assign({}, ...filled, emptyPerson(`p-${people.length}`, 0, 0)) as Typed
}

const emptyPerson = (who: string, away: number, once: number): Typed => ({
  [`${who}-name`]: '',
  ...emptyRow(`${who}-away-${away}`),
  ...emptyRow(`${who}-once-${once}`),
  ...emptyRow(`${who}-quiet`),
})
