// A season as it is drawn from a seed, before anything happens: the household, its people, what the utility will ask, and how
// badly the world treats them.

import { DateTime } from 'luxon'
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS, asInstant } from '../../src/plan/index.ts'
import {
  type ChannelTarget,
  type Household,
  type HouseholdChannel,
  NO_HABITS,
  type Person,
  type Settings,
  newHousehold,
} from '../../src/reminder/index.ts'
import { EVERY_DAY } from '../../src/schedule/index.ts'
import { type Behaviour, drawBehaviour } from './people.ts'
import type { Chance } from './random.ts'

export type Announcement = {
  readonly at: Instant
  readonly start: Instant
  readonly end: Instant
}

/** An instant at which a change hurts most. */
export type Anchor = 'hold-due' | 'hold-by' | 'release-due' | 'release' | 'start' | 'end' | 'any'

/** The utility thinks better of an event. */
export type Mischief = {
  /** Of the announcement of this number. */
  readonly of: number
  readonly what: 'move' | 'cancel'
  readonly anchor: Anchor
  readonly offsetMs: number
  readonly byMs: number
}

export type Faults = {
  /** Per place at which a crash can come. */
  readonly crash: number
  readonly alarmLate: number
  readonly alarmLost: number
  readonly alarmTwice: number
  /** Per call of a channel. */
  readonly flaky: number
  readonly shownLate: number
  readonly shownTwice: number
  /** Nothing runs: the platform is down. */
  readonly outages: readonly { readonly from: Instant; readonly until: Instant }[]
  /** How many long failures a channel has in a season, on average. */
  readonly downs: number
  readonly gone: number
}

export type Season = {
  readonly begins: Instant
  readonly ends: Instant
  /** Nothing goes wrong, people answer at once, events lie days apart. */
  readonly calm: boolean
  readonly changesSettings: boolean
  readonly household: Household
  readonly behaviours: ReadonlyMap<string, Behaviour>
  readonly announcements: readonly Announcement[]
  readonly mischiefs: readonly Mischief[]
  readonly faults: Faults
  /** How often a calendar asks for the feed, ms; `null`: none is subscribed. */
  readonly pollsEveryMs: number | null
}

// The clock changes of the three zones that the seasons lie in, from the tz database.
const CLOCK_CHANGES: Record<string, readonly string[]> = {
  'America/Halifax': ['2027-03-14', '2027-11-07'],
  'Europe/London': ['2027-03-28', '2027-10-31'],
  'Australia/Sydney': ['2027-04-04', '2027-10-03'],
}

const NAMES = ['Rowan', 'Mika', 'Kit'] as const

export function drawSeason(seed: number, chance: Chance): Season {
  const calm = chance.is(0.25)
  const zone = chance.one(['America/Halifax', 'Europe/London', 'Australia/Sydney'])
  const change = DateTime.fromISO(chance.one(CLOCK_CHANGES[zone] as [string]), { zone })
  const first = change.minus({ days: chance.is(0.6) ? chance.whole(1, 9) : chance.whole(20, 120) })
  const begins = asInstant(first.set({ hour: chance.whole(6, 11) }).toMillis())
  const settings = drawSettings(chance, zone, begins, calm)
  const empty = newHousehold(`h${seed.toString(36)}`, settings)
  const household = { ...empty, channels: drawChannels(chance, settings.people, calm) }
  const announcements = drawEvents(chance, begins, zone, change, calm)
  const last = Math.max(begins, ...announcements.map(({ end }) => end))
  const ends = asInstant(last + 2 * DAY_MS)
  const owners = new Set([...household.channels.map(({ person }) => person), ...NAMES])
  const behaviours = [...owners].map((name) => [name, drawBehaviour(chance, calm)] as const)
  return {
    begins,
    ends,
    calm,
    changesSettings: !calm && chance.is(0.3),
    household,
    behaviours: new Map(behaviours),
    announcements,
    mischiefs: calm ? [] : drawMischiefs(chance, announcements.length),
    faults: calm ? NO_FAULTS : drawFaults(chance, begins, ends),
    pollsEveryMs: chance.is(0.5) ? chance.whole(1, 12) * HOUR_MS : null,
  }
}

