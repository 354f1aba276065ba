// Green Button files of our own in the published schema (NAESB REQ.21, espi.xsd 4.0.20231213), with invented values.
// Namespaces, links, units and enumerations as that schema gives them.

import { describe, expect, test } from 'vitest'
import { daysOf, readMeter, sayRefusal } from '../../src/meter/index.ts'
import type { Asked, Series } from '../../src/meter/index.ts'
import { MINUTE, seriesFrom, understood, wall } from './build.ts'

const ZONE = 'America/New_York'

type Meter = {
  series: Series
  type?: Record<string, number>
  title?: string
  service?: number
  /** Nothing about the time of each reading. */
  untimed?: boolean
  extra?: (i: number) => string
}

/** One feed; `p` is the prefix of the ESPI names, empty for the default namespace. */
function feed(meters: readonly Meter[], p = ''): string {
  const n = p === '' ? '' : `${p}:`
  const ns = p === '' ? ' xmlns="http://naesb.org/espi"' : ''
  const root = p === '' ? '' : ` xmlns:${p}="http://naesb.org/espi"`
  const entry = (links: readonly string[], title: string, content: string) =>
    `<entry><id>urn:uuid:0</id>${links.join('')}<title>${title}</title><content>${content}</content></entry>`
  const link = (rel: string, href: string) => `<link rel="${rel}" href="${href}"/>`
  const element = (name: string, inner: string) => `<${n}${name}${ns}>${inner}</${n}${name}>`
  const plain = (name: string, inner: string | number) => `<${n}${name}>${inner}</${n}${name}>`
  const entries = meters.flatMap(({ series, type, title, service, untimed, extra }, k) => {
    const point = `/espi/UsagePoint/${k}`
    const meter = `${point}/MeterReading/1`
    const seconds = series.minutes * 60
    const first = (series.intervals[0]?.start ?? 0) / 1000
    const fields = {
      flowDirection: 1,
      intervalLength: seconds,
      powerOfTenMultiplier: 0,
      uom: 72,
      ...type,
    }
    const readings = series.intervals.map(({ start, wh }, i) =>
      plain(
        'IntervalReading',
        `${extra?.(i) ?? ''}${untimed === true ? '' : plain('timePeriod', plain('duration', seconds) + plain('start', start / 1000))}${plain('value', wh)}`,
      ),
    )
    const interval = plain(
      'interval',
      plain('duration', seconds * series.intervals.length) + plain('start', first),
    )
    return [
      entry(
        [link('self', point), link('related', `${point}/MeterReading`)],
        title ?? 'Meter',
        element('UsagePoint', plain('ServiceCategory', plain('kind', service ?? 0))),
      ),
      entry(
        [
          link('self', meter),
          link('up', `${point}/MeterReading`),
          link('related', `${meter}/IntervalBlock`),
          link('related', `/espi/ReadingType/${k}`),
        ],
        'Readings',
        element('MeterReading', ''),
      ),
      entry(
        [link('self', `/espi/ReadingType/${k}`)],
        '',
        element(
          'ReadingType',
          Object.entries(fields)
            .map(([name, value]) => plain(name, value))
            .join(''),
        ),
      ),
      entry(
        [link('self', `${meter}/IntervalBlock/1`), link('up', `${meter}/IntervalBlock`)],
        '',
        element('IntervalBlock', interval + readings.join('\n')),
      ),
    ]
  })
  return `<?xml version="1.0" encoding="UTF-8"?>\n<feed xmlns="http://www.w3.org/2005/Atom"${root}>${entries.join('\n')}</feed>`
}

const read = (text: string, asked?: Partial<Asked>) => readMeter(text, { timeZone: ZONE, ...asked })

const refusal = (text: string) => {
  const reading = read(text)
  if (reading.kind !== 'refused') throw new Error(JSON.stringify(reading).slice(0, 300))
  expect(sayRefusal(reading.refusal)).toMatch(/\.$/)
  return reading.refusal
}

