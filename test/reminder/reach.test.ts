// Hands that are gone when they are wanted (R16, R17), lived through. Times in Halifax, 14 January 2027, a Thursday.

import { describe, expect, it } from 'vitest'
import { type Person, advice } from '../../src/reminder/index.ts'
import { House, at, clock, empty, settings, workedDay } from './house.ts'

const person = (name: string, fields: Partial<Person> = {}): Person => ({
  name,
  away: [],
  absences: [],
  quiet: { from: '22:30', until: '06:30' },
  ...fields,
})
const WORK_DAYS = [1, 2, 3, 4, 5]
const atWork = (from: string, until: string) => [{ days: WORK_DAYS, from, until }]
const houseOf = (people: readonly Person[], now = at('13:00')) =>
  new House({ ...empty, settings: { ...settings, people } }, now)
const told = (house: House) =>
  house.household.messages.map(({ text }) => text.replaceAll('\u00a0', ' '))

describe('[R16] a household at work from 8 to 17, event 17:30', () => {
  const people = [
    person('Rowan', { away: atWork('08:00', '17:00') }),
    person('Mika', { away: atWork('07:30', '17:45') }),
  ]
  const day = () => {
    const house = houseOf(people, at('20:00', '2027-01-13'))
    house.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
    return house
  }

  it('is asked for a reading before all are gone, and to hold before 8', () => {
    const house = day().until(at('07:20'))
    // 08:00 less half an hour; ten hours before the event would be 07:30.
    expect(house.times('reading')).toEqual([])
    house.until(at('07:31'))
    expect(house.times('reading')).toEqual(['07:30'])
    // 90 % falls to the reserve before five in the afternoon: 0.8 kW over nine and a half hours.
    house.do({ type: 'reading', at: house.now, socPct: 90 })
    expect(house.last()).toContain('hold before 08:00')
    expect(house.last()).toContain('Nobody can reach it from then until 17:00')
    house.until(at('07:59'))
    expect(house.times('hold')[0]).toBe('07:49')
    const hold = told(house).find((text) => text.startsWith('Before you go'))
    expect(hold).toBe(
      'Before you go: hold before 08:00, or as soon as it shows 25 %. Nobody can reach it from then until 17:00. Pause the discharge until 17:25. Rowan is the only one who can reach it then. At home: the app, discharge off.',
    )
    house.do({ type: 'acknowledge', key: house.reminder('hold').key, by: 'chat' })
    house.until(at('17:24'))
    expect(house.times('release')).toEqual(['17:23'])
    expect(house.last()).toContain('Rowan is the only one who can reach it then.')
  })

  it('is not asked again while all are gone', () => {
    const house = day().until(at('07:31'))
    house.do({ type: 'reading', at: house.now, socPct: 90 })
    house.until(at('17:20'))
    expect(house.times('hold').every((time) => time < '08:00' || time >= '17:00')).toBe(true)
    expect(house.times('hold').length).toBeGreaterThan(1)
  })
})

describe('[R16] nobody can let it run again', () => {
  const people = [
    person('Rowan', { away: atWork('08:00', '18:00') }),
    person('Mika', { away: atWork('07:30', '19:00') }),
  ]

  it('is said when the event is announced, with what would help', () => {
    const house = houseOf(people, at('20:00', '2027-01-13'))
    house.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
    const said = told(house).join('\n')
    expect(said).toContain(
      'Nobody can let it run again just before this event: it is to be at 17:25, and nobody can reach it from 08:00 to 18:00.',
    )
    expect(said).toContain('Rowan can reach it first, at 18:00: 35 min too late.')
    expect(said).toContain('schedule, set it before 08:00: paused until 17:25')
    expect(said).toContain('Or skip this event')
  })

  it('is said in full once, and not with every change of the plan', () => {
    const house = houseOf(people, at('07:00'))
    house.do({ type: 'reading', at: house.now, socPct: 90 })
    house.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
    house.do({ type: 'reading', at: house.now, socPct: 60 })
    expect(told(house).filter((text) => text.includes('Or skip this event'))).toHaveLength(1)
  })

  it('is said for a journey of a week, without a way back', () => {
    const away = [{ start: at('08:00', '2027-01-12'), end: at('08:00', '2027-01-19') }]
    const house = houseOf([person('Rowan', { absences: away, quiet: null })])
    house.do({ type: 'reading', at: house.now, socPct: 55 })
    house.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
    const said = told(house).join('\n')
    expect(said).toContain('nobody can reach it from 08:00 (Tue 12 Jan) on')
    expect(said).toContain('from where you are')
    expect(house.household.reminders.some(({ kind }) => kind === 'hold')).toBe(false)
  })
})

describe('[R16] hands gone from 15:00, latest safe hold 16:28', () => {
  const people = [person('Rowan', { away: atWork('15:00', '17:10') })]

  it('holds before 15:00, and says why', () => {
    const house = workedDay({ ...empty, settings: { ...settings, people } })
    const [plan] = house.household.plan!.plan.events
    expect(clock(plan!.holdBy!)).toBe('14:59')
    const [event] = house.household.events
    expect(advice(house.household, event!, house.now)).toEqual([
      'Nobody can reach it from 15:00 to 17:10: that is why the hold comes before that.',
    ])
    house.until(at('14:55'))
    expect(house.times('hold')).toEqual(['14:49', '14:53'])
  })

  it('is as without people when somebody else is in', () => {
    const two = [...people, person('Mika')]
    const house = workedDay({ ...empty, settings: { ...settings, people: two } })
    const [plan] = house.household.plan!.plan.events
    expect(clock(plan!.holdBy!)).toBe('16:28')
    house.until(at('16:20'))
    expect(house.last()).toContain('Mika is the only one who can reach it then.')
  })
})

describe('[R17] quiet hours', () => {
  it('keep what asks for nothing until they are over: an event that ends at night', () => {
    const house = houseOf([person('Rowan')], at('18:00'))
    house.do({ type: 'reading', at: house.now, socPct: 95 })
    house.do({ type: 'announce', start: at('21:00'), end: at('23:00') })
    house.until(at('07:00', '2027-01-15'))
    expect(house.times('outcome')).toEqual(['06:30'])
  })

  it('[R12] change nothing when a day is planned twice', () => {
    const house = workedDay({
      ...empty,
      settings: { ...settings, people: [person('Rowan', { away: atWork('15:00', '17:10') })] },
    })
    const before = house.household
    house.do({ type: 'wake' })
    expect(house.household).toBe(before)
  })
})