function drawSettings(chance: Chance, timeZone: string, begins: Instant, calm: boolean): Settings {
  const night = chance.is(0.5)
  const people = NAMES.slice(0, chance.one([0, 1, 1, 2, 2, 3])).map((name) =>
    drawPerson(chance, name, begins, calm),
  )
  const webhook = { url: 'https://example.com/hook', secret: 'whsec_x' }
  return {
    ...NO_HABITS,
    name: 'Tern Street',
    timeZone,
    language: 'en',
    dayFirst: true,
    battery: {
      capacityKwh: chance.one([5.2, 9.6, 9.6, 13.5]),
      outageReservePct: chance.one([0, 10, 20]),
      maxDischargeKw: 3.6,
      maxChargeKw: chance.one([3, Infinity]),
      dischargeEfficiency: 0.95,
      chargeEfficiency: 0.95,
      standbyKw: 0,
      taper: null,
    },
    loadKw: chance.one([0.4, 0.8, 0.8, 1.5]),
    nightCharge: night ? { from: '00:30', until: '05:00' } : null,
    margin: { pct: 5 },
    rule: null,
    releaseLeadMinutes: chance.one([5, 5, 5, 5, 5, 5, 10, 2, 0]),
    howToHold: 'the app, discharge off.',
    howToRelease: 'the app, discharge on.',
    medical: false,
    webhook: chance.is(0.4) ? webhook : null,
    calendarAlarms: false,
    people,
    topUpWindows:
      !night && !calm && chance.is(0.25)
        ? [{ days: EVERY_DAY, from: '01:00', until: '05:00' }]
        : [],
    maxReadings: 2,
    demo: false,
  }
}

function drawPerson(chance: Chance, name: string, begins: Instant, calm: boolean): Person {
  const work = { days: [1, 2, 3, 4, 5], ...chance.one(HOURS_AWAY) }
  const from = asInstant(begins + chance.whole(0, 20 * 24) * HOUR_MS)
  const journey = { start: from, end: asInstant(from + chance.whole(2, 72) * HOUR_MS) }
  return {
    name,
    away: !calm && chance.is(0.4) ? [work] : [],
    absences: !calm && chance.is(0.3) ? [journey] : [],
    quiet: chance.is(0.7) ? chance.one(HOURS_ASLEEP) : null,
  }
}

type Hours = [{ from: string; until: string }, ...{ from: string; until: string }[]]

const HOURS_AWAY: Hours = [
  { from: '08:00', until: '16:30' },
  { from: '09:00', until: '17:00' },
  { from: '15:00', until: '23:00' },
]
const HOURS_ASLEEP: Hours = [
  { from: '22:00', until: '07:00' },
  { from: '23:30', until: '06:00' },
  { from: '09:00', until: '16:00' },
]

function drawChannels(
  chance: Chance,
  people: readonly Person[],
  calm: boolean,
): readonly HouseholdChannel[] {
  const listed = people.map(({ name }) => name)
  const owners = chance.is(0.2) || listed.length === 0 ? [...listed, 'Ash'] : listed
  const channels = owners.flatMap((person) =>
    Array.from({ length: chance.one([calm ? 1 : 0, 1, 1, 2, 2, 3]) }, () => person),
  )
  return channels.map((person, i) => ({
    id: `c${i + 1}`,
    person,
    label: `way ${i + 1}`,
    target: drawTarget(chance, i),
    state: 'on',
    last: null,
  }))
}

