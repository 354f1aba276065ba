// The page of the sun as the API's change of settings would say it, and back.

import type { Settings, Solar } from '../reminder/index.ts'
import { placeOf } from '../solar/index.ts'
import { sunWords } from '../words/index.ts'
import { figure } from './figure.ts'
import { type Place, type Typed, typedIn } from './rowsForm.ts'

const words = sunWords.wrong

/** The eight directions, degrees from north, clockwise. */
const COMPASS_DEG = [0, 45, 90, 135, 180, 225, 270, 315]

/** Where what is wrong with the request is to be shown, in the form's order. */
const PLACES: readonly Place[] = [
  { pointer: '/solar', field: 'kind', message: words.kind },
  { pointer: '/solar/kwhPerDay', field: 'kwhPerDay', message: words.kwhPerDay },
  { pointer: '/solar/kwp', field: 'kwp', message: words.kwp },
  { pointer: '/solar/tiltDeg', field: 'tiltDeg', message: words.tiltDeg },
  { pointer: '/solar/azimuthDeg', field: 'facing', message: words.facing },
  { pointer: '/solar/latitude', field: 'latitude', message: words.latitude },
  { pointer: '/solar/longitude', field: 'longitude', message: words.longitude },
]

/** The change of settings that the form stands for. Figures without a choice, where there was no sun before, are asked about. */
export function sunChange(typed: Typed, { solar }: Pick<Settings, 'solar'>) {
  return { change: { solar: solarIn(typed, solar) }, places: PLACES }
}

function solarIn(typed: Typed, before: Solar | null): unknown {
  const kind = typedIn(typed, 'kind')
  if (kind === 'energy') return { kwhPerDay: numberIn(typed, 'kwhPerDay') }
  if (kind === 'array')
    return {
      kwp: numberIn(typed, 'kwp'),
      tiltDeg: numberIn(typed, 'tiltDeg'),
      azimuthDeg: numberIn(typed, typedIn(typed, 'azimuthDeg') === '' ? 'facing' : 'azimuthDeg'),
      latitude: numberIn(typed, 'latitude', 's'),
      longitude: numberIn(typed, 'longitude', 'w'),
    }
  const forgotten =
    before === null && ['kwhPerDay', 'kwp'].some((name) => typedIn(typed, name) !== '')
  return forgotten ? 'unsaid' : null
}

/** A figure with its unit or without: `4 kWp`, `35°`, `63.6 W` for -63.6. NaN where it is none, or empty. */
function numberIn(typed: Typed, field: string, negative = ''): number {
  const bare = typedIn(typed, field)
    .toLowerCase()
    .replace('−', '-')
    .replace(/\s*(?:kwp|°|degrees|deg)(?=\s*[nesw]?$)/, '')
  const [, size = bare, letter = ''] = /^(.*\d)\s*([nesw])$/.exec(bare) ?? []
  if (letter === '') return figure(size) ?? NaN
  const fits = negative === 's' ? 'ns' : negative === 'w' ? 'ew' : ''
  const value = /^[\d.,]+$/.test(size) && fits.includes(letter) ? (figure(size) ?? NaN) : NaN
  return letter === negative ? -value : value
}

// No more decimals than the form would take back.
const shown = (value: number, decimals = 6): string => String(Number(value.toFixed(decimals)))

/** The form as it stands for these settings; the place is suggested from the zone where it was not told. */
export function sunTyped({ solar, timeZone }: Pick<Settings, 'solar' | 'timeZone'>): Typed {
  const near = placeOf(timeZone)
  const suggested = {
    latitude: near === null ? '' : shown(near.latitude, 2),
    longitude: near === null ? '' : shown(near.longitude, 2),
  }
  if (solar === null) return { kind: 'none', ...suggested }
  if ('kwhPerDay' in solar)
    return { kind: 'energy', kwhPerDay: shown(solar.kwhPerDay), ...suggested }
  const { azimuthDeg } = solar
  // Due north is 0 in the list, and 360 to some.
  const compass = COMPASS_DEG.find((each) => each === azimuthDeg % 360)
  return {
    kind: 'array',
    kwp: shown(solar.kwp),
    tiltDeg: shown(solar.tiltDeg),
    facing: compass === undefined ? '' : String(compass),
    azimuthDeg: compass === undefined ? shown(azimuthDeg) : '',
    latitude: shown(solar.latitude),
    longitude: shown(solar.longitude),
  }
}
