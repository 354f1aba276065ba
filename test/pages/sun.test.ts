// The page of the sun: what is typed, what the API's schema makes of it, and what comes back.

import { describe, expect, it, test } from 'vitest'
import type { Settings, Solar } from '../../src/reminder/index.ts'
import { readChange } from '../../src/web/api/settings.ts'
import { errorsAt } from '../../src/web/rowsForm.ts'
import { sunChange, sunTyped } from '../../src/web/sunForm.ts'
import { sunTexts } from '../../src/reminder/index.ts'
import { sunWords as words } from '../../src/words/index.ts'
import { NOON, at, household, planPage, sunPage } from './given.tsx'

const tools = {
  checkWebhook: () => {
    throw new Error('there is no webhook here')
  },
  newWebhookSecret: () => '',
}

const settings = household.settings
const ARRAY = {
  kind: 'array',
  kwp: '4',
  tiltDeg: '35',
  facing: '225',
  azimuthDeg: '',
  latitude: '44.65',
  longitude: '-63.6',
}
const roof = { kwp: 4, tiltDeg: 35, azimuthDeg: 225, latitude: 44.65, longitude: -63.6 }

/** What the form stands for, or what is wrong with it, as field and sentence. */
function taken(typed: Record<string, string>, before: Solar | null = null) {
  const stored: Settings = { ...settings, solar: before }
  const { change, places } = sunChange(typed, stored)
  const changed = readChange(stored, change, tools)
  return changed.ok
    ? changed.value.solar
    : errorsAt(
        (changed.refusal.errors ?? []).map(({ pointer }) => pointer),
        places,
      )
}
const wrong = (typed: Record<string, string>, before: Solar | null = null) => {
  const errors = taken(typed, before)
  return Array.isArray(errors) ? errors.map(({ field }: { field: string }) => field) : errors
}

describe('the form', () => {
  it('takes none, the energy of a day, or an array', () => {
    expect(taken({ kind: 'none' })).toBeNull()
    expect(taken({})).toBeNull()
    expect(taken({ kind: 'energy', kwhPerDay: '1,5 kWh' })).toEqual({ kwhPerDay: 1.5 })
    expect(taken(ARRAY)).toEqual(roof)
  })

  it('takes figures with their units, and a side of the world instead of a minus', () => {
    const typed = { kwp: '4 kWp', tiltDeg: '35°', latitude: '33,9 S', longitude: '63.6° W' }
    expect(taken({ ...ARRAY, ...typed })).toEqual({ ...roof, latitude: -33.9, longitude: -63.6 })
    expect(taken({ ...ARRAY, latitude: '44.65 n', longitude: '151.2E' })).toEqual({
      ...roof,
      longitude: 151.2,
    })
    expect(taken({ ...ARRAY, longitude: '−63.6' })).toEqual(roof)
    for (const longitude of ['63.6 N', '-63.6 W', '63°36′W', '6°3 W', 'W', '63.6 x'])
      expect([longitude, wrong({ ...ARRAY, longitude })]).toEqual([longitude, ['longitude']])
    expect(wrong({ ...ARRAY, latitude: '44 w', kwp: '4 w' })).toEqual(['kwp', 'latitude'])
  })

  it('lets degrees count before the word', () => {
    expect(taken({ ...ARRAY, azimuthDeg: '200' })).toEqual({ ...roof, azimuthDeg: 200 })
    expect(taken({ ...ARRAY, facing: '', azimuthDeg: '0' })).toEqual({ ...roof, azimuthDeg: 0 })
  })

  test.each([
    [{ kind: 'energy' }, ['kwhPerDay']],
    [{ kind: 'energy', kwhPerDay: '-1' }, ['kwhPerDay']],
    [{ kind: 'energy', kwhPerDay: 'lots' }, ['kwhPerDay']],
    [{ kind: 'energy', kwhPerDay: '1001' }, ['kwhPerDay']],
    [{ kind: 'array' }, ['kwp', 'tiltDeg', 'facing', 'latitude', 'longitude']],
    [{ ...ARRAY, kwp: '0' }, ['kwp']],
    [{ ...ARRAY, tiltDeg: '91' }, ['tiltDeg']],
    [{ ...ARRAY, facing: '' }, ['facing']],
    [{ ...ARRAY, azimuthDeg: 'south' }, ['facing']],
    [{ ...ARRAY, azimuthDeg: '361' }, ['facing']],
    [{ ...ARRAY, latitude: '90.1' }, ['latitude']],
    [{ ...ARRAY, longitude: '-181' }, ['longitude']],
  ])('%j is asked about where it is wrong', (typed, fields) => {
    expect(wrong(typed as unknown as Record<string, string>)).toEqual(fields)
  })

  it('asks which counts where figures came without a choice, and forgets them where there was one', () => {
    expect(wrong({ kind: 'none', kwhPerDay: '3' })).toEqual(['kind'])
    expect(wrong({ ...ARRAY, kind: 'none' })).toEqual(['kind'])
    expect(taken({ ...ARRAY, kind: 'none' }, roof)).toBeNull()
  })

  it('comes back as it stands in the settings', () => {
    for (const solar of [null, { kwhPerDay: 2.5 }, roof, { ...roof, azimuthDeg: 200 }])
      expect(taken({ ...sunTyped({ ...settings, solar }) }, solar)).toEqual(solar)
    expect(sunTyped({ ...settings, solar: { ...roof, azimuthDeg: 360 } })['facing']).toBe('0')
  })

  it('suggests the zone’s place, as near as one can tell (tz database, zone.tab: +4439-06336)', () => {
    expect(sunTyped({ ...settings, solar: null })).toEqual({
      kind: 'none',
      latitude: '44.65',
      longitude: '-63.6',
    })
    expect(sunTyped({ solar: null, timeZone: 'UTC' })['latitude']).toBe('')
  })
})

