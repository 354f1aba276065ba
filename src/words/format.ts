// Numbers, times and days as people read them, by the platform's Intl. The only place that formats.

import type { Instant } from '../plan/index.ts'

export type Format = {
  /** `16:28` */
  time(at: Instant): string
  /** `Thursday 14 January` */
  day(at: Instant): string
  /** `Thu 14 Jan` */
  shortDay(at: Instant): string
  /** `17:30–18:30`, with the second day named when it is another one. */
  range(start: Instant, end: Instant): string
  /** `2026-12-09`, the local calendar day: for comparing days and for messages that a machine reads back. */
  isoDay(at: Instant): string
  /** `14 January 2027` */
  date(at: Instant): string
  /** `25 %`: whole; rounded up where a person must not let it fall under. */
  pct(value: number): string
  pctUp(value: number): string
  /** `0.91 kWh` */
  kwh(value: number): string
  kw(value: number): string
  /** `2 h 40 min` */
  duration(hours: number): string
  /** `CA$0.34`; the currency by its ISO 4217 code. */
  money(value: number, currency: string): string
  /** A sum of money as `money` prints it, as a number. */
  rounded(value: number, currency: string): number
  /** `CA$0.185`: of one kWh, so with as many as four decimals. */
  price(value: number, currency: string): string
  /** `Rowan, Mika and Ada` */
  list(names: readonly string[]): string
}

// A no-break space, so that a figure is never parted from its unit.
const NBSP = '\u00a0'

// Intl puts a comma after the weekday in some locales; the day reads better without.
const plain = (text: string) => text.replace(',', '')

// Intl's formatters are slow to build, and each page and message wants the same ones: one set for each zone.
const built = new Map<string, Format>()

/** The formatters of one household. The zone must be a known IANA name. */
export function format(language: string, timeZone: string): Format {
  const key = `${language} ${timeZone}`
  const found = built.get(key) ?? build(language, timeZone)
  built.set(key, found)
  return found
}

function build(language: string, timeZone: string): Format {
  const locale = language === 'en' ? 'en-GB' : language
  const date = (options: Intl.DateTimeFormatOptions) =>
    new Intl.DateTimeFormat(locale, { timeZone, ...options })
  const clock = date({ hour: '2-digit', minute: '2-digit', hourCycle: 'h23' })
  const longDay = date({ weekday: 'long', day: 'numeric', month: 'long' })
  const short = date({ weekday: 'short', day: 'numeric', month: 'short' })
  const iso = new Intl.DateTimeFormat('en-CA', {
    timeZone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
  })
  const dated = date({ day: 'numeric', month: 'long', year: 'numeric' })
  const decimals = new Intl.NumberFormat(locale, {
    minimumFractionDigits: 2,
    maximumFractionDigits: 2,
  })
  const whole = new Intl.NumberFormat(locale, { maximumFractionDigits: 0 })
  const names = new Intl.ListFormat(locale, { type: 'conjunction' })
  const time = (at: Instant) => clock.format(at)
  const isoDay = (at: Instant) => iso.format(at)
  return {
    time,
    day: (at) => plain(longDay.format(at)),
    shortDay: (at) => plain(short.format(at)),
    range: (start, end) =>
      isoDay(start) === isoDay(end)
        ? `${time(start)}–${time(end)}`
        : `${time(start)}–${time(end)} (${plain(short.format(end))})`,
    isoDay,
    date: (at) => dated.format(at),
    pct: (value) => `${whole.format(value)}${NBSP}%`,
    pctUp: (value) => `${whole.format(Math.ceil(value - 1e-9))}${NBSP}%`,
    kwh: (value) => `${decimals.format(value)}${NBSP}kWh`,
    kw: (value) => `${decimals.format(value)}${NBSP}kW`,
    duration: (hours) => {
      const minutes = Math.round(hours * 60)
      const h = Math.floor(minutes / 60)
      const m = minutes % 60
      return h === 0 ? `${m} min` : m === 0 ? `${h} h` : `${h} h ${m} min`
    },
    money: (value, currency) =>
      new Intl.NumberFormat(locale, { style: 'currency', currency }).format(value),
    rounded: (value, currency) => {
      const { maximumFractionDigits: digits = 2 } = new Intl.NumberFormat(locale, {
        style: 'currency',
        currency,
      }).resolvedOptions()
      return Number(value.toFixed(digits))
    },
    price: (value, currency) =>
      new Intl.NumberFormat(locale, {
        style: 'currency',
        currency,
        maximumFractionDigits: 4,
      }).format(value),
    list: (all) => names.format(all),
  }
}
