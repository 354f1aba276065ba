// Rows of a form that may be as many as wanted: a pattern of the week in each, empty ones left out, and a spare one at
// the end. Fields are named by their list, the row and the field: `away-0-from`.

import type { Weekly } from '../reminder/index.ts'

export type Typed = Readonly<Record<string, string>>

/** Where a finding about the request belongs on the form, and what is said there. */
export type Place = {
  readonly pointer: string
  readonly field: string
  readonly message: string
}

export const DAYS = [1, 2, 3, 4, 5, 6, 7] as const

/** Nobody sends more by hand; a form with more is cut. */
const MOST_ROWS = 120

/** The rows of a list that came with the form, by a field that each has. */
export function rowsOf(typed: Typed, list: string, field = 'from'): readonly string[] {
  const rows: string[] = []
  while (rows.length < MOST_ROWS && `${list}-${rows.length}-${field}` in typed)
    rows.push(`${list}-${rows.length}`)
  return rows
}

export const typedIn = (typed: Typed, field: string): string => (typed[field] ?? '').trim()

export const daysTicked = (typed: Typed, row: string): readonly number[] =>
  DAYS.filter((day) => typed[`${row}-d${day}`] === 'yes')

/** Whether nothing was typed into a row; ticks alone say nothing. */
export const isEmptyRow = (typed: Typed, row: string, fields = ['from', 'until']): boolean =>
  fields.every((field) => typedIn(typed, `${row}-${field}`) === '')

/** A browser may send seconds. */
const clockIn = (typed: Typed, field: string): string =>
  typedIn(typed, field).replace(/^(\d\d:\d\d):00$/, '$1')

export const weeklyIn = (typed: Typed, row: string): Weekly => ({
  days: daysTicked(typed, row),
  from: clockIn(typed, `${row}-from`),
  until: clockIn(typed, `${row}-until`),
})

export const weeklyTyped = (row: string, { days, from, until }: Weekly): Typed => ({
  ...Object.fromEntries(days.map((day) => [`${row}-d${day}`, 'yes'])),
  [`${row}-from`]: from,
  [`${row}-until`]: until,
})

export const emptyRow = (row: string): Typed => ({ [`${row}-from`]: '', [`${row}-until`]: '' })

/** Where the schema's findings about a pattern are shown. */
export const weeklyPlaces = (
  pointer: string,
  row: string,
  words: { readonly days: string; readonly times: string },
): readonly Place[] => [
  { pointer: `${pointer}/days`, field: `${row}-d1`, message: words.days },
  { pointer: `${pointer}/from`, field: `${row}-from`, message: words.times },
  { pointer: `${pointer}/until`, field: `${row}-until`, message: words.times },
  { pointer, field: `${row}-from`, message: words.times },
]

/** The form's own errors for pointers into the request, in the form's order, each field once and each pair of times once. */
export function errorsAt(pointers: readonly string[], places: readonly Place[]) {
  const found = pointers.flatMap((each) => {
    const pointer = each.replace(/^#/, '')
    const fits = places.filter(
      (place) => pointer === place.pointer || pointer.startsWith(`${place.pointer}/`),
    )
    return fits.toSorted((a, b) => b.pointer.length - a.pointer.length).slice(0, 1)
  })
  const row = ({ field, message }: Place) => `${field.replace(/-(from|until)$/, '')} ${message}`
  return places
    .filter((place) => found.includes(place))
    .filter((place, i, all) => all.findIndex((other) => row(other) === row(place)) === i)
    .map(({ field, message }) => ({ field, message }))
}
