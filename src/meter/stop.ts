// Short ways to say why reading stops, and to note evidence without keeping all of it.

import { MOST_NOTED } from './limits.ts'
import type { MeterRefusal, Noted, Question, Stop } from './types.ts'

export type Step<Value> = { readonly ok: true; readonly value: Value } | Stopped
export type Stopped = { readonly ok: false; readonly stop: Stop }

export const ask = (question: Question): Stopped => ({
  ok: false,
  stop: { kind: 'question', question },
})

export const refuseFile = (refusal: MeterRefusal): Stopped => ({
  ok: false,
  stop: { kind: 'refused', refusal },
})

export const noted = <T>(items: readonly T[]): Noted<T> => ({
  count: items.length,
  first: items.slice(0, MOST_NOTED),
})

/** What a file says, cut to a length that can be shown. */
export const excerpt = (text: string): string => {
  const plain = text.slice(0, 400).replace(/\s+/g, ' ').trim()
  return plain.length > 80 ? `${plain.slice(0, 79)}…` : plain
}
