// What is done with an absence or a night that somebody told of, and what is answered about people and prices.

import { DAY_MS, type Instant, type Span, asInstant } from '../plan/index.ts'
import {
  type Command,
  type Household,
  type Person,
  advice,
  formatOf,
  outOfReach,
  upcoming,
  whoReaches,
} from '../reminder/index.ts'
import { unitRateSteps, weeklySpans } from '../schedule/index.ts'
import { peopleWords as say, pricesWords } from '../words/index.ts'
import { isoSpanText } from './choices.ts'
import type { Intent, Who } from './intent.ts'

type Told = Extract<Intent, { kind: 'away' | 'asleep' }>

/** As many as the settings keep. */
const MOST_ABSENCES = 100

export type Noted =
  | { readonly kind: 'change'; readonly command: Command; readonly text: string }
  | { readonly kind: 'say'; readonly text: string }
  /** Who is meant? `send` is a complete message. */
  | {
      readonly kind: 'ask'
      readonly text: string
      readonly buttons: Household['messages'][number]['buttons']
    }

/** The change of settings that a message asks for, or the question who is meant. */
export function noted(household: Household, told: Told, now: Instant): Noted {
  const { settings } = household
  const listed = settings.people
  const people = listed.length > 0 ? listed : [newPerson]
  const meant = whoIsMeant(people, told.who)
  if (meant === null) return askWho(household, told)
  const f = formatOf(household)
  const changed = people.map((person) =>
    meant.includes(person) ? withTold(person, told, now) : person,
  )
  if (changed.some(({ absences }) => absences.length > MOST_ABSENCES))
    return { kind: 'say', text: say.tooMany }
  const names = f.list(meant.map(({ name }) => name))
  const [away, quiet] =
    meant.length === 1 ? [say.awayNoted, say.quietNoted] : [say.allAwayNoted, say.allQuietNoted]
  const what =
    told.kind === 'away'
      ? away(names, spanSaid(household, told.span, now))
      : quiet(names, told.from, told.until)
  const alone = listed.length === 0 ? [say.listYourselves] : []
  return {
    kind: 'change',
    command: { type: 'settings', settings: { ...settings, people: changed }, from: settings },
    text: [what, ...alone].join(' '),
  }
}

const newPerson: Person = { name: say.household, away: [], absences: [], quiet: null }

/** `null`: it is not known who. */
function whoIsMeant(people: readonly Person[], who: Who): readonly Person[] | null {
  if (who.kind === 'all' || people.length === 1) return people
  const named = who.kind === 'named' ? people.find(({ name }) => name === who.name) : undefined
  return named === undefined ? null : [named]
}

const withTold = (person: Person, told: Told, now: Instant): Person =>
  told.kind === 'asleep'
    ? { ...person, quiet: { from: told.from, until: told.until } }
    : {
        ...person,
        absences: [
          ...person.absences.filter(({ end }) => end > now - DAY_MS),
          { start: told.span.start, end: told.span.end },
        ],
      }

function askWho({ settings }: Household, told: Told): Noted {
  const rest =
    told.kind === 'away'
      ? `away ${isoSpanText(told.span, settings.timeZone)}`
      : `asleep ${told.from}-${told.until}`
  const buttons = settings.people.map(({ name }) => ({ label: name, send: `${name} is ${rest}` }))
  const all = { label: say.everybody, send: `all of us are ${rest}` }
  return { kind: 'ask', text: say.askWho, buttons: [...buttons, all] }
}

function spanSaid(household: Household, { start, end }: Span, now: Instant): string {
  const f = formatOf(household)
  const times = f.range(start, end)
  return f.isoDay(start) === f.isoDay(now) ? times : `${f.shortDay(start)}, ${times}`
}

/** What an absence changes where the plan is as it was: what is to be known of the next event, or nothing. */
export function changesNothing(household: Household, now: Instant): string {
  const [event] = upcoming(household, now)
  if (event === undefined) return say.noPlan
  const known = advice(household, event, now)
  return known.length === 0 ? say.noChange : known.join(' ')
}

/** Who can reach it now, and until when somebody can. */
export function whoIsThere(household: Household, now: Instant): string {
  const { settings } = household
  if (settings.people.length === 0) return say.who.nobodyListed
  const f = formatOf(household)
  const when = (at: Instant) =>
    f.isoDay(at) === f.isoDay(now) ? f.time(at) : `${f.time(at)} (${f.shortDay(at)})`
  const names = whoReaches(settings, now)
  const week = asInstant(now + 7 * DAY_MS)
  const [next] = outOfReach(settings, [{ start: week, end: week }], now)
  const here = f.list(names)
  const text =
    names.length > 0
      ? next === undefined
        ? say.who.here(here)
        : say.who.hereUntil(here, when(next.start))
      : next === undefined || next.end > week
        ? say.who.nobodyForLong
        : say.who.nobody(when(next.end))
  return [text, say.who.more].join(' ')
}

/** The price now and until when, and where charging by hand is welcome next. */
export function pricesNow(household: Household, now: Instant): string {
  const { unitRates, topUpWindows, timeZone } = household.settings
  const f = formatOf(household)
  const within = { start: now, end: asInstant(now + 2 * DAY_MS) }
  const [window] = weeklySpans(topUpWindows, timeZone, within)
  const charging =
    window === undefined ? [] : [pricesWords.charging(spanSaid(household, window, now))]
  if (unitRates === null) return [pricesWords.none, ...charging].join(' ')
  const [step, next] = unitRateSteps(unitRates, timeZone, within)
  const price = f.price(step?.perKwh ?? unitRates.perKwh, unitRates.currency)
  const current =
    next === undefined ? pricesWords.always(price) : pricesWords.now(price, f.time(next.start))
  return [current, ...charging, pricesWords.more].join(' ')
}
