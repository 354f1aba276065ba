// `58`, `58.5 %`, `battery 58`, `it shows 58 percent at 13:00`: a reported state of charge.

import type { Clock, Found, Token } from '../announcement/index.ts'
import { clockAt, localDayOf, minutesOf, resolveMinutes } from '../announcement/index.ts'
import type { Instant } from '../plan/index.ts'
import { ask } from './choices.ts'
import type { ChatContext, Intent } from './intent.ts'

const LEADS = new Set(
  "battery soc state of charge is it its it's shows show showing says reads reading read at now level the we're we are i'm i am currently display displays about around = : ~ still has have charged".split(
    ' ',
  ),
)
const TRAILS = new Set(
  'now left charged charge currently today still remaining on the battery'.split(' '),
)
const PERCENT = new Set(['%', 'percent', 'pct', '٪'])

type Figure = { readonly value: number; readonly next: number; readonly marked: boolean }

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
  const cent = tokens[after]?.text === 'per' && tokens[after + 1]?.text === 'cent'
  const marked = cent || PERCENT.has(tokens[after]?.text ?? '')
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
  return { value: negative ? -size : size, next: after + (cent ? 2 : marked ? 1 : 0), marked }
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

/** A message that is a reading and nothing else; null when it is not. */
export function reading(all: readonly Token[], context: ChatContext): Intent | null {
  const tokens = all.filter(
    ({ kind, text }) => kind !== 'break' && (kind !== 'mark' || /[%٪.,:=~+/£$€#@-]/.test(text)),
  )
  let index = 0
  while (LEADS.has(tokens[index]?.text ?? '')) index += 1
  const led = index > 0
  const figure = figureAt(tokens, index)
  if (figure === null) return null
  let at = figure.next
  let when: Clock | null = null
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
