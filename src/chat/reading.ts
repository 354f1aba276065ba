// `58`, `58.5 %`, `battery 58`, `it shows 58 percent at 13:00`: a reported state of charge.

import type { Clock, Found, Token } from '../announcement/index.ts'
import { clockAt, localDayOf, minutesOf, resolveMinutes } from '../announcement/index.ts'
import type { Instant } from '../plan/index.ts'
import { ask } from './choices.ts'
import type { ChatContext, Intent } from './intent.ts'

const LEADS = new Set(
  "battery batery battry batt soc state of charge is it its it's shows show showing showed says said reads reading read was at now level the we're we are i'm i am currently display displays about around = : ~ still has have charged".split(
    ' ',
  ),
)
const TRAILS = new Set(
  'now left full charged charge currently today still remaining on in the battery'.split(' '),
)
const PERCENT = new Set(['%', 'percent', 'pct', '٪'])

type Figure = { readonly value: number; readonly next: number; readonly marked: boolean }

const WORDS = new Map(
  'one:1 two:2 three:3 four:4 five:5 six:6 seven:7 eight:8 nine:9 ten:10 eleven:11 twelve:12 thirteen:13 fourteen:14 fifteen:15 sixteen:16 seventeen:17 eighteen:18 nineteen:19 twenty:20 thirty:30 forty:40 fifty:50 sixty:60 seventy:70 eighty:80 ninety:90 hundred:100'
    .split(' ')
    .map((entry) => {
      const [word = '', value] = entry.split(':')
      return [word, Number(value)] as const
    }),
)

const isCent = (tokens: readonly Token[], at: number): number =>
  tokens[at]?.text === 'per' && tokens[at + 1]?.text === 'cent'
    ? 2
    : PERCENT.has(tokens[at]?.text ?? '')
      ? 1
      : 0

// `ninety percent`, `fifty-eight %`: words count only with their per cent.
function spelledAt(tokens: readonly Token[], index: number): Figure | null {
  const begins = tokens[index]?.text === 'a' || tokens[index]?.text === 'one' ? index + 1 : index
  const at = tokens[begins]?.text === 'hundred' ? begins : index
  const tens = WORDS.get(tokens[at]?.text ?? '')
  if (tens === undefined) return null
  const joined = tokens[at + 1]?.text === '-' ? at + 2 : at + 1
  const ones = WORDS.get(tokens[joined]?.text ?? '') ?? 0
  const both = tens >= 20 && tens < 100 && ones >= 1 && ones <= 9
  const after = both ? joined + 1 : at + 1
  const cent = isCent(tokens, after)
  return cent === 0 ? null : { value: both ? tens + ones : tens, next: after + cent, marked: true }
}

// A whole number or one with decimals, a per cent sign if there is one.
function figureAt(tokens: readonly Token[], index: number): Figure | null {
  const negative = tokens[index]?.text === '-' && tokens[index + 1]?.glued === true
  const at = negative ? index + 1 : index
  const whole = tokens[at]
  if (whole?.kind !== 'number' || whole.text.length > 6) return null
  const point = tokens[at + 1]
  const decimals = tokens[at + 2]
  const decimal =
    (point?.text === '.' || point?.text === ',') &&
    point.glued &&
    decimals?.kind === 'number' &&
    decimals.glued
  const after = decimal ? at + 3 : at + 1
  // `58/100`
  const outOf = tokens[after]?.text === '/' && tokens[after + 1]?.text === '100' ? 2 : 0
  const mark = outOf > 0 ? outOf : isCent(tokens, after)
  const marked = mark > 0
  const fraction = decimal ? decimals.text.slice(0, 6) : '0'
  // `17.30` is more likely a time than a charge.
  if (
    !marked &&
    decimal &&
    fraction.length === 2 &&
    Number(whole.text) <= 24 &&
    Number(fraction) < 60
  )
    return null
  const size = Number(`${whole.text}.${fraction}`)
  return { value: negative ? -size : size, next: after + mark, marked }
}

/** The latest time today, up to now, that the clock can mean. */
export function pastInstant(clock: Clock, { now, timeZone }: ChatContext): Instant | 'future' {
  const today = localDayOf(now, timeZone)
  const instants = minutesOf(clock).flatMap((minute) => {
    const resolved = resolveMinutes(today, minute, timeZone)
    return resolved.kind === 'fold' ? [resolved.first, resolved.second] : [resolved.at]
  })
  const past = instants.filter((at) => at <= now).sort((a, b) => b - a)
  return past[0] ?? 'future'
}

