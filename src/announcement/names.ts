// Names of weekdays and months, whole or shortened.

import type { Token } from './tokens.ts'
import { textAt } from './tokens.ts'

const WEEKDAYS = ['monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday', 'sunday']
const MONTHS =
  'january february march april may june july august september october november december'.split(' ')
const nameIn = (names: readonly string[], text: string, shortest: number): number => {
  const word = text.endsWith("'s") ? text.slice(0, -2) : text
  if (word === 'weds') return names === WEEKDAYS ? 2 : -1
  if (word.length < shortest) return -1
  return names.findIndex((name) => name.startsWith(word) || `${name}s` === word)
}
/** 0 is Monday; -1: none. */
export const weekdayName = (tokens: readonly Token[], index: number): number =>
  nameIn(WEEKDAYS, textAt(tokens, index), 3)

/** 0 is January; -1: none. */
export const monthName = (tokens: readonly Token[], index: number): number =>
  nameIn(MONTHS, textAt(tokens, index), 3)
