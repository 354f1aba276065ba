// A seeded simulator: days of people, lost sends and outages, drawn at random, through the real `decide`. Checked
// after every step: the promises that a household relies on. A failing seed is printed by fast-check.

import fc from 'fast-check'
import { describe, expect, it, vi } from 'vitest'
import { MINUTE_MS, asInstant } from '../../src/plan/index.ts'
import {
  type Household,
  type Reminder,
  isOpen,
  nextWake,
  outOfReach,
} from '../../src/reminder/index.ts'
import { EVERY_DAY, spanAt } from '../../src/schedule/index.ts'
import { House, at, withWebhook } from './house.ts'

vi.setConfig({ testTimeout: 60_000 })

type Act =
  | { readonly kind: 'announce'; readonly startsIn: number; readonly minutes: number }
  | { readonly kind: 'move'; readonly which: number; readonly by: number }
  | { readonly kind: 'cancel'; readonly which: number }
  | { readonly kind: 'reading'; readonly socPct: number }
  | { readonly kind: 'answer' | 'undo'; readonly which: number }
  | { readonly kind: 'snooze'; readonly which: number; readonly minutes: number }
  /** Nothing wakes the household for so long: the platform is down, or the machine off. */
  | { readonly kind: 'outage'; readonly minutes: number }
  | { readonly kind: 'live'; readonly minutes: number }

const which = fc.nat({ max: 30 })
const minutes = fc.integer({ min: 1, max: 300 })
const acts: fc.Arbitrary<Act> = fc.oneof(
  {
    weight: 2,
    arbitrary: fc.record({
      kind: fc.constant('announce' as const),
      startsIn: fc.integer({ min: -20, max: 900 }),
      minutes: fc.integer({ min: 15, max: 240 }),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('move' as const),
      which,
      by: fc.integer({ min: -200, max: 200 }),
    }),
  },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('cancel' as const), which }) },
  {
    weight: 2,
    arbitrary: fc.record({
      kind: fc.constant('reading' as const),
      socPct: fc.integer({ min: 0, max: 100 }),
    }),
  },
  {
    weight: 2,
    arbitrary: fc.record({ kind: fc.constantFrom('answer' as const, 'undo' as const), which }),
  },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('snooze' as const), which, minutes }) },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('outage' as const), minutes }) },
  { weight: 4, arbitrary: fc.record({ kind: fc.constant('live' as const), minutes }) },
)
const transports = fc.array(
  fc.constantFrom('accepted', 'accepted', 'try-again', 'silence', 'gone'),
  {
    minLength: 1,
    maxLength: 20,
  },
)

const pick = <Value>(values: readonly Value[], which: number): Value | undefined =>
  values[which % Math.max(1, values.length)]

function perform(house: House, act: Act): void {
  const later = (minutes: number) => asInstant(house.now + minutes * MINUTE_MS)
  const reminder = 'which' in act ? pick(house.household.reminders, act.which) : undefined
  const event = 'which' in act ? pick(house.household.events, act.which) : undefined
  switch (act.kind) {
    case 'announce':
      house.do({
        type: 'announce',
        start: later(act.startsIn),
        end: later(act.startsIn + act.minutes),
      })
      return
    case 'move':
      if (event)
        house.do({
          type: 'move',
          eventId: event.id,
          start: asInstant(event.start + act.by * MINUTE_MS),
          end: asInstant(event.end + act.by * MINUTE_MS),
        })
      return
    case 'cancel':
      if (event) house.do({ type: 'cancel', eventId: event.id })
      return
    case 'reading':
      house.do({ type: 'reading', at: house.now, socPct: act.socPct })
      return
    case 'answer':
      if (reminder) house.do({ type: 'acknowledge', key: reminder.key, by: 'page' })
      return
    case 'undo':
      if (reminder) house.do({ type: 'reopen', key: reminder.key })
      return
    case 'snooze':
      if (reminder) house.do({ type: 'snooze', key: reminder.key, minutes: act.minutes })
      return
    case 'outage':
      house.now = later(act.minutes)
      house.do({ type: 'wake' })
      return
    case 'live':
      house.until(later(act.minutes))
  }
}

