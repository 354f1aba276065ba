// What the seeded seasons (test/simulator) have found, told short.

import { describe, expect, it } from 'vitest'
import { asInstant } from '../../src/plan/index.ts'
import type { Household, HouseholdChannel } from '../../src/reminder/index.ts'
import { House, at, clock, empty, settings, workedDay } from './house.ts'

const chat: HouseholdChannel = {
  id: 'c1',
  person: 'Ada',
  label: 'chat',
  target: { kind: 'telegram', chatId: '1', group: false },
  state: 'on',
  last: null,
}

const ack = (house: House, kind: string) =>
  house.do({ type: 'acknowledge', key: house.reminder(kind).key, by: 'Ada' })

describe('found by the simulator', () => {
  it('[R4] a hold done more than twelve hours before its event is followed by a release', () => {
    const nightCharge = { from: '00:00', until: '05:00' }
    const heavy: Household = { ...empty, settings: { ...settings, nightCharge, loadKw: 4 } }
    const house = new House(heavy, at('20:00', '2027-01-13'))
    house.do({ type: 'reading', at: house.now, socPct: 60 })
    house.do({ type: 'announce', start: at('20:00'), end: at('21:00') })
    house.until(at('07:00'))
    expect(house.reminder('hold').state).toBe('sent')
    ack(house, 'hold')
    expect(house.reminder('hold').acknowledgedAt).toBeLessThan(at('08:00'))
    house.until(at('20:00'))
    expect(house.times('restore')).toEqual([])
    expect(house.times('release')[0]).toBe('19:53')
  })

  it('[R25] what can wait comes after what cannot, when both are due at once', () => {
    const house = workedDay().until(at('16:20'))
    ack(house, 'hold')
    house.until(at('19:00'))
    const asked = house.household.messages.filter(({ reminderKey }) => reminderKey !== null)
    const outcome = asked.find(({ reminderKey }) => reminderKey?.startsWith('outcome-'))
    const before = asked.filter(({ at: when }) => when < (outcome?.at ?? 0)).at(-1)
    expect(before?.reminderKey).toMatch(/^restore-/)
    expect((outcome?.at ?? 0) - (before?.at ?? 0)).toBeGreaterThanOrEqual(600_000)
  })

  it('[R23] a message that a chat takes after the answer loses its buttons too', () => {
    const house = workedDay({ ...empty, channels: [chat] })
    house.transport = (id) =>
      id.includes('_hold-') && !id.includes('_over') ? 'silence' : 'accepted'
    house.until(at('16:19'))
    ack(house, 'hold')
    const [asked] = house.household.deliveries.filter(({ id }) => id.includes('_hold-'))
    expect(house.sends.some(({ id }) => id.includes('_hold-') && id.includes('_over'))).toBe(false)
    house.do({
      type: 'attempted',
      deliveryId: asked?.id ?? '',
      attempt: { kind: 'accepted', handle: '7' },
    })
    expect(house.sends.at(-1)?.id).toBe(`${asked?.id}_over1`)
  })

  it('[R12] says at once what follows from a hold that is taken back, and nothing by the next waking', () => {
    const house = workedDay().until(at('16:20'))
    house.do({ type: 'reading', at: at('16:20'), socPct: 60 })
    const after = house.household.reminders
    house.do({ type: 'wake' })
    expect(house.household.reminders).toEqual(after)
    // Somebody may have paused it without a word.
    house.until(asInstant(at('17:30')))
    expect(house.times('release')).toEqual([clock(at('17:23'))])
    expect(house.last()).toMatch(/^If you paused the battery/)
  })

  it('[R4] [R5] a battery held without any plan is asked to be let run, before the event and after it', () => {
    const house = new House(empty, at('12:00'))
    house.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
    house.do({ type: 'held', eventId: 'e1', by: 'Ada' })
    house.until(at('19:00'))
    expect(house.times('release')[0]).toBe('17:23')
    expect(house.times('restore')[0]).toBe('18:30')
  })

  it('[R4] one held after "if you paused it" was asked is asked anew', () => {
    const house = workedDay().until(at('17:24'))
    expect(house.times('release')).toEqual(['17:23'])
    house.do({
      type: 'move',
      eventId: 'e1',
      start: at('17:55'),
      end: at('18:55'),
    })
    house.until(at('17:35'))
    ack(house, 'hold')
    house.until(at('17:55'))
    expect(house.times('release').filter((time) => time > '17:40').length).toBeGreaterThan(0)
  })

  it('[R24] what can wait is not sent to a second person once one has it', () => {
    const other = { ...chat, id: 'c2', person: 'Ben', target: { ...chat.target, chatId: '2' } }
    const house = workedDay({ ...empty, channels: [chat, other] as readonly HouseholdChannel[] })
    house.transport = (id) => (id.endsWith('_reading-e1-1_0_c1') ? 'try-again' : 'accepted')
    house.until(at('16:10'))
    const readings = house.sends.filter(({ id }) => id.includes('_reading-'))
    expect(readings.map(({ id }) => id.split('_').at(-1))).toEqual(['c1', 'c2'])
  })

  it('[R8] an older answer is not taken back once it was asked anew', () => {
    const house = workedDay().until(at('16:20'))
    ack(house, 'hold')
    const first = house.reminder('hold').key
    house.do({ type: 'move', eventId: 'e1', start: at('18:30'), end: at('19:30') })
    house.until(at('18:24'))
    ack(house, 'release')
    house.do({ type: 'move', eventId: 'e1', start: at('19:30'), end: at('20:30') })
    house.until(at('19:00'))
    expect(house.reminder('hold').key).not.toBe(first)
    const { outcome } = house.do({ type: 'reopen', key: first })
    expect(outcome.ok).toBe(false)
  })

  it('[R8] [R21] a hold that is put off leaves the time to ask everybody', () => {
    const other = { ...chat, id: 'c2', person: 'Ben', target: { ...chat.target, chatId: '2' } }
    const house = workedDay({ ...empty, channels: [chat, other] as readonly HouseholdChannel[] })
    house.until(at('16:20'))
    house.do({ type: 'snooze', key: house.reminder('hold').key, minutes: 10 })
    house.until(at('16:28'))
    const toBen = house.sends.filter(({ id }) => id.includes('_hold-') && id.endsWith('_c2'))
    expect(toBen.map(({ at: when }) => clock(when))).toEqual(['16:25', '16:27'])
  })
})
