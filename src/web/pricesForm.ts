// The page of prices as the API's change of settings would say it, and back.

import type { Settings } from '../reminder/index.ts'
import { pricesWords } from '../words/index.ts'
import { figure } from './figure.ts'
import {
  type Place,
  type Typed,
  emptyRow,
  isEmptyRow,
  rowsOf,
  typedIn,
  weeklyIn,
  weeklyPlaces,
  weeklyTyped,
} from './rowsForm.ts'

const words = pricesWords.wrong

/** The change of settings that the form stands for, and where what is wrong with it is to be shown. */
export function pricesChange(typed: Typed) {
  const bands = rowsOf(typed, 'band').filter(
    (row) => !isEmptyRow(typed, row, ['from', 'until', 'price']),
  )
  const charging = rowsOf(typed, 'charge').filter((row) => !isEmptyRow(typed, row))
  const currency = typedIn(typed, 'currency').toUpperCase()
  const perKwh = figure(typed['perKwh'])
  const none = currency === '' && perKwh === undefined && bands.length === 0
  const at = '/unitRates'
  const places: readonly Place[] = [
    { pointer: `${at}/currency`, field: 'currency', message: words.currency },
    { pointer: `${at}/perKwh`, field: 'perKwh', message: words.perKwh },
    ...bands.flatMap((row, i) => [
      ...weeklyPlaces(`${at}/bands/${i}`, row, words),
      { pointer: `${at}/bands/${i}/perKwh`, field: `${row}-price`, message: words.price },
    ]),
    { pointer: at, field: 'currency', message: words.tooMany },
    ...charging.flatMap((row, i) => weeklyPlaces(`/topUp/windows/${i}`, row, words)),
    { pointer: '/topUp', field: 'charge-0-from', message: words.tooMany },
    { pointer: '/battery', field: 'maxChargeKw', message: words.maxChargeKw },
    { pointer: '/maxActions', field: 'maxActions', message: words.maxActions },
    { pointer: '/rewardPerKwh', field: 'rewardPerKwh', message: words.rewardPerKwh },
  ]
  const change = {
    unitRates: none
      ? null
      : {
          currency,
          perKwh: perKwh ?? NaN,
          bands: bands.map((row) => ({
            ...weeklyIn(typed, row),
            perKwh: figure(typed[`${row}-price`]) ?? NaN,
          })),
        },
    topUp: charging.length === 0 ? null : { windows: charging.map((row) => weeklyIn(typed, row)) },
    battery: { maxChargeKw: figure(typed['maxChargeKw']) ?? null },
    cheapest: typed['cheapest'] === 'yes',
    maxActions: Number(typedIn(typed, 'maxActions') || '2'),
    rewardPerKwh: figure(typed['rewardPerKwh']) ?? null,
  }
  return { change, places }
}

// No more decimals than the form would take back.
const shown = (value: number): string => String(Number(value.toFixed(6)))

/** The form as it stands for these settings, with a spare row in each list. */
export function pricesTyped(settings: Settings): Typed {
  const { unitRates, topUpWindows, battery, cheapest, maxActions, rewardPerKwh } = settings
  const bands = unitRates?.bands ?? []
  return {
    currency: unitRates?.currency ?? '',
    perKwh: unitRates === null ? '' : shown(unitRates.perKwh),
    ...Object.assign(
      {},
      ...bands.map((band, i) => ({
        ...weeklyTyped(`band-${i}`, band),
        [`band-${i}-price`]: shown(band.perKwh),
      })),
    ),
    ...emptyRow(`band-${bands.length}`),
    ...Object.assign({}, ...topUpWindows.map((each, i) => weeklyTyped(`charge-${i}`, each))),
    ...emptyRow(`charge-${topUpWindows.length}`),
    maxChargeKw: Number.isFinite(battery.maxChargeKw) ? shown(battery.maxChargeKw) : '',
    cheapest: cheapest ? 'yes' : '',
    maxActions: String(maxActions),
    rewardPerKwh: rewardPerKwh === null ? '' : shown(rewardPerKwh),
  }
}