/** What must hold whatever happened. */
function promises(before: Household, house: House): void {
  const { household, now } = house
  const openOnes = household.reminders.filter(isOpen)
  const wake = nextWake(household)
  if (openOnes.length > 0)
    expect(wake, '[R12] something is open, so there is a next time').not.toBeNull()
  if (wake !== null) expect(wake, '[R12] nothing that is due is left lying').toBeGreaterThan(now)
  expect(new Set(household.reminders.map((each) => each.key)).size).toBe(household.reminders.length)
  expect(new Set(household.deliveries.map((each) => each.id)).size).toBe(
    household.deliveries.length,
  )

  const fresh = household.messages.filter((each) => each.seq > (before.messages.at(-1)?.seq ?? 0))
  for (const { reminderKey, at: sentAt, text } of fresh) {
    const reminder = household.reminders.find((each) => each.key === reminderKey)
    expect(text).not.toMatch(/NaN|undefined|null|Infinity/)
    if (!reminder) continue
    expect(sentAt, '[R10] nothing is sent after it helps').toBeLessThan(reminder.uselessAfter)
    const was = before.reminders.find((each) => each.key === reminderKey)
    if (was?.state === 'acknowledged' && reminder.state === 'acknowledged')
      expect.fail(`[R8] ${reminder.key} was asked again after an answer`)
  }
  for (const kind of ['hold', 'release', 'restore'] as const)
    for (const event of household.events) {
      const same = openOnes.filter((each) => each.kind === kind && each.eventId === event.id)
      expect(same.length, `at most one open ${kind} for an event`).toBeLessThanOrEqual(1)
    }
}

/** [R17] While time goes by and nobody says anything, nothing is asked of people who are all out of reach. */
function whileHandsAreThere(before: Household, { household }: House): void {
  const fresh = household.messages.filter((each) => each.seq > (before.messages.at(-1)?.seq ?? 0))
  for (const { reminderKey, at: sentAt } of fresh) {
    const reminder = household.reminders.find((each) => each.key === reminderKey)
    const event = household.events.find(({ id }) => id === reminder?.eventId)
    if (!reminder || !event || reminder.kind === 'plan') continue
    const gone = spanAt(outOfReach(household.settings, [event]), sentAt)
    // What became due while all were gone has no better time: late is better than never.
    if (gone !== null && gone.start > reminder.dueAt)
      expect.fail(`[R17] ${reminder.key} was asked while all were gone`)
  }
}

const clockTime = fc
  .tuple(fc.integer({ min: 0, max: 23 }), fc.constantFrom('00', '30'))
  .map(([hour, minute]) => `${String(hour).padStart(2, '0')}:${minute}`)
const hours = fc.record({ from: clockTime, until: clockTime }).filter((h) => h.from !== h.until)
const weekly = hours.map((each) => ({ days: EVERY_DAY, ...each }))
const habits = fc.record({
  people: fc.array(
    fc.record({
      name: fc.constantFrom('Rowan', 'Mika'),
      away: fc.array(weekly, { maxLength: 2 }),
      absences: fc.constant([]),
      quiet: fc.option(hours),
    }),
    { maxLength: 2 },
  ),
  topUpWindows: fc.array(weekly, { maxLength: 2 }),
  nightCharge: fc.option(hours, { freq: 2 }),
  unitRates: fc.option(
    fc.record({
      currency: fc.constant('CAD'),
      perKwh: fc.constant(0.2),
      bands: fc.array(
        fc.tuple(weekly, fc.double({ min: 0, max: 1, noNaN: true })).map(([each, perKwh]) => ({
          ...each,
          perKwh,
        })),
        { maxLength: 2 },
      ),
    }),
  ),
  cheapest: fc.boolean(),
  maxActions: fc.constantFrom(2, 3, 4, 6),
})

