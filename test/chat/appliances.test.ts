// What may run in an event, asked in a conversation. Powers are the table's (its source is in src/appliances/table.ts); the sums are done
// here by hand.

import { describe, expect, it, test } from 'vitest'
import { converse, roomOf, understand } from '../../src/chat/index.ts'
import type { Household } from '../../src/reminder/index.ts'
import { House, at, empty } from '../reminder/house.ts'

const context = {
  now: at('13:00'),
  timeZone: 'America/Halifax',
  dayFirst: true,
  language: 'en',
  events: [{ id: 'e1', start: at('17:30'), end: at('18:30') }],
} as const
const meaning = (text: string) => understand(text, context)

describe('a question after an appliance', () => {
  test.each([
    ['can I use the kettle', 'kettle'],
    ['Can i use the ketle?', 'kettle'],
    ['may we make a cup of tea', 'kettle'],
    ['is the oven ok during the event', 'oven'],
    ['is the oven ok at 18:00?', 'oven'],
    ['can I use the oven 17:30-18:30?', 'oven'],
    ['Is it OK to use the ovens tonight?', 'oven'],
    ['tumble dryer?', 'tumbleDryer'],
    ['Tumble drier', 'tumbleDryer'],
    ['what about the tumbler dryer', 'tumbleDryer'],
    ['dish washer ok?', 'dishwasher'],
    ['can I run the dihswasher at 6pm', 'dishwasher'],
    ['can we put a wash on tonight', 'washingMachine'],
    ['how about the washing machin', 'washingMachine'],
    ['what about the mircowave', 'microwave'],
    ['can I cook dinner', 'hob'],
    ['cooker?', 'hob'],
    ['is it ok to iron', 'iron'],
    ['am I allowed to vacume', 'vacuum'],
    ['can the kids watch tv', 'television'],
    ['can I use my laptop', 'computer'],
    ['should I switch off the immersion', 'immersionHeater'],
    ['may I have a shower', 'electricShower'],
    ['night storage heater?', 'storageHeaters'],
    ['can I put the heating on', 'electricHeater'],
    ["I'm cold, can I use the fan heater", 'electricHeater'],
    ['we are so cold', 'electricHeater'],
  ])('“%s” is after %s', (text, name) => {
    expect(meaning(text)).toEqual({ kind: 'appliance', name })
  })

  test.each([
    'what can I run',
    'What can we use during the event?',
    'what fits',
    'which appliances can I use',
    'can I use the hair dryer',
    'can we run the air fryer',
    'can I charge the car',
    'can I use the bread maker',
  ])('“%s” is after all of them', (text) => {
    expect(meaning(text)).toEqual({ kind: 'appliance', name: null })
  })

  // Small print and lists of what to switch off are the announcement's, and what is urgent comes first.
  test.each([
    ['Event tomorrow 17:30-18:30. Avoid your oven and tumble dryer.', 'announce'],
    ['Event tomorrow 17:30-18:30. Oven.', 'announce'],
    ['Avoid between 17:30 and 18:30 tomorrow:\n- tumble dryer\n- oven', 'announce'],
    ['Which appliances should you avoid? Tumble dryers. Event tomorrow 17:30-18:30', 'announce'],
    ['can we move it to 18:00-19:00', 'move'],
    ['the oven is smoking', 'danger'],
    ['can I use the oven, it smells of smoke', 'danger'],
    ['can I use my oxygen machine with the heating on', 'medical'],
    ['the power is out, can I use the kettle', 'outage'],
    ['it’s on', 'done'],
    ['58', 'reading'],
    ['battery is cold', 'unknown'],
    ['can I run the battery', 'unknown'],
    ['the wash is done', 'unknown'],
  ])('“%s” is something else', (text, kind) => {
    expect(meaning(text).kind).toBe(kind)
  })

  it('is short: a long text that begins like one is read for its event', () => {
    const long = `Is the oven on at times of high demand? ${'We thank you for taking part. '.repeat(6)}`
    expect(meaning(`${long}The event is tomorrow 17:30-18:30.`).kind).not.toBe('appliance')
  })
})

describe('the answer', () => {
  const home = (socPct: number | null, more: Partial<Household['settings']['battery']> = {}) => {
    const battery = { ...empty.settings.battery, ...more }
    const house = new House({ ...empty, settings: { ...empty.settings, battery } }, at('13:00'))
    if (socPct !== null) {
      house.do({ type: 'reading', at: at('13:00'), socPct })
      house.do({ type: 'announce', start: at('17:30'), end: at('18:30') })
    }
    return house
  }
  const say = (house: House, text: string) => {
    house.household = converse(house.household, text, house.now).household
    return house.last()
  }

  it('has that appliance only, its power, and what is above the reserve', () => {
    // 90 % of 9.6 kWh is 8.64; 5.5 h of 0.8 kW at 95 % take 4.632; the floor is 0.96, the margin 0.48: 2.568 are left.
    expect(roomOf(home(90).household, at('13:00')).aboveReserveKwh).toBeCloseTo(
      8.64 - (5.5 * 0.8) / 0.95 - 0.96 - 0.48,
      6,
    )
    expect(say(home(90), 'can I use the kettle')).toBe(
      'A kettle (2 kW) fits. With 0.8 kW running already, the inverter’s 3.6 kW leave 2.8 kW. One go takes 0.11 kWh of the 2.57 kWh that the plan has above the reserve.',
    )
  })

  it('says when the energy is better kept, and that what runs on by itself goes on', () => {
    expect(say(home(55), 'tumble dryer?')).toBe(
      'Better after the event: one go takes 2.63 kWh, and only 0.48 kWh is to spare, the margin included. A tumble dryer (2.5 kW) fits. With 0.8 kW running already, the inverter’s 3.6 kW leave 2.8 kW. What was started before the event still draws in it: have the wash and the dishes done by then, or start them afterwards.',
    )
    expect(say(home(55), 'kettle?')).toMatch(/One go takes 0.11 kWh, and 0.48 kWh is to spare/)
  })

  it('says what draws from the grid anyway', () => {
    expect(say(home(55), 'electric shower?')).toMatch(
      /^An electric shower \(9 kW\) draws 6.2 kW from the grid, whatever is kept\./,
    )
  })

  it('lets warmth come first, and food', () => {
    const first = /nobody should be cold or hungry for an event\./
    expect(say(home(55), 'my mother is here, can I put the heating on')).toMatch(
      /^Warmth for those who need it.* An electric heater \(2 kW\) fits\./,
    )
    expect(say(home(55), 'can I put the heating on')).not.toMatch(/Better after/)
    expect(say(home(55), 'can I use the oven')).toMatch(first)
    expect(say(home(90), 'can I use the kettle')).not.toMatch(first)
  })

  it('says where the limit is to be found where none is known', () => {
    const said = say(home(55, { maxDischargeKw: Infinity }), 'can I use the kettle')
    expect(said).toMatch(/^One go takes 0.11 kWh/)
    expect(said).toMatch(/limit is on its data sheet.*settings/)
    expect(said).not.toMatch(/Infinity|∞|kW\) fits/)
  })

  it('says without an event that nothing has to be spared', () => {
    expect(say(home(null), 'kettle?')).toMatch(
      /^No event is announced, so use what you like\..* A kettle, 3 min: 0.11 kWh, 1 % of the battery\.$/,
    )
  })

  it('about all has each once, and the cautions of warmth', () => {
    const said = say(home(90), 'what can I run')
    expect(said.match(/a microwave/gi)).toHaveLength(1)
    expect(said).toMatch(/nobody should be cold or hungry/)
  })
})
