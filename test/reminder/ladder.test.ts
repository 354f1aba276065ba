// [R21]–[R27]: whom a reminder goes to, how often, and what is left behind; on the model's worked example (hold by 16:28:36,
// release 17:25, event 17:30 to 18:30).

import { describe, expect, it } from 'vitest'
import { type Instant, MINUTE_MS, asInstant } from '../../src/plan/index.ts'
import {
  type Household,
  type HouseholdChannel,
  type Person,
  nextWake,
} from '../../src/reminder/index.ts'
import { type House, at, clock, empty, settings, workedDay } from './house.ts'

const channel = (id: string, person: string, kind: 'telegram' | 'push' | 'publish' = 'telegram') =>
  ({
    id,
    person,
    label: 'phone',
    target:
      kind === 'push'
        ? { kind, endpoint: `https://push.example/${id}`, p256dh: 'p', auth: 'a' }
        : kind === 'publish'
          ? { kind, server: 'https://publish.example', topic: id, token: null }
          : { kind, chatId: id, group: false },
    state: 'on',
    last: null,
  }) satisfies HouseholdChannel

const person = (name: string, more: Partial<Person> = {}): Person => ({
  name,
  away: [],
  absences: [],
  quiet: null,
  ...more,
})

const homeOf = (people: readonly Person[], channels: readonly HouseholdChannel[]): Household => ({
  ...empty,
  settings: { ...settings, people },
  channels,
})

/** Ada has two channels, Ben one. */
const two = homeOf(
  [person('Ada'), person('Ben')],
  [channel('c1', 'Ada'), channel('c2', 'Ben'), channel('c3', 'Ada', 'push')],
)

/** When what went by which channel: `16:18 c1`. */
const told = (house: House, kind: string): string[] =>
  house.sends
    .filter(({ id }) => id.includes(`_${kind}-`) && !id.includes('_over'))
    .map(({ at: when, id }) => `${clock(when)} ${id.split('_').at(-1)}`)

const ack = (house: House, kind: string, by = 'Ada', by_channel?: string) =>
  house.do({
    type: 'acknowledge',
    key: house.reminder(kind).key,
    by,
    ...(by_channel === undefined ? {} : { channel: by_channel }),
  })

describe('[R21] whom it goes to', () => {
  it('first the first person’s first channel, then all of theirs, then everybody’s, before the deadline', () => {
    const house = workedDay(two).until(at('16:30'))
    expect(told(house, 'hold')).toEqual([
      '16:18 c1',
      '16:22 c1',
      '16:22 c3',
      '16:25 c1',
      '16:25 c3',
      '16:25 c2',
      '16:27 c1',
      '16:27 c3',
      '16:27 c2',
    ])
  })

  it('asks everybody before the event starts to let it run', () => {
    const house = workedDay(two).until(at('16:20'))
    ack(house, 'hold')
    house.until(at('17:29'))
    expect(told(house, 'release')).toEqual([
      '17:23 c1',
      '17:26 c1',
      '17:26 c3',
      '17:28 c1',
      '17:28 c3',
      '17:28 c2',
    ])
  })

  it('turns to who is at home, and leaves who sleeps alone', () => {
    const at_work = person('Ada', {
      away: [{ days: [1, 2, 3, 4, 5], from: '08:00', until: '18:00' }],
    })
    const asleep = person('Cleo', { quiet: { from: '12:00', until: '20:00' } })
    const channels = [channel('c1', 'Ada'), channel('c2', 'Ben'), channel('c3', 'Cleo')]
    const house = workedDay(homeOf([at_work, asleep, person('Ben')], channels)).until(at('16:30'))
    expect(new Set(told(house, 'hold').map((each) => each.slice(6)))).toEqual(new Set(['c2']))
    // Ben has no way to be told: Ada, at work, can call him. Cleo sleeps.
    const without = homeOf(
      [at_work, asleep, person('Ben')],
      channels.filter(({ id }) => id !== 'c2'),
    )
    const alone = workedDay(without).until(at('16:30'))
    expect(new Set(told(alone, 'hold').map((each) => each.slice(6)))).toEqual(new Set(['c1']))
  })

  it('calls everybody at once where it is late and nobody is at hand', () => {
    const house = workedDay(two).until(at('16:20'))
    ack(house, 'hold')
    house.now = at('17:28')
    house.do({ type: 'wake' })
    expect(told(house, 'release')).toEqual(['17:28 c1', '17:28 c3', '17:28 c2'])
  })

  it('does not call everybody where somebody has just said what it shows', () => {
    const house = workedDay(two).until(at('16:00'))
    house.do({ type: 'reading', at: at('16:00'), socPct: 24 })
    expect(told(house, 'hold')).toEqual(['16:00 c1'])
  })

  it('asks all at once whether it is paused, when nobody said', () => {
    const house = workedDay(two).until(at('17:29'))
    expect(told(house, 'release')).toEqual(['17:23 c1', '17:23 c3', '17:23 c2'])
  })

  it('sends no plan to anybody, and a reading to one', () => {
    const house = workedDay(two).until(at('15:40'))
    expect(told(house, 'plan')).toEqual([])
    expect(told(house, 'reading')).toEqual(['15:28 c1'])
  })
})