function drawTarget(chance: Chance, i: number): ChannelTarget {
  switch (chance.one(['push', 'push', 'telegram', 'telegram', 'mail', 'publish'])) {
    case 'push':
      return { kind: 'push', endpoint: `https://example.com/push/${i}`, p256dh: 'k', auth: 'a' }
    case 'telegram':
      return { kind: 'telegram', chatId: String(100 + i), group: false }
    case 'mail':
      return { kind: 'mail', address: `p${i}@example.com` }
    default:
      return { kind: 'publish', server: 'https://example.com', topic: `t${i}`, token: null }
  }
}

function drawEvents(
  chance: Chance,
  begins: Instant,
  zone: string,
  change: DateTime,
  calm: boolean,
): readonly Announcement[] {
  const events: Announcement[] = []
  const count = chance.whole(3, 8)
  let day = DateTime.fromMillis(begins, { zone }).startOf('day').plus({ days: 1 })
  for (let i = 0; i < count; i++) {
    const hour = calm || chance.is(0.85) ? chance.whole(16, 20) : chance.whole(0, 23)
    const minute = chance.one([0, 0, 30, 30, 15])
    // Now and then in the very night in which the clocks change.
    const nightly = !calm && day.hasSame(change, 'week') && chance.is(0.2)
    const start = nightly
      ? change.set({ hour: chance.whole(0, 3), minute })
      : day.set({ hour, minute })
    const minutes = chance.one([30, 60, 60, 60, 90, 120, 180])
    const ahead = calm
      ? chance.whole(3, 30) * 60
      : chance.one([10, 40, 120, 240, 480, 900, 1440, 2880])
    const at = Math.max(begins + i * MINUTE_MS, start.toMillis() - ahead * MINUTE_MS)
    events.push({
      at: asInstant(at),
      start: asInstant(start.toMillis()),
      end: asInstant(start.toMillis() + minutes * MINUTE_MS),
    })
    day = day.plus({ days: calm ? chance.whole(2, 4) : chance.whole(0, 5) })
  }
  return events
}

const ANCHORS = ['hold-due', 'hold-by', 'release-due', 'release', 'start', 'end', 'any'] as const

const drawMischiefs = (chance: Chance, events: number): readonly Mischief[] =>
  Array.from({ length: chance.whole(0, events) }, () => ({
    of: chance.whole(0, events - 1),
    what: chance.is(0.6) ? 'move' : 'cancel',
    anchor: chance.one(ANCHORS),
    offsetMs: chance.one([-60_000, -1000, -1, 0, 0, 1, 1000, 60_000, 300_000]),
    byMs: chance.one([-120, -60, -30, -10, 5, 15, 30, 60, 120, 600, 1440, 4320]) * MINUTE_MS,
  }))

const NO_FAULTS: Faults = {
  crash: 0,
  alarmLate: 0,
  alarmLost: 0,
  alarmTwice: 0,
  flaky: 0,
  shownLate: 0,
  shownTwice: 0,
  outages: [],
  downs: 0,
  gone: 0,
}

function drawFaults(chance: Chance, begins: Instant, ends: Instant): Faults {
  // Each kind alone in some seasons, so that one trouble does not hide another.
  const some = (often: number, ...rates: readonly [number, ...number[]]) =>
    chance.is(often) ? chance.one(rates) : 0
  const outages = Array.from({ length: some(0.4, 1, 2, 4) }, () => {
    const from = chance.whole(begins, ends)
    return {
      from: asInstant(from),
      until: asInstant(from + chance.one([1, 5, 30, 120, 600]) * MINUTE_MS),
    }
  })
  return {
    crash: some(0.5, 0.002, 0.01, 0.05),
    alarmLate: some(0.5, 0.05, 0.3),
    alarmLost: some(0.25, 0.01, 0.03),
    alarmTwice: some(0.4, 0.05, 0.2),
    flaky: some(0.6, 0.02, 0.1, 0.3),
    shownLate: some(0.4, 0.05, 0.3),
    shownTwice: some(0.4, 0.05, 0.2),
    outages,
    downs: some(0.5, 1, 3, 6),
    gone: some(0.3, 0.1, 0.3),
  }
}