// 14 days of quarter-hours from local midnight over 14 March 2027, the day of 23 hours in New York.
const quarters = seriesFrom('2027-03-04T05:00:00Z', 14 * 96 - 4, 15)

describe('reads', () => {
  test.each(['', 'espi', 'ns0'])('names with the prefix "%s"', (prefix) => {
    const result = understood(read(feed([{ series: quarters }], prefix)))
    expect(result.series).toEqual(quarters)
    expect(result.understood).toMatchObject({
      form: 'green-button',
      unit: 'Wh',
      minutes: 15,
      clock: 'offset',
      flow: 'import',
    })
  })

  test('readings without a time of their own follow from the start of the block', () => {
    expect(understood(read(feed([{ series: quarters, untimed: true }]))).series).toEqual(quarters)
  })

  test.each([
    [3, 72, 1000],
    [-3, 72, 0.001],
    [0, 38, 0.25],
    [3, 38, 250],
  ])(
    'powerOfTenMultiplier %i, uom %i: %d Wh for each quarter-hour of one',
    (powerOfTenMultiplier, uom, factor) => {
      // Values small enough for kilowatts, in thousands for milli.
      const scale = powerOfTenMultiplier < 0 ? 100 : 1
      const series = seriesFrom('2027-03-04T05:00:00Z', 96, 15, (i) => (1 + (i % 5)) * scale)
      const result = understood(read(feed([{ series, type: { powerOfTenMultiplier, uom } }])))
      expect(result.series.intervals.map(({ wh }) => wh)).toEqual(
        series.intervals.map(({ wh }) => Math.round(wh * factor * 1000) / 1000),
      )
    },
  )

  test('the local day of 23 hours and the local evening, where a fixed offset is an hour out', () => {
    const { series } = understood(read(feed([{ series: quarters }])))
    const local = (offset: number | null) => {
      const days = new Map<string, { wh: number; evening: number; count: number }>()
      for (const { start, wh } of quarters.intervals) {
        const shown = wall(start + (offset ?? 0) * 60 * MINUTE, offset === null ? ZONE : 'UTC')
        const key = `${shown.y}-${shown.mo}-${shown.d}`
        const day = days.get(key) ?? { wh: 0, evening: 0, count: 0 }
        const isEvening = Number(shown.h) >= 16 && Number(shown.h) < 19
        days.set(key, {
          wh: day.wh + wh,
          evening: day.evening + (isEvening ? wh : 0),
          count: day.count + 1,
        })
      }
      return days
    }
    const expected = local(null)
    const stuck = local(-5)
    expect(expected.get('2027-03-14')?.count).toBe(92)
    const days = daysOf(series, ZONE)
    expect(days.map(({ date }) => date)).toEqual([...expected.keys()])
    for (const { date, kwh } of days) {
      const evening = kwh.slice(32, 38).reduce((sum, each) => sum + each, 0)
      expect(evening * 1000).toBeCloseTo(expected.get(date)?.evening ?? NaN, 3)
      if (date >= '2027-03-14')
        expect(evening * 1000).not.toBeCloseTo(stuck.get(date)?.evening ?? NaN, 3)
      if (date !== '2027-03-14')
        expect(kwh.reduce((sum, each) => sum + each, 0) * 1000).toBeCloseTo(
          expected.get(date)?.wh ?? NaN,
          3,
        )
    }
  })

  test('readings that were estimated or edited are counted, forecasts left out', () => {
    const quality = (code: number) => `<ReadingQuality><quality>${code}</quality></ReadingQuality>`
    const codes = [8, 7, 17, 12, 9]
    const text = feed([
      { series: quarters, extra: (i) => (codes[i] === undefined ? '' : quality(codes[i])) },
    ])
    const result = understood(read(text))
    expect(result.understood.notMeasured).toBe(3)
    expect(result.skippedRows).toMatchObject({ count: 1, first: [{ line: 4, reason: 'forecast' }] })
    expect(result.gaps.count).toBe(1)
  })

  test('the energy taken, where the energy given stands beside it', () => {
    const given = seriesFrom('2027-03-04T05:00:00Z', 96, 15, (i) => i)
    const text = feed([
      { series: given, type: { flowDirection: 19 }, title: 'given' },
      { series: quarters, title: 'taken' },
    ])
    expect(understood(read(text)).series).toEqual(quarters)
  })

  test('the electricity, where gas stands beside it', () => {
    const text = feed([
      { series: quarters, service: 1, type: { uom: 169 } },
      { series: quarters, title: 'power' },
    ])
    expect(understood(read(text)).series).toEqual(quarters)
  })
})