describe('[R22] a channel that fails', () => {
  const failing = (channels: readonly string[], fate: 'try-again' | 'gone' | 'silence') => {
    const house = workedDay(two)
    house.transport = (id) => (channels.some((each) => id.endsWith(`_${each}`)) ? fate : 'accepted')
    return house
  }

  it('hands over at once, and is not tried again once its person has it', () => {
    const house = failing(['c1'], 'try-again').until(at('15:40'))
    expect(told(house, 'reading')).toEqual(['15:28 c1', '15:28 c3'])
  })

  it('hands over to the next person when all of one’s fail', () => {
    const house = failing(['c1', 'c3'], 'try-again').until(asInstant(at('16:18') + 40_000))
    expect([...new Set(told(house, 'hold'))]).toEqual(['16:18 c1', '16:18 c3', '16:18 c2'])
  })

  it('waits a minute for one that never comes back, and says the second time that it may be known', () => {
    const house = failing(['c1'], 'silence').until(asInstant(at('15:30')))
    expect(told(house, 'reading').slice(0, 2)).toEqual(['15:28 c1', '15:29 c1'])
    expect(
      house.household.deliveries.find(({ id }) => id.endsWith('reading-e1-1_0_c1'))?.doubtful,
    ).toBe(true)
  })

  it('is switched off when it is gone, is said, and hands over', () => {
    const house = workedDay(two)
    house.until(at('15:28'))
    house.transport = () => 'silence'
    house.until(at('15:29'))
    const reading = house.household.deliveries.find(({ id }) => id.includes('_reading-'))
    house.transport = () => 'accepted'
    house.do({
      type: 'attempted',
      deliveryId: reading?.id ?? '',
      attempt: { kind: 'gone', note: 'status 403', address: 'c1' },
    })
    expect(house.household.channels[0]?.state).toBe('off')
    expect(house.last()).toMatch(/^Ada: phone takes no messages any more/)
    expect(told(house, 'reading').at(-1)).toBe('15:29 c3')
  })

  it('keeps a channel that leads elsewhere by then', () => {
    const house = workedDay(two)
    house.transport = () => 'silence'
    house.until(at('15:28'))
    house.do({
      type: 'add-channel',
      person: 'Ada',
      label: 'phone',
      target: { kind: 'telegram', chatId: 'new', group: false },
      state: 'on',
      replaces: 'c1',
    })
    const reading = house.household.deliveries.find(({ id }) => id.includes('_reading-'))
    const attempt = { kind: 'gone', note: 'status 403', address: 'c1' } as const
    house.do({ type: 'attempted', deliveryId: reading?.id ?? '', attempt })
    expect(house.household.channels[0]).toMatchObject({ state: 'on', target: { chatId: 'new' } })
  })

  it('hands over when it is taken away while it waits to be tried again', () => {
    const house = workedDay(homeOf([], [channel('c1', 'Ada'), channel('c2', 'Ben')]))
    house.transport = () => 'silence'
    house.until(at('15:29'))
    house.do({ type: 'remove-channel', channelId: 'c1' })
    house.transport = () => 'accepted'
    house.until(at('15:30'))
    expect(told(house, 'reading')).toEqual(['15:28 c1', '15:29 c2'])
  })

  it('sends to a chat’s new id when it has moved', () => {
    const house = workedDay(two)
    house.transport = () => 'silence'
    house.until(at('15:29'))
    const reading = house.household.deliveries.find(({ id }) => id.includes('_reading-'))
    house.transport = () => 'accepted'
    house.do({
      type: 'attempted',
      deliveryId: reading?.id ?? '',
      attempt: { kind: 'moved', note: 'migrated', chatId: '-100' },
    })
    expect(house.household.channels[0]?.target).toMatchObject({ chatId: '-100' })
    expect(told(house, 'reading')).toEqual(['15:28 c1', '15:29 c1'])
  })
})

describe('[R23] an answer', () => {
  it('ends what is on its way, and tells what is out there who answered', () => {
    const house = workedDay(two).until(at('16:26'))
    ack(house, 'hold', 'Ben', 'c2')
    const over = house.sends.filter(({ id }) => id.includes('_hold-') && id.includes('_over'))
    // Three messages to Ada's chat, one to Ben's, each edited; and her notifications replaced.
    expect(over.map(({ id }) => id.replace(/^msg_tern3_hold-e1-1_/, ''))).toEqual([
      '0_c1_over1',
      '1_c1_over1',
      '1_c3_over1',
      '2_c1_over1',
      '2_c3_over1',
      '2_c2_over1',
    ])
    expect(told(house.until(at('17:20')), 'hold')).toHaveLength(6)
  })

  it('leaves the notification alone on which it was tapped', () => {
    const house = workedDay(two).until(at('16:23'))
    ack(house, 'hold', 'Ada', 'c3')
    expect(house.sends.some(({ id }) => id.endsWith('_c3_over1'))).toBe(false)
  })

  it('taken back, asks anew', () => {
    const house = workedDay(two).until(at('16:20'))
    ack(house, 'hold')
    house.do({ type: 'reopen', key: house.reminder('hold').key })
    const before = told(house, 'hold').length
    expect(told(house.until(at('16:26')), 'hold').length).toBeGreaterThan(before)
  })
})

