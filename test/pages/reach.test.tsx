// The plan page where hands are gone, and where it is to be charged by hand: the same days as in test/reminder.

import { describe, expect, test } from 'vitest'
import type { Settings } from '../../src/reminder/index.ts'
import { EVERY_DAY } from '../../src/schedule/index.ts'
import { PlanPage } from '../../src/web/pages/index.ts'
import { House, at, empty, settings, workedDay } from '../reminder/house.ts'

const page = ({ household, now }: House): string =>
  String(
    <PlanPage household={household} now={now} csrf="k" links={{ calendarUrl: null }} />,
  ).replaceAll('\u00a0', ' ')
const houseOf = (given: Partial<Settings>) => ({ ...empty, settings: { ...settings, ...given } })
const rowan = (from: string, until: string) => ({
  name: 'Rowan',
  away: [{ days: EVERY_DAY, from, until }],
  absences: [],
  quiet: null,
})

describe('hands that are gone', () => {
  test('say why the hold is so early', () => {
    const html = page(workedDay(houseOf({ people: [rowan('15:00', '17:10')] })))
    expect(html).toContain('Hold by <b>14:59</b>')
    expect(html).toContain(
      '<p class="notice">Nobody can reach it from 15:00 to 17:10: that is why the hold comes before that.</p>',
    )
  })

  test('that cannot let it run are said before there is a reading', () => {
    const house = new House(
      houseOf({ people: [rowan('08:00', '18:00')] }),
      at('20:00', '2027-01-13'),
    )
    house.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
    expect(page(house)).toMatch(/class="notice">Nobody can let it run again just before this event/)
  })
})

describe('a charge by hand', () => {
  const night = { days: EVERY_DAY, from: '23:00', until: '07:00' }
  const battery = { ...settings.battery, maxChargeKw: 3 }
  const evening = () => {
    const house = new House(houseOf({ battery, topUpWindows: [night] }), at('21:00'))
    house.do({ type: 'reading', at: house.now, socPct: 20 })
    house.do({ type: 'announce', start: at('17:30', '2027-01-15'), end: at('20:30', '2027-01-15') })
    return house.until(at('21:35'))
  }

  test('is the answer until it is set, with a button, and the caution about the cold', () => {
    const html = page(evening())
    expect(html).toContain('Charge it to <b>43 %</b> by <b>Fri 15 Jan, 07:00</b>.')
    expect(html).toContain('Then leave it paused, and let it run again at Fri 15 Jan, 17:25.')
    expect(html).toContain('Done: it is set')
    expect(html).toContain('class="notice">Do not charge it below 0 °C')
    expect(html).toContain('/reminders/overnight-e1-1/acknowledge')
  })

  test('gives way to the hold once it is set', () => {
    const house = evening()
    house.do({ type: 'acknowledge', key: house.reminder('overnight').key, by: 'page' })
    const html = page(house)
    expect(html).toContain('Hold by <b>Fri 15 Jan, 07:00</b>')
    expect(html).not.toContain('/reminders/overnight-e1-1/acknowledge')
  })
})