describe('what is expected', () => {
  const said = (solar: Solar | null, more: Partial<typeof household> = {}, zone?: string) =>
    sunTexts(
      {
        ...household,
        ...more,
        settings: { ...settings, solar, ...(zone === undefined ? {} : { timeZone: zone }) },
      },
      NOON,
    ).map((each) => each.replaceAll('\u00a0', ' '))

  it('is said of today and of the event after sunset (16:59 in Halifax that day, an almanac’s figure, from memory)', () => {
    const [today = '', event] = said({ kwhPerDay: 1.2 })
    expect(today).toMatch(/^Today: about 1\.2 kWh, the last of it at 16:5\d\.$|17:0[01]\.$/)
    expect(event).toBe('In the event, 17:30–18:30: nothing.')
    expect(said({ kwhPerDay: 1.2 })).toHaveLength(2)
  })

  it('of the next event’s day, and of what falls into an event by day', () => {
    const [event] = household.events
    const start = at('2027-01-16T11:30:00-04:00')
    const end = at('2027-01-16T13:30:00-04:00')
    const events = event === undefined ? [] : [{ ...event, start, end }]
    const lines = said({ kwhPerDay: 3 }, { events })
    expect(lines[1]).toMatch(
      /^On Saturday 16 January: about 3 kWh, the last of it at 1[67]:\d\d\.$/,
    )
    // The two hours about noon of a nine-hour day have more than two ninths of it.
    const kwh = Number(/about ([\d.]+) kWh\.$/.exec(lines[2] ?? '')?.[1])
    expect(kwh).toBeGreaterThan((3 * 2) / 9)
    expect(kwh).toBeLessThan(1.5)
  })

  it('with a dull sky beside a clear one for an array', () => {
    const lines = said(roof)
    const [dull, , clear] = lines.map((each) => Number(/about ([\d.]+) kWh/.exec(each)?.[1]))
    expect(lines[2]).toMatch(/^That is a dull sky\./)
    expect(clear).toBeGreaterThan(4 * (dull ?? Infinity))
  })

  it('in the polar night, without a place, and without sun', () => {
    expect(said({ kwhPerDay: 3 }, { events: [] }, 'Arctic/Longyearbyen')).toEqual([
      'Today: nothing.',
    ])
    expect(said({ kwhPerDay: 3 }, {}, 'UTC')).toEqual([words.noPlace])
    expect(said(null)).toEqual([])
  })
})

describe('the page', () => {
  it('comes back as typed, with what to do beside the field', () => {
    const html = sunPage({
      typed: { ...ARRAY, kwp: 'four' },
      errors: [{ field: 'kwp', message: words.wrong.kwp }],
    })
    expect(html).toMatch(/name="kwp"[^>]*value="four"/)
    expect(html).toContain(`<a href="#kwp">${words.wrong.kwp}</a>`)
    expect(html).toMatch(/id="kind-array"[^>]*checked/)
    expect(html).toMatch(/<option value="225" selected[^>]*>south-west</)
    expect(html).not.toContain('<script')
  })

  it('says that the place is about here only where it was not told', () => {
    expect(sunPage()).toContain('About here')
    expect(sunPage({ about: false })).not.toContain('About here')
  })

  it('is linked from the household’s', () => {
    expect(planPage()).toContain('href="/sun"')
  })
})

describe('what fits in the event', () => {
  it('is on the household’s page, closed, with the cautions and the source', () => {
    const html = planPage().replaceAll('\u00a0', ' ')
    const section = /<details id="appliances">.*?<section aria-labelledby="cautions">/s.exec(html)
    const text = section?.[0] ?? ''
    expect(text).toMatch(/the inverter’s 3.6 kW leave 2.8 kW/)
    expect(text).toMatch(/nobody should be cold or hungry/)
    expect(text).toMatch(/What was started before the event/)
    expect(text).toMatch(/Energy and Buildings 42/)
    expect(text).toMatch(/A tumble dryer, 1 h: 2.63 kWh, 27 % of the battery/)
    expect(text).not.toMatch(/data sheet/)
  })

  it('says where to find the limit where none is known', () => {
    const battery = { ...settings.battery, maxDischargeKw: Infinity }
    const html = planPage({ settings: { ...settings, battery } })
    expect(html).toMatch(/limit is on its data sheet.*?<a href="\/settings">/s)
  })
})
