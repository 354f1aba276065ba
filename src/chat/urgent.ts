// What must be heard whatever else a message says: a battery that may be dangerous, a life that hangs on
// power, the power gone. Small print about the same things, in a text that names a time, is none of these.

import type { Parts } from '../announcement/index.ts'
import { isAsking } from '../announcement/index.ts'
import type { Intent } from './intent.ts'

const DANGER =
  /\b(?:swollen|swelling|bulging|hissing|smok(?:e|es|ing)|burn(?:s|ing|t)|fire|flames?|sparks?|sparking|smells?|smelling|leaking|overheat(?:s|ed|ing))\b|\b(?:battery|inverter|it|it's)\b.{0,30}\b(?:very|too|really|extremely|so) hot\b/
const DEVICE = /\b(?:battery|batteries|inverter|pack|cells?)\b/
const MEDICAL =
  /\b(?:oxygen|dialysis|ventilator|cpap|nebuli[sz]er|life support|medical (?:equipment|devices?))\b/
const OURS = /\b(?:i|i'm|my|we're|wife|husband|mother|father|mum|mom|dad)\b/
const OUTAGE =
  /\b(?:(?:power|electricity|lights|grid)(?: is|'s| are| has| have| just| all| went| gone){1,3} (?:out|off|down|gone)|(?:power|electricity) (?:out|off|cut|outage|failure)|outage|no power|blackout)\b/
const NO_OUTAGE = /\b(?:if|when|in case|during|back|over|restored)\b/

const isOut = (sentence: string): boolean =>
  OUTAGE.test(sentence) && !NO_OUTAGE.test(sentence) && !isAsking(sentence)

/** Danger, medical need or an outage, in this order; null when the text tells of none. */
export function urgent({ sentences, ranges, items }: Parts): Intent | null {
  const timeless = ranges.length === 0
  const some = (test: (sentence: string) => boolean) => sentences.some(test)
  if (some((one) => DANGER.test(one) && (timeless || DEVICE.test(one)))) return { kind: 'danger' }
  if (some((one) => MEDICAL.test(one) && (timeless || OURS.test(one)))) return { kind: 'medical' }
  const dayless = items.every(({ kind }) => kind !== 'day' && kind !== 'range')
  return dayless && some(isOut) ? { kind: 'outage' } : null
}
