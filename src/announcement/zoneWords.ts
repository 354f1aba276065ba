// Zone abbreviations beside a clock, and the offsets they stand for. A household reads its own clock, so one
// that does not fit is asked about.

import type { Found } from './clock.ts'
import type { Token } from './tokens.ts'
import { textAt } from './tokens.ts'

export type ZoneWord = {
  readonly name: string
  /** Minutes, east positive; two where the word covers summer and winter. */
  readonly offsets: readonly number[]
}

// Common use, no standard; abbreviations that are English words are left out.
const OFFSETS = new Map(
  'utc:0 gmt:0 z:0 bst:60 cet:60 cest:120 nst:-210 ndt:-150 ast:-240 adt:-180 est:-300 edt:-240 cst:-360 cdt:-300 mst:-420 mdt:-360 pst:-480 pdt:-420 et:-300,-240 ct:-360,-300 mt:-420,-360 aest:600 aedt:660 acst:570 acdt:630 awst:480 lhst:630 lhdt:660 nzst:720 nzdt:780'
    .split(' ')
    .map((entry) => {
      const [name = '', offsets = ''] = entry.split(':')
      return [name, offsets.split(',').map(Number)] as const
    }),
)

/** The zone that is named at a token, in brackets or not. */
export function zoneAt(tokens: readonly Token[], index: number): Found<ZoneWord> | null {
  const open = textAt(tokens, index) === '(' ? 1 : 0
  const name = textAt(tokens, index + open)
  const offsets = OFFSETS.get(name)
  return offsets === undefined
    ? null
    : { value: { name: name.toUpperCase(), offsets }, next: index + open + 1 }
}
