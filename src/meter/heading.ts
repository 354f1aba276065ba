// What the name of a column says: which end of the interval, which way the energy flows, in which unit. English
// first, and the words of a few other languages (common practice, no source).

import type { Unit, WallClock } from './types.ts'

/** Small letters, no accents, words apart: `startTime`, `start_time` and `Start Time` are the same. */
export const folded = (name: string): string =>
  name
    .slice(0, 120)
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .normalize('NFD')
    .replace(/[\u0300-\u036f]/g, '')
    .toLowerCase()
    .replace(/[^a-z0-9£$€%]+/g, ' ')
    .trim()

const says = (pattern: RegExp) => (name: string) => pattern.test(folded(name))

export const saysStart = says(
  /\b(start|starts|starting|begin|begins|beginning|from|von|ab|debut|desde|inicio|inizio|van)\b/,
)
export const saysEnd = says(/\b(end|ends|ending|until|to|bis|fin|hasta|fine|tot)\b/)
export const saysImport = says(
  /\b(import|imported|imports|consumption|consumed|usage|use|used|delivered|demand|bezug|verbrauch|netzbezug|consommation|soutirage|consumo|verbruik|afname|levering|withdrawal)\b/,
)
export const saysExport = says(
  /\b(export|exported|exports|generation|generated|feed in|feedin|production|produced|solar|pv|returned|received|injection|einspeisung|netzeinspeisung|teruglevering|produccion|surplus)\b/,
)
export const saysNet = says(/\bnet\b/)
export const saysPeriod = says(
  /\b(period|interval|hour|hours|half hour|hh|slot|settlement|sp|stunde|heure|hora|uur|he)\b/,
)
export const saysGas = says(/\b(gas|naturalgas|natural gas|m3|ft3|ccf|therm|therms)\b/)
export const saysRegister = says(
  /\b(register|meter reading|meter read|cumulative|zahlerstand|meterstand|index|lifetime)\b/,
)

/** Columns of figures that are never the energy. */
export const saysOther = says(
  /\b(cost|costs|price|charge|charges|amount|rate|tariff|temp|temperature|co2|carbon|emission|emissions|quality|flag|status|id|mpan|mprn|nmi|esiid|account|serial|k?varh?|k?vah?|reactive|apparent|power factor|voltage|volts|amps|humidity|weather|gbp|usd|eur|cad|aud|nzd)\b|[£$€]/,
)

/** Columns of figures that hardly are, if there is another. */
export const saysHardly = says(
  /\b(meter|number|no|row|day|month|year|week|weekday|total|sum|duration|minutes|max|min|mean|average|estimated)\b/,
)

/** The unit that a name or a cell gives; `null` where it gives none. */
export function unitIn(name: string): Unit | null {
  if (/k\s?w[\s.·*-]?h/i.test(name)) return 'kWh'
  if (/(?:^|[^a-z])wh(?:[^a-z]|$)|watt[ -]?hour/i.test(name) || /[a-z]Wh$/.test(name)) return 'Wh'
  if (/(?:^|[^a-z])kw(?:[^a-z]|$)|kilowatts?\b|[a-z]KW$/i.test(name)) return 'kW'
  if (/(?:^|[^A-Za-z])W(?:[^A-Za-z]|$)|\bwatts?\b/.test(name)) return 'W'
  return null
}

/** The clock that the name of a column of times gives. */
export function clockIn(name: string): WallClock | null {
  const text = folded(name)
  if (/\b(utc|gmt|zulu)\b/.test(text)) return 'utc'
  if (/\b(standard time|standard|winter time)\b/.test(text)) return 'standard'
  return /\b(local|lokal|locale)\b/.test(text) ? 'local' : null
}
