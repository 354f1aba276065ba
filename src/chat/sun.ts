// "How much sun?": what the plan counts on, today and for the next event.

import type { Instant } from '../plan/index.ts'
import { type Household, sunTexts } from '../reminder/index.ts'
import { sunWords as words } from '../words/index.ts'
import type { Intent } from './intent.ts'

const SUN = String.raw`(?:the |my |our )?(?:sun(?:shine)?|solar(?: (?:power|panels?|energy))?|panels?|pv)`
const ASKS = new RegExp(
  String.raw`^(?:${SUN}|how much (?:${SUN}|(?:does|do|will|would) ${SUN} (?:give|make|bring))(?: (?:do you|does the plan) (?:count|reckon) on| is (?:expected|there))?|(?:what|how) about ${SUN}|what (?:does|do|will) ${SUN} (?:give|make|bring)|(?:do you|does the plan) (?:count on|know (?:of|about)|include|see) ${SUN}|is ${SUN} (?:included|counted)|(?:i|we) have (?:solar|pv)(?: panels?)?)(?: (?:today|tomorrow|in the event|during the event))?$`,
)

/** One panel is the inverter's to many, and `sun` a day of the week. */
const NOT_SUN = /^(?:(?:the |my |our )?panel|sun(?: today| tomorrow)?)$/

/** Whether a message asks after the sun. `spoken` is plain and in lower case. */
export function sunAsked(spoken: string): Intent | null {
  const text = spoken.replace(/[?!. ]+$/, '')
  if (text.length > 80 || NOT_SUN.test(text)) return null
  return ASKS.test(text.replaceAll(/\s+/g, ' ')) ? { kind: 'sun' } : null
}

/** What is expected, and where to change it. */
export function sunAnswer(household: Household, now: Instant): string {
  const said = sunTexts(household, now)
  return said.length === 0 ? words.none : [...said, words.more].join(' ')
}