describe('[R1]-[R13] under faults', () => {
  it('keeps its promises whatever people, channels and outages do', () => {
    fc.assert(
      fc.property(fc.array(acts, { minLength: 1, maxLength: 25 }), transports, (day, fates) => {
        const house = new House(withWebhook, at('08:00'))
        house.transport = (id) => pick(fates, id.length + house.sends.length) as 'accepted'
        house.do({ type: 'reading', at: at('08:00'), socPct: 70 })
        for (const act of day) {
          const before = house.household
          perform(house, act)
          promises(before, house)
        }
      }),
      { numRuns: 400 },
    )
  })

  it('[R16]-[R19] and with people, charge windows and rates, too', () => {
    fc.assert(
      fc.property(habits, fc.array(acts, { minLength: 1, maxLength: 20 }), (given, day) => {
        const { settings } = withWebhook
        const battery = { ...settings.battery, maxChargeKw: 3 }
        const house = new House(
          { ...withWebhook, settings: { ...settings, battery, ...given } },
          at('08:00'),
        )
        house.do({ type: 'reading', at: at('08:00'), socPct: 70 })
        // A snooze is a person's own wish.
        const snoozes = day.some(({ kind }) => kind === 'snooze')
        for (const act of day) {
          const before = house.household
          perform(house, act)
          promises(before, house)
          if (act.kind === 'live' && !snoozes) whileHandsAreThere(before, house)
          const settled = house.household
          house.do({ type: 'wake' })
          expect(house.household.messages, '[R12] waking again says nothing').toEqual(
            settled.messages,
          )
        }
      }),
      { numRuns: 200 },
    )
  })

  it('[R4] asks for the release before the event starts, whoever held, when nothing fails', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 20, max: 100 }),
        fc.integer({ min: 60, max: 600 }),
        (socPct, startsIn) => {
          const house = new House(withWebhook, at('08:00'))
          house.do({ type: 'reading', at: at('08:00'), socPct })
          const start = asInstant(house.now + startsIn * MINUTE_MS)
          house.do({ type: 'announce', start, end: asInstant(start + 60 * MINUTE_MS) })
          const held = () =>
            house.household.reminders.find((each) => each.kind === 'hold' && each.state === 'sent')
          while (house.now < start && !held()) house.until(asInstant(house.now + MINUTE_MS))
          const hold = held()
          if (hold === undefined) return
          house.do({ type: 'acknowledge', key: hold.key, by: 'page' })
          house.until(start)
          const release = house.household.reminders.find(
            (each): each is Reminder => each.kind === 'release',
          )
          expect(release?.sentAt ?? Infinity).toBeLessThanOrEqual(start)
        },
      ),
      { numRuns: 100 },
    )
  })
})

describe('[R11] the outbox', () => {
  const sent = (fate: 'accepted' | 'try-again' | 'silence' | 'gone') => {
    const house = new House(withWebhook, at('13:00'))
    house.transport = () => fate
    house.do({ type: 'reading', at: at('13:00'), socPct: 55 })
    house.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
    return house
  }

  it('sends once what is accepted', () => {
    const house = sent('accepted').until(at('15:00'))
    expect(house.sends.map((each) => each.id)).toEqual(['msg_tern3_plan-e1-1_0'])
  })

  it('tries again with the same id, and one that never came back after a minute', () => {
    for (const fate of ['try-again', 'silence'] as const) {
      const house = sent(fate).until(asInstant(at('13:00') + 61_000))
      expect(new Set(house.sends.map((each) => each.id))).toEqual(
        new Set(['msg_tern3_plan-e1-1_0']),
      )
      expect(house.sends.length).toBeGreaterThan(1)
    }
  })

  it('gives up after ten attempts', () => {
    const house = sent('try-again').until(at('15:00'))
    expect(house.sends).toHaveLength(10)
    expect(house.household.deliveries[0]).toMatchObject({ state: 'dropped', nextAt: null })
  })

  it('waits as long as the receiver asks, but never hurries, and not beyond its use', () => {
    const house = sent('silence')
    const attempt = (afterMs: number) =>
      house.do({
        type: 'attempted',
        deliveryId: 'msg_tern3_plan-e1-1_0',
        attempt: { kind: 'try-again', afterMs, note: 'status 429' },
      })
    attempt(1e12)
    expect(house.household.deliveries[0]).toMatchObject({ state: 'dropped', nextAt: null })
  })

  it('keeps a new address when the old one says it is gone', () => {
    const house = sent('silence')
    const webhook = { url: 'https://example.com/new', secret: 'whsec_y' }
    const from = house.household.settings
    house.do({ type: 'settings', settings: { ...from, webhook }, from })
    house.do({
      type: 'attempted',
      deliveryId: 'msg_tern3_plan-e1-1_0',
      attempt: { kind: 'gone', note: 'status 410', address: 'https://example.com/hook' },
    })
    expect(house.household.settings.webhook).toEqual(webhook)
  })

  it('drops what was answered before it got through', () => {
    const house = sent('try-again').until(at('16:19'))
    house.do({ type: 'acknowledge', key: house.reminder('hold').key, by: 'page' })
    const before = house.sends.filter((each) => each.id.includes('hold')).length
    house.until(at('16:40'))
    expect(house.sends.filter((each) => each.id.includes('hold')).length).toBe(before)
  })

  it('switches off an address that says it is gone, and says so', () => {
    const house = sent('gone')
    expect(house.household.settings.webhook).toBeNull()
    expect(house.last()).toMatch(/^The webhook answered that it is gone/)
  })
})