describe('asks', () => {
  test('which of two usage points', () => {
    const other = seriesFrom('2027-03-04T05:00:00Z', 96, 15, (i) => i)
    const text = feed([
      { series: other, title: 'Garage' },
      { series: quarters, title: 'House' },
    ])
    const reading = read(text)
    if (reading.kind !== 'question' || reading.question.about !== 'series')
      throw new Error(JSON.stringify(reading).slice(0, 300))
    expect(reading.question.names).toEqual(['Garage, Readings', 'House, Readings'])
    const [garage, house] = reading.question.choices
    expect(understood(read(text, { answers: garage ?? {} })).series).toEqual(other)
    expect(understood(read(text, { answers: house ?? {} })).series).toEqual(quarters)
  })

  test('for the unit, where the type gives none', () => {
    const text = feed([{ series: quarters, type: { uom: 0 } }])
    expect(read(text)).toMatchObject({
      kind: 'question',
      question: { about: 'unit', choices: [{ unit: 'Wh' }, { unit: 'W' }] },
    })
    expect(understood(read(text, { answers: { unit: 'Wh' } })).series).toEqual(quarters)
  })
})

describe('refuses', () => {
  test.each([
    ['gas by its service', { series: quarters, service: 1 }, 'gas'],
    ['natural gas by its commodity', { series: quarters, type: { commodity: 7 } }, 'gas'],
    ['cubic metres', { series: quarters, type: { uom: 42 } }, 'gas'],
    ['therms', { series: quarters, type: { uom: 169 } }, 'gas'],
    ['water', { series: quarters, service: 2 }, 'not_electricity'],
    ['reactive energy', { series: quarters, type: { uom: 73 } }, 'not_electricity'],
    ['a register', { series: quarters, type: { accumulationBehaviour: 3 } }, 'register_only'],
    ['days', { series: seriesFrom('2027-03-04T05:00:00Z', 30, 1440) }, 'interval_length'],
    ['a single reading', { series: seriesFrom('2027-03-04T05:00:00Z', 1, 15) }, 'too_few_rows'],
    [
      'a multiplier out of range',
      { series: quarters, type: { powerOfTenMultiplier: 300 } },
      'damaged',
    ],
  ] as const)('%s', (_, meter, reason) => {
    expect(refusal(feed([meter])).reason).toBe(reason)
  })

  const whole = feed([{ series: seriesFrom('2027-03-04T05:00:00Z', 96, 15) }])

  test.each([
    ['a feed without readings', whole.replaceAll('IntervalReading', 'Other'), 'no_energy'],
    ['a feed cut off', whole.slice(0, whole.length / 2), 'damaged'],
    ['an element closed twice', whole.replace('</feed>', '</feed></feed>'), 'damaged'],
    [
      'a document type',
      whole.replace('<feed', '<!DOCTYPE feed [<!ENTITY a "aaaa">]><feed'),
      'damaged',
    ],
    ['an entity of its own', whole.replace('<title>Meter', '<title>&lol;'), 'damaged'],
    ['another vocabulary', '<a xmlns="urn:x"><b/></a>', 'other_xml'],
    ['depth', `<feed xmlns="http://www.w3.org/2005/Atom">${'<a>'.repeat(200_000)}`, 'damaged'],
  ])('%s', (_, text, reason) => {
    expect(refusal(text).reason).toBe(reason)
  })
})
