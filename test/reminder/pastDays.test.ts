// A household that plans from its own past days: it is told on how many of them the plan would have worked, is asked to look
// when the planner says (H17), and keeps the risk of the day's first plan.

import { describe, expect, it } from 'vitest'
import { type DaysEventPlan, MINUTE_MS, type PastDay } from '../../src/plan/index.ts'
import type { Household } from '../../src/reminder/index.ts'
import { House, at, empty } from './house.ts'

const TODAY = Date.parse('2027-01-14T00:00:00Z') / 86_400_000

/** So many days before the fourteenth: uneven without chance, heavier in the evening. */
const pastDays = (count: number): PastDay[] =>
  Array.from({ length: count }, (_, i) => ({
    day: TODAY - 1 - i,
    kwh: Array.from({ length: 48 }, (_half, half) => {
      const evening = half >= 32 && half < 44 ? 0.3 : 0
      return (
        0.15 + ((i * 31 + half * 17) % 23) / 90 + evening + (i % 9 === 4 && half > 33 ? 0.4 : 0)
      )
    }),
  }))

const withDays = (count: number, settings: Partial<Household['settings']> = {}): Household => ({
  ...empty,
  settings: { ...empty.settings, confidence: 0.9, maxReadings: 2, ...settings },
  meter: {
    takenAt: at('09:00', '2027-01-13'),
    from: '2026-09-01',
    until: '2027-01-13',
    wholeDays: count,
    missingDays: 0,
    idleShare: 0,
    days: pastDays(count),
  },
})

const announced = (household: Household, socPct = 60) => {
  const house = new House(household, at('13:00'))
  house.do({ type: 'reading', at: at('13:00'), socPct })
  house.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
  return house
}

const firstOf = ({ household }: House) => household.plan?.plan.events[0] as DaysEventPlan

const lastSaid = ({ household }: House) =>
  household.messages.findLast(({ from }) => from === 'holdbell')?.text ?? ''

describe('planned from past days', () => {
  it('says on how many of them it would have worked, and when to look', () => {
    const house = announced(withDays(139))
    const { confidence, nextReadingAt, holdBy } = firstOf(house)
    expect(confidence.days).toBe(139)
    expect(confidence.coveredOn).toBeGreaterThanOrEqual(126)
    expect(nextReadingAt).not.toBeNull()
    const told = house.household.messages.map(({ text }) => text).join(' ')
    expect(told).toContain(
      `With up to 2 looks at the display this would have worked on ${confidence.coveredOn} of your last 139 days.`,
    )
    expect(told).toMatch(/I will ask you to look at it at \d\d:\d\d; what it shows then usually/)
    const [reading] = house.household.reminders.filter(({ kind }) => kind === 'reading')
    // [R2] So near the hold it asks for that as well, and comes when the hold would have.
    expect(reading?.dueAt).toBe(Math.min(nextReadingAt ?? 0, (holdBy ?? 0) - 10 * MINUTE_MS))
  })

  it('asks twice at most, keeps the risk, and holds later when less was used than feared', () => {
    const house = announced(withDays(139))
    const first = firstOf(house)
    house.until(at(clockOf(first.nextReadingAt), '2027-01-14'))
    expect(lastSaid(house)).toMatch(/^Look at the battery\./)
    house.do({ type: 'reading', at: house.now, socPct: 55 })
    const second = firstOf(house)
    expect(second.confidence).toEqual(first.confidence)
    expect(second.holdBy ?? second.releaseAt).toBeGreaterThan(first.holdBy ?? 0)
    for (let looks = 1; firstOf(house).nextReadingAt !== null; looks++) {
      expect(looks).toBeLessThan(2)
      house.until(at(clockOf(firstOf(house).nextReadingAt), '2027-01-14'))
      house.do({ type: 'reading', at: house.now, socPct: 48 })
    }
    expect(firstOf(house).confidence).toEqual(first.confidence)
  })

  it('is calibrated anew after a look when something else is asked for', () => {
    const house = announced(withDays(139))
    house.until(at(clockOf(firstOf(house).nextReadingAt), '2027-01-14'))
    house.do({ type: 'reading', at: house.now, socPct: 55 })
    const kept = firstOf(house).confidence
    const from = house.household.settings
    house.do({ type: 'settings', from, settings: { ...from, confidence: 0.6 } })
    expect(firstOf(house).confidence).not.toEqual(kept)
  })

  it('with a low figure at a look is told to hold now', () => {
    const house = announced(withDays(139))
    house.until(at(clockOf(firstOf(house).nextReadingAt), '2027-01-14'))
    house.do({ type: 'reading', at: house.now, socPct: firstOf(house).holdAtPct - 1 })
    expect(firstOf(house).holdBy).toBe(house.now)
    expect(house.household.reminders.some(({ kind, sentAt }) => kind === 'hold' && sentAt)).toBe(
      true,
    )
  })

  it('calibrates once for a reading, not again for each page', () => {
    const house = announced(withDays(139))
    const { calibratedFor } = house.household.plan ?? {}
    const { confidence } = firstOf(house)
    house.until(at('13:40'))
    house.do({ type: 'wake' })
    expect(house.household.plan?.calibratedFor).toBe(calibratedFor)
    expect(firstOf(house).confidence).toEqual(confidence)
    house.do({ type: 'reading', at: house.now, socPct: 58 })
    expect(house.household.plan?.calibratedFor).not.toBe(calibratedFor)
  })

  it('says when there are too few of them, and keeps the margin', () => {
    const house = announced(withDays(8))
    expect(house.household.messages.map(({ text }) => text).join(' ')).toContain(
      'Your readings are of 8 days, and 9 are needed to promise what you asked for',
    )
    const none = announced({ ...withDays(139), meter: null })
    expect('confidence' in firstOf(none)).toBe(false)
    // The household's rule of thumb comes before all of it.
    const rule = announced(withDays(139, { rule: { pctPerHour: 15, extraHours: 1 } }))
    expect('confidence' in firstOf(rule)).toBe(false)
  })

  it('does not go by days on which something else fed the house, and says so', () => {
    const days = withDays(139)
    const fed = announced({ ...days, meter: days.meter && { ...days.meter, idleShare: 0.06 } })
    expect('confidence' in firstOf(fed)).toBe(false)
    expect(fed.household.messages.map(({ text }) => text).join(' ')).toContain(
      'a battery or panels fed the house then, and a meter does not see that',
    )
  })

  it('counts on no sun that the meter has counted already, and tells nothing of a sunny morning', () => {
    const panels = { solar: { kwhPerDay: 12 } }
    const plain = announced(withDays(139))
    const sunny = announced(withDays(139, panels))
    expect(firstOf(sunny).holdBy).toBe(firstOf(plain).holdBy)
    // A second reading: between the two the sun charged it, so nothing is concluded from what was lost.
    const told = (house: House) => {
      house.until(at('13:30'))
      house.do({ type: 'reading', at: house.now, socPct: 60 })
      return firstOf(house).holdBy ?? 0
    }
    expect(told(sunny)).toBeLessThan(told(plain))
  })
})

/** `15:07` in Halifax, rounded up to the minute: when a person would look. */
const clockOf = (instant: number | null): string =>
  new Intl.DateTimeFormat('en-GB', {
    timeZone: 'America/Halifax',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  }).format((instant ?? NaN) + 59_999)
