// Fixed phrases and the small grammar of putting off: what can be told from the words alone.

import type { Found, Token } from '../announcement/index.ts'
import { durationAt } from '../announcement/index.ts'
import { ask } from './choices.ts'
import type { Intent } from './intent.ts'

const set = (list: string) => new Set(list.split('|'))

const POLITE = set(
  'ok|okay|k|yes|yep|yeah|yup|thanks|thank|you|ta|cheers|please|pls|just|now|all|already|hi|sorry',
)
const DONE = set(
  "done|did it|i did it|have done it|i've done it|it's done|its done|it is done|finished|complete|completed|✓|✅|✔",
)
const HELD = set(
  "held|holding|i held it|held it|it's held|it is held|on hold|it's on hold|it is on hold|paused|i paused it|paused it|i've paused it|i have paused it|it's paused|its paused|it is paused|discharge paused|discharge is paused|battery paused|battery is paused|the battery is paused|battery held|battery on hold|off|it's off|its off|it is off|switched off|i switched it off|switched it off|turned off|i turned it off|turned it off|discharge off|the discharge is off|discharge is off|discharge's off|battery is off|the battery is off|battery is not running|the battery is not running|it's no longer running|it is no longer running|panel is off|the panel is off|stopped|i stopped it|it's stopped|battery off|battery is paused|the discharge is paused|discharge stopped|discharge is stopped|the discharge is stopped|not discharging|it's not discharging",
)
const RUNNING = set(
  "released|i released it|released it|it's released|running|it's running|its running|it is running|it runs|it runs again|runs again|running again|it's running again|its running again|it is running again|battery running|battery is running|the battery is running|the battery runs|the battery runs again|battery runs again|resumed|it's back on|back on|on|it's on|it is on|switched on|i switched it on|switched it on|turned it on|i turned it on|discharge on|discharge is on|the discharge is on|let it run|i let it run|i let it run again|let it run again",
)
const THANKS = set(
  'thanks|thank you|thank you very much|many thanks|cheers|ta|thx|great thanks|great|perfect|lovely',
)
const STOP = set(
  'stop|unsubscribe|stop it|stop reminding me|stop the reminders|delete my data|delete my account|delete everything|leave',
)
const NOT_YET = set(
  "not yet|no|nope|nah|not|not now|not done|not done yet|not held|not held yet|not paused|not paused yet|not running|not running yet|it's not running|not released|not released yet|haven't|i haven't|haven't yet|haven't done it|haven't done it yet|didn't|i didn't|can't|i can't|cannot|couldn't|i couldn't|not possible|nobody home|not home|i'm not home",
)
const PLAN = set(
  "plan|the plan|my plan|show plan|show me the plan|show the plan|what's the plan|whats the plan|what is the plan|today's plan|status|what next|what's next|when|when do i hold|when do we hold|when to hold|when should i hold|what do i do",
)
const ASKS_PLAN =
  /^(?:when|what time|what's on|whats on|what is on|next event|plan for|the plan for)\b/
const WHY = set(
  'why|why so early|why so late|why that|why then|why hold|how come|explain|explain it|show your working|how do you know|why is that',
)
const WORTH = set(
  "worth|worth it|is it worth it|is this worth it|is it worth|is it worth while|is it worthwhile|worthwhile|worth my while|is it worth my while|worth the trouble|is it worth the trouble|was it worth it|does it pay|does it pay off|does this pay|does it save money|what do i earn|what do we earn|what will i earn|what does it earn|what would i earn|how much do i earn|how much do we earn|how much will i earn|how much does it earn|what do i save|how much do i save|what do i get|what do i get for it|what do i gain|what does it bring|what's it worth|whats it worth|what is it worth|how much is it worth|what's in it for me|what's the reward|what is the reward|what does it cost me|what would it cost|reward",
)
const HELP = set(
  'help|help me|start|hello|hey|menu|commands|what can you do|what can i say|how does this work|how do i use this|how',
)
// `upload my readings`, `meter data`, `how do I add a CSV`: about readings of the meter, not of the battery.
const METER =
  /\b(?:(?:smart )?meter (?:data|readings?|file|csv)|my meter|green button|interval data|half[- ]?hourly (?:data|readings?)|(?:upload|import|add|send) (?:a |the |my |our )?(?:file|csv|xml|meter|readings|data|usage)|csv(?: file)?|readings? from (?:the|my|our) (?:smart )?meter)\b/
const ACKNOWLEDGED = set('ok|okay|k|yes|yep|yeah|yup|👍|got it|seen|noted|understood|will do')

// What may stand before and after the time of `remind me again in 10 minutes`.
const SNOOZE_WORDS = set(
  "snooze|remind|me|again|in|for|wait|give|later|back|another|ask|i'll|i|will|do|it|try|after|about|around|need|more|time|and|then|today|not|yet",
)
const MAX_SNOOZE_MINUTES = 240

const SNOOZES = [10, 20, 30].map((minutes) => ({
  label: { kind: 'minutes', minutes } as const,
  send: `in ${minutes}`,
}))

/** The tokens that carry words, in one line. */
export const wordsOf = (tokens: readonly Token[]): string =>
  tokens
    .filter((token) => token.kind !== 'mark' && token.kind !== 'break')
    .map((token) => token.text)
    .join(' ')

const DONE_OR_SEEN = ask({ reason: 'done_or_seen' }, [
  { label: { kind: 'done' }, send: 'done' },
  { label: { kind: 'not-yet' }, send: 'not yet' },
])

/** What a message means when it is nothing but a fixed phrase, politeness aside; null when it is not. */
export function fixedPhrase(tokens: readonly Token[]): Intent | null {
  const words = wordsOf(tokens).split(' ')
  // Marks count only where there is nothing else: `?`, `✅`.
  const marks = tokens
    .filter((token) => token.kind === 'mark' || token.kind === 'break')
    .map((token) => token.text)
  if (words.join('') === '') {
    if (marks.length > 0 && marks.every((mark) => mark === '?')) return { kind: 'help' }
    if (marks.length > 0 && marks.every((mark) => mark === '👍')) return DONE_OR_SEEN
    const ticks = marks.length > 0 && marks.every((mark) => DONE.has(mark))
    return ticks ? { kind: 'done', did: null } : null
  }
  const whole = words.join(' ')
  const rest = words.filter((word) => !POLITE.has(word)).join(' ')
  const among = (phrases: ReadonlySet<string>) => phrases.has(whole) || phrases.has(rest)
  const refusing = words.filter((word) => !['no', 'nope', 'nah'].includes(word)).join(' ')
  if (among(NOT_YET) || NOT_YET.has(refusing)) return { kind: 'not-yet' }
  const did = [whole, rest].map(didOf).find((one) => one !== undefined)
  if (did !== undefined) return { kind: 'done', did }
  if (THANKS.has(whole)) return { kind: 'thanks' }
  if (among(STOP)) return { kind: 'stop' }
  if (among(PLAN)) return { kind: 'plan' }
  if (among(WHY)) return { kind: 'why' }
  if (among(WORTH)) return { kind: 'worth' }
  // A question in more words, with no event in it.
  if (words.length <= 8 && /^(?:why|how come)\b/.test(rest)) return { kind: 'why' }
  if (words.length <= 8 && ASKS_PLAN.test(rest) && !/\d/.test(rest)) return { kind: 'plan' }
  if (words.length <= 10 && METER.test(whole) && !/\d/.test(whole))
    return { kind: 'meter', pasted: false }
  if (among(HELP) || (rest === '' && words.includes('hi'))) return { kind: 'help' }
  const seen =
    words.every((word) => POLITE.has(word)) && words.some((word) => ACKNOWLEDGED.has(word))
  return seen || ACKNOWLEDGED.has(rest) ? DONE_OR_SEEN : null
}

/** What the words say was done: held, running, or null where they do not say which; undefined when they say nothing of it. */
export function didOf(words: string): 'held' | 'running' | null | undefined {
  if (DONE.has(words)) return null
  // `done, discharge is off`
  const rest = words.replace(/^(?:(?:all |it's |its )?done|yes|ok)(?: and)? (?=\S)/, '')
  return HELD.has(rest) ? 'held' : RUNNING.has(rest) ? 'running' : DONE.has(rest) ? null : undefined
}

/** `in 10`, `snooze 15`, `remind me in half an hour`, `10 min`, `later`; null when it is none of these. */
export function snooze(all: readonly Token[]): Intent | null {
  const tokens = all.filter(
    ({ kind, text }) => kind !== 'break' && (kind !== 'mark' || text === '.'),
  )
  let minutes: number | null = null
  let led = false
  let index = 0
  while (index < tokens.length) {
    const token = tokens[index]
    if (token === undefined) break
    const length: Found<number> | null = minutes === null ? durationAt(tokens, index) : null
    if (length !== null) {
      minutes = length.value
      index = length.next
    } else if (token.kind === 'number' && minutes === null && led) {
      minutes = Number(token.text)
      index += 1
    } else if (SNOOZE_WORDS.has(token.text) || POLITE.has(token.text)) {
      led ||= !POLITE.has(token.text)
      index += 1
    } else return null
  }
  const words = wordsOf(tokens)
  if (minutes === null)
    return /\b(?:snooze|later|remind|wait)\b/.test(words)
      ? ask({ reason: 'how_long' }, SNOOZES)
      : null
  const whole = Math.round(minutes)
  return whole >= 1 && whole <= MAX_SNOOZE_MINUTES
    ? { kind: 'snooze', minutes: whole }
    : ask({ reason: 'how_long' }, SNOOZES)
}