/** What asked for something, in the order of time, with its kind. */
const asked = (house: House) =>
  house.household.messages
    .filter(({ reminderKey }) => reminderKey !== null && !reminderKey.startsWith('plan-'))
    .map(({ at: when, reminderKey }) => ({ when, kind: reminderKey?.split('-')[0] ?? '' }))

describe('[R24] [R25] attention', () => {
  it('asks for four things on a calm day', () => {
    const house = workedDay(two).until(at('15:30'))
    house.do({ type: 'reading', at: at('15:30'), socPct: 34 })
    for (let now = house.now; now < at('18:40'); now = asInstant(now + MINUTE_MS)) {
      house.until(now)
      const open = house.household.reminders.find(
        ({ kind, state }) => state === 'sent' && (kind === 'hold' || kind === 'release'),
      )
      if (open !== undefined) ack(house, open.kind)
    }
    house.until(at('18:40'))
    house.do({ type: 'reading', at: at('18:40'), socPct: 15 })
    house.until(at('23:59'))
    expect(asked(house).map(({ kind }) => kind)).toEqual(['reading', 'hold', 'release', 'outcome'])
  })

  it('keeps what can wait ten minutes from the last, and never holds a hold back', () => {
    const house = workedDay(two)
    house.do({ type: 'announce', start: at('18:50'), end: at('19:20') })
    house.until(at('23:59'))
    const all = asked(house)
    for (const [i, { when, kind }] of all.entries()) {
      const before = all[i - 1]
      if (before === undefined || ['hold', 'release', 'restore'].includes(kind)) continue
      expect(when - before.when, `${kind} at ${clock(when)}`).toBeGreaterThanOrEqual(10 * MINUTE_MS)
    }
  })
})

describe('[R26] the spread', () => {
  it('asks earlier by less than a minute, and by the same each time', () => {
    const due = (id: string) => {
      const house = workedDay({ ...empty, id })
      return house.household.reminders.find(({ kind }) => kind === 'hold')?.dueAt ?? 0
    }
    const plain = due('tern3')
    const early = Array.from({ length: 200 }, (_, i) => plain - due(`h${i}`))
    expect(early.every((each) => each >= 0 && each < MINUTE_MS && each % 1000 === 0)).toBe(true)
    expect(new Set(early).size).toBeGreaterThan(40)
    expect(due('h7')).toBe(due('h7'))
  })
})

describe('[R27] why it was missed', () => {
  const because = (house: House, kind: string) => house.reminder(kind).missedBecause

  it('nothing woke', () => {
    const house = workedDay(two).until(at('14:00'))
    house.now = at('20:00')
    house.do({ type: 'wake' })
    expect(because(house, 'hold')).toBe('woke-late')
  })

  it('no channel took it', () => {
    const house = workedDay(two)
    house.transport = () => 'try-again'
    house.until(at('17:24'))
    expect(house.reminder('hold')).toMatchObject({ state: 'missed', missedBecause: 'no-channel' })
  })

  it('nobody could be asked: all ways were off, or all asleep', () => {
    const none = two.channels.map((each) => ({ ...each, state: 'off' as const }))
    const house = workedDay({ ...two, channels: none }).until(at('17:24'))
    expect(house.reminder('hold')).toMatchObject({ state: 'missed', missedBecause: 'no-channel' })
    expect(house.household.messages.map(({ text }) => text).join()).toContain('could not reach you')
    const asleep = person('Ada', { quiet: { from: '12:00', until: '20:00' } })
    const only = homeOf([asleep, person('Ben')], [channel('c1', 'Ada')])
    expect(because(workedDay(only).until(at('17:24')), 'hold')).toBe('nobody-there')
  })

  it('the page alone is enough where there is no channel', () => {
    const house = workedDay().until(at('17:24'))
    expect(house.reminder('hold')).toMatchObject({ state: 'lapsed', missedBecause: null })
  })

  it('has a next time to wake whatever fails', () => {
    const house = workedDay(two)
    house.transport = () => 'silence'
    for (let now: Instant = at('13:00'); now < at('19:00'); now = asInstant(now + 7 * MINUTE_MS)) {
      house.until(now)
      const open = house.household.reminders.some(
        ({ state }) => state === 'waiting' || state === 'sent',
      )
      if (open) expect(nextWake(house.household)).not.toBeNull()
    }
  })
})
