// `cancel thursday`, `move thursday to 18:00-19:00`, `the event is called off`: which event, and to when.

import type { Attached, FoundEvent, Item, Parts, Settled } from '../announcement/index.ts'
import {
  durationAt,
  localDayOf,
  localTimeOf,
  movesEnd,
  newRange,
  plainDay,
  settle,
} from '../announcement/index.ts'
import type { Clock, Range } from '../announcement/index.ts'
import {
  announceChoices,
  ask,
  cancelChoices,
  minutesOfSpan,
  moveChoices,
  moveText,
} from './choices.ts'
import type { Span } from '../plan/index.ts'
import type { ChatContext, Intent, KnownEvent } from './intent.ts'
import { eventsNamed } from './target.ts'

type Confirmable = ChatContext & { readonly confirmed: boolean }

const MAX_CHOICES = 8

const ahead = ({ events, now }: ChatContext): readonly KnownEvent[] =>
  events.filter((event) => event.end > now).sort((a, b) => a.start - b.start)

/** Takes one event back, or asks which. */
export function cancelled(parts: Parts, context: ChatContext): Intent {
  const all = ahead(context)
  if (all.length === 0) return ask({ reason: 'no_events' })
  const named = eventsNamed(parts.items, context)
  const [only] = named
  if (only !== undefined && named.length === 1) return { kind: 'cancel', eventId: only.id }
  const choices = cancelChoices(named.length > 0 ? named : all, context.timeZone)
  return ask(
    { reason: named.length > 0 ? 'which_event' : 'no_such_event' },
    choices.slice(0, MAX_CHOICES),
  )
}

type Wanted = {
  readonly target: readonly Item[]
  readonly to: readonly Item[]
  /** The end moves, by this many minutes where no clock says to when. */
  readonly end: { readonly by: number | null } | null
}

const CHANGES = new Set(
  'now starts begins ends finishes moved postponed rescheduled delayed extended'.split(' '),
)

// `extended by half an hour`
function minutesBy({ tokens }: Parts): number | null {
  const by = tokens.findIndex(({ text }) => text === 'by')
  return by < 0 ? null : (durationAt(tokens, by + 1)?.value ?? null)
}

// `move A to B`, `A now starts at B`; else the new time is the last range, and the rest names the event.
function split(parts: Parts): Wanted {
  const { tokens, items, ranges } = parts
  const inside = (index: number) => items.some((item) => item.from <= index && index < item.next)
  const parted = (at: number): Wanted => ({
    target: items.filter((item) => item.next <= at),
    to: items.filter((item) => item.from > at),
    end:
      parts.sentences.some(movesEnd) && ranges.length === 0
        ? { by: items.some(({ from }) => from > at) ? null : minutesBy(parts) }
        : null,
  })
  const to = tokens.findIndex(
    (token, index) =>
      token.text === 'to' && !inside(index) && items.some((item) => item.from > index),
  )
  if (to >= 0) return parted(to)
  const change = ranges.length > 0 ? -1 : tokens.findIndex(({ text }) => CHANGES.has(text))
  const timed = items.some((item) => item.from > change && item.kind === 'clock' && !item.deadline)
  if (change >= 0 && (timed || parts.sentences.some(movesEnd))) return parted(change)
  const last = newRange(parts, ranges)?.item
  return {
    target: items.filter((item) => item !== last),
    to: items.filter((item) => item === last),
    end: null,
  }
}

const clockOf = (event: KnownEvent, zone: string): Clock => {
  const { hour, minute } = localTimeOf(event.start, zone)
  return { hour, minute, half: null, either: false, weak: false, short: false }
}