function firstInstant(clock: Clock, { now, timeZone }: ChatContext): Instant {
  const [minute = 0] = minutesOf(clock)
  const resolved = resolveMinutes(localDayOf(now, timeZone), minute, timeZone)
  return resolved.kind === 'fold' ? resolved.first : resolved.at
}

const FULL =
  /^(?:(?:it|battery|the battery|it's|its|battery's|now)(?: is)?(?: now)? )?(?:at )?(?:(?:completely |fully |all )?full|fully charged)(?: now)?$/
const IN_WORDS = new Map([
  ['empty', 0],
  ['flat', 0],
  ['half full', 50],
  ['half', 50],
])
const OF_BATTERY = /^(?:it|battery|the battery|it's|its|battery's)(?: is)?(?: now)? /

// `full` is 100; `empty` and `half full` may be meant roughly.
function inWords(tokens: readonly Token[]): Intent | null {
  if (tokens.length > 8) return null
  const said = tokens
    .map(({ text }) => text)
    .join(' ')
    .replace(/[ .,]+$/, '')
  if (FULL.test(said)) return { kind: 'reading', socPct: 100, at: null }
  const socPct = IN_WORDS.get(said.replace(OF_BATTERY, ''))
  return socPct === undefined
    ? null
    : ask({ reason: 'reading_in_words', socPct }, [
        { label: { kind: 'reading', socPct }, send: `${socPct} %` },
      ])
}

// `11:41 90 %`, `at 5am it showed 62`: the time before the figure.
function timeBefore(tokens: readonly Token[]): Found<Clock> | null {
  const atWord = tokens[0]?.text === 'at' || tokens[0]?.text === '@'
  const clock = clockAt(tokens, atWord ? 1 : 0)
  if (clock === null || (clock.value.weak && !atWord)) return null
  const rest = tokens[clock.next]?.text
  return rest === ',' || rest === ':' || rest === '-' ? { ...clock, next: clock.next + 1 } : clock
}

// The words that lead to a figure, and the figure.
function shownAt(tokens: readonly Token[], from: number) {
  let index = from
  while (LEADS.has(tokens[index]?.text ?? '')) index += 1
  const figure = figureAt(tokens, index) ?? spelledAt(tokens, index)
  return figure === null ? null : { figure, led: index > from }
}

/** A message that is a reading and nothing else; null when it is not. */
export function reading(all: readonly Token[], context: ChatContext): Intent | null {
  const tokens = all.filter(
    ({ kind, text }) => kind !== 'break' && (kind !== 'mark' || /[%٪.,:=~+/£$€#@-]/.test(text)),
  )
  const early = timeBefore(tokens)
  const late = early === null ? null : shownAt(tokens, early.next)
  const timed = late !== null && (late.led || late.figure.marked)
  const shown = timed ? late : shownAt(tokens, 0)
  if (shown === null) return inWords(tokens)
  const { figure, led } = shown
  let at = figure.next
  let when: Clock | null = timed && early !== null ? early.value : null
  while (at < tokens.length) {
    const text = tokens[at]?.text ?? ''
    const atWord = text === 'at' || text === '@'
    const clock: Found<Clock> | null = when === null ? clockAt(tokens, atWord ? at + 1 : at) : null
    if (clock !== null && (atWord || figure.marked)) {
      when = clock.value
      at = clock.next
    } else if (TRAILS.has(text) || text === '.' || text === ',') at += 1
    else return null
  }
  const { value } = figure
  if (value < 0 || value > 100) {
    // A bare `1730` is no charge.
    const plausible = figure.marked || led || (Math.abs(value) < 1000 && when === null)
    return plausible ? ask({ reason: 'reading_out_of_range', value }) : null
  }
  if (when === null) return { kind: 'reading', socPct: value, at: null }
  const instant = pastInstant(when, context)
  return instant === 'future'
    ? ask({ reason: 'reading_in_future', at: firstInstant(when, context) }, [
        { label: { kind: 'reading', socPct: value }, send: `${value} %` },
      ])
    : { kind: 'reading', socPct: value, at: instant }
}