// The new time: a range, a start alone (as long as before), or a day alone (the same clock).
function newTime(event: KnownEvent, wanted: Wanted, parts: Parts, context: Confirmable): Settled {
  const { timeZone } = context
  const day = wanted.to.find((item) => item.kind === 'day')
  const range = wanted.to.find((item) => item.kind === 'range')
  const start = wanted.to.find((item) => item.kind === 'clock' || item.kind === 'timestamp')
  const attached = parts.ranges.find((one: Attached) => one.item === range)
  const own = plainDay(localDayOf(event.start, timeZone))
  const on = day?.day ?? attached?.days[0] ?? own
  const part = attached?.part ?? null
  if (range !== undefined) return settle(range.range, on, part, context)
  const kept = { kind: 'minutes', minutes: minutesOfSpan(event) } as const
  const from =
    start === undefined
      ? clockOf(event, timeZone)
      : start.kind === 'clock'
        ? start.clock
        : start.timestamp
  const plain = { day: null, weak: false, from: false, zone: null } as const
  if (wanted.end !== null) {
    const { by } = wanted.end
    const end: Range['end'] | null =
      by !== null
        ? { kind: 'minutes', minutes: minutesOfSpan(event) + by }
        : start?.kind === 'clock'
          ? { kind: 'clock', clock: start.clock, day: null }
          : null
    return end === null
      ? { kind: 'nothing' }
      : settle({ ...plain, start: clockOf(event, timeZone), end }, own, null, context)
  }
  const settled = settle({ ...plain, start: from, end: kept }, on, part, context)
  if (settled.kind !== 'event' || start === undefined) return settled
  const assumed: FoundEvent['assumed'] = [...settled.event.assumed, 'same-length']
  return { kind: 'event', event: { ...settled.event, assumed } }
}

// `moved from 17:30 to 18:30`: a later start, or the whole of the new time.
function fromTo(event: KnownEvent, range: Range, on: Settled, context: Confirmable): Intent | null {
  if (!range.from || range.end.kind !== 'clock' || on.kind !== 'event') return null
  const day = plainDay(localDayOf(on.event.start, context.timeZone))
  const end = { kind: 'minutes', minutes: minutesOfSpan(event) } as const
  const start = range.end.clock
  const shifted = settle({ ...range, start, end }, day, null, context)
  const whole = on.event
  if (whole.start === event.start && shifted.kind === 'event') {
    // It starts at the old time named: only the start can have moved.
    const assumed: FoundEvent['assumed'] = [...shifted.event.assumed, 'same-length']
    return { kind: 'move', eventId: event.id, to: { ...shifted.event, assumed } }
  }
  const spans = [...(shifted.kind === 'event' ? [shifted.event] : []), whole]
  return ask({ reason: 'moved_from_or_between' }, moveChoices(event, spans, context))
}

/** Moves one event, or asks which, or when. */
export function moved(parts: Parts, context: Confirmable): Intent {
  const all = ahead(context)
  if (all.length === 0) return ask({ reason: 'no_events' })
  const wanted = split(parts)
  const by = wanted.end?.by ?? null
  const said = by !== null || wanted.to.some((item) => item.kind !== 'part')
  const byAll = eventsNamed(wanted.target, context)
  // `moved: friday 18-19` names the new day, not the old one.
  const byTime = eventsNamed(
    wanted.target.filter((item) => item.kind !== 'day'),
    context,
  )
  const named = byAll.length > 0 ? byAll : byTime
  if (!said) return ask({ reason: 'moved_without_time' })
  const [event] = named
  if (event === undefined || named.length > 1) {
    const among = named.length > 0 ? named : all
    const choices = among.slice(0, MAX_CHOICES).flatMap((one) => {
      const settled = newTime(one, wanted, parts, context)
      return settled.kind === 'event'
        ? [
            {
              label: { kind: 'event' as const, event: one },
              send: moveText(one, settled.event, context),
            },
          ]
        : []
    })
    return ask({ reason: named.length > 0 ? 'which_event' : 'no_such_event' }, choices)
  }
  const settled = newTime(event, wanted, parts, context)
  const range = wanted.to.find((item) => item.kind === 'range')
  const either = range === undefined ? null : fromTo(event, range.range, settled, context)
  if (either !== null) return either
  if (settled.kind === 'event') return { kind: 'move', eventId: event.id, to: settled.event }
  if (settled.kind === 'nothing') return ask({ reason: 'moved_without_time' })
  return ask(settled.why, moveChoices(event, settled.candidates, context))
}

/** A text that takes one event back and names another: the other one, or the cancellation alone. */
export function cancelledAndNew(candidates: readonly Span[], context: ChatContext): Intent {
  const events = ahead(context)
  return ask({ reason: 'cancelled_and_new' }, [
    ...cancelChoices(events, context.timeZone).slice(0, MAX_CHOICES),
    ...events.flatMap((event) => moveChoices(event, candidates, context)).slice(0, MAX_CHOICES),
    ...(events.length === 0 ? announceChoices(candidates, [], context) : []),
  ])
}
