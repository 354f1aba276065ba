// What each row of the ledger is, and how its figures are written: to be keyed into a pocket calculator.

// Intl's formatters are slow to build: one for each number of decimals.
const built = new Map<string, Intl.NumberFormat>()

const nth = (n: number): string => {
  const kind = new Intl.PluralRules('en-GB', { type: 'ordinal' }).select(n)
  return `${n}${{ zero: 'th', one: 'st', two: 'nd', few: 'rd', many: 'th', other: 'th' }[kind]}`
}

const earliest = (n: number) => (n === 1 ? 'earliest' : `${nth(n)} earliest`)

const most = (n: number) => (n === 1 ? 'most' : `${nth(n)} most`)

// A no-break space, so that a figure is never parted from its unit.
const percent = (figure: string) => `${figure}\u00a0%`
const kwh = (figure: string) => `${figure}\u00a0kWh`
const kw = (figure: string) => `${figure}\u00a0kW`

export const ledgerWords = {
  /** `0.842`: without a sign for thousands; at most six decimals, at least as many as said. */
  figure: (value: number, decimals: number): string => {
    const key = String(decimals)
    const format =
      built.get(key) ??
      new Intl.NumberFormat('en-GB', {
        minimumFractionDigits: decimals,
        maximumFractionDigits: 6,
        useGrouping: false,
      })
    built.set(key, format)
    return format.format(value === 0 ? 0 : value)
  },

  heading: 'Why this time',
  caption: (day: string, range: string) => `The sums behind ${day}, ${range}`,
  item: 'What',
  sum: 'Sum',
  value: 'Makes',
  footnote:
    'The time is a forecast; the percentage is a fact that you can see. Go by whichever comes first.',
  /** `0.91 kWh`: the figure is never parted from its unit. */
  made: (value: string, unit: string) => (unit === '' ? value : `${value}\u00a0${unit}`),
  /** A row on one line. */
  line: (what: string, sum: string, value: string) =>
    sum === '' ? `${what}: ${value}` : `${what}: ${sum} = ${value}`,
  /** Before the lines of an event. */
  of: (event: string) => `${event}:`,

  release: (lead: string) => `Let it run again ${lead} before the start`,
  runsFrom: (lead: string) => `It is to run at the latest ${lead} before the start`,
  releaseAtStart: 'Let it run again at the start',
  releaseInReach: 'Let it run again while somebody can reach it',

  limit: (limit: string) =>
    `Over the inverter’s ${kw(limit)} when the house draws most; from the grid, whatever is kept`,
  draw: (range: string, power: string, length: string, even: boolean) =>
    even
      ? `The house, ${range}, ${kw(power)} for ${length}`
      : `The house, ${range}, on average ${kw(power)} for ${length}`,
  drawOfDay: (
    range: string,
    power: string,
    length: string,
    rank: number,
    /** Made as heavy as these weeks, and as today so far. */
    madeLike: boolean,
  ) =>
    madeLike
      ? `The house, ${range}, on the past day with the ${most(rank)} once each is made as heavy as these weeks, on average ${kw(power)} for ${length}`
      : `The house, ${range}, on the past day with the ${most(rank)}, on average ${kw(power)} for ${length}`,
  loss: 'The standing loss in that time',
  need: (pct: string, loss: boolean, sun: boolean) => {
    if (sun)
      return loss
        ? `From the battery, of which ${percent(pct)} arrives, with the standing loss and what the sun gives`
        : `From the battery, of which ${percent(pct)} arrives, with what the sun gives`
    return loss
      ? `From the battery, of which ${percent(pct)} arrives, with the standing loss`
      : `From the battery, of which ${percent(pct)} arrives`
  },
  needGiven: 'The event takes from the battery',

  floor: (pct: string, capacity: string) =>
    `Kept for a power cut, ${percent(pct)} of ${kwh(capacity)}`,
  marginPct: (pct: string, capacity: string) => `Margin, ${percent(pct)} of ${kwh(capacity)}`,
  marginKwh: 'Margin',
  marginHours: (hours: string, power: string) =>
    `Margin, ${hours} h of the event’s mean ${kw(power)}`,
  rule: (pct: string, length: string, extra: string) =>
    `By the rule of thumb, ${percent(pct)} an hour for ${length} and ${extra} extra`,
  ruleKwh: {
    plain: (pct: string, capacity: string) => `Of the battery, ${percent(pct)} of ${kwh(capacity)}`,
    outage: (pct: string, capacity: string) =>
      `But not less than is kept for a power cut, ${percent(pct)} of ${kwh(capacity)}`,
    full: (pct: string, capacity: string) =>
      `But not more than it holds, ${percent(pct)} of ${kwh(capacity)}`,
  },
  later: (at: string) => `What the event at ${at} and any after it ask for`,
  betweenDays: 'What differs between the days',
  toHave: (at: string) => `To have at ${at}`,
  reserve: (at: string) => `Together: to have at ${at}`,
  asked: 'Together',
  full: 'But it holds no more than',
  ofDays: 'But not all on one day: to have',

  topUp: (range: string, power: string, even: boolean, pct: string) =>
    even
      ? `Charged ${range} at ${kw(power)}, of which ${percent(pct)} is stored`
      : `Charged ${range} at ${kw(power)} on average, of which ${percent(pct)} is stored`,
  keep: (at: string) => `To have at ${at}, counting what is charged and lost in between`,
  display: 'On the display, rounded up',
  displayOfDays: 'On the display, from the same days',

  shown: (at: string, pct: string, capacity: string) =>
    `Shown at ${at}, ${percent(pct)} of ${kwh(capacity)}`,
  afterEvent: (at: string) => `Expected at ${at}, after the event before`,
  chargedBy: (at: string) => `With what is charged by ${at}`,
  goneBy: (at: string) => `Less what is gone by ${at}`,

  spare: 'So much may go',
  drain: (power: string, even: boolean, pct: string, loss: string | null) => {
    const house = even ? `${kw(power)}` : `${kw(power)} on average`
    return loss === null
      ? `Going each hour: the house’s ${house}, through the inverter at ${percent(pct)}`
      : `Going each hour: the house’s ${house}, through the inverter at ${percent(pct)}, and ${kw(loss)} standing loss`
  },
  lasts: 'That lasts',
  hold: (day: string) => `Hold on ${day} by`,
  goes: (at: string, length: string) => `Gone by ${at}, after ${length}`,
  expectedAt: (at: string) => `Expected at ${at}`,
  atRelease: (at: string) => `Expected at ${at}, with what is charged, given and lost until then`,
  overHeld: 'Over the reserve while it is held',
  overServing: 'Over what is still to be kept',
  overNoHold: 'Over the reserve even without a hold',
  overEarly: 'Over the reserve at the hold',
  lacking: 'Lacking of the reserve',
  heldSince: 'Held since',
  holdNow: 'Nothing may go before the event; hold from',
  holdCheapest: (day: string) => `Hold where it costs least, on ${day} from`,
  holdEnds: 'Until',
  holdInReach: (day: string) => `Hold on ${day}, while somebody can reach it, by`,

  left: 'Left above what is kept for a power cut, when the event ends',
  leftOfDays: 'Left above what is kept for a power cut, on the mean of the days',
  missing: 'Missing',
  above: (at: string) => `For the event at ${at}, above what is kept for a power cut`,
  until: (day: string) => `So it lasts on ${day} until`,
  loadToLast: 'The house’s draw at which it would last to the end',

  rank: (days: number, pct: string) =>
    `${percent(pct)} of ${days} past days and today may want an earlier hold; rounded down, the place of the hold that counts`,
  tooFewDays: (days: number, pct: string, margin: boolean) =>
    margin
      ? `${percent(pct)} of ${days} past days and today may want an earlier hold; rounded down that is none, so the earliest counts, and the margin`
      : `${percent(pct)} of ${days} past days and today may want an earlier hold; rounded down that is none, so the earliest counts`,
  covered: (covered: number, days: number) =>
    `Played back, early enough on ${covered} of ${days} past days`,
  dayNeed: (n: number, power: string) =>
    `On the past day with the ${earliest(n)} hold, ${kw(power)} through the inverter`,
  dayKeep: 'To have at the release on that day',
  holdOfDays: (n: number, day: string) =>
    `Among the earliest holds of the past days, about the ${nth(n)}; hold on ${day} by`,
  holdNowOfDays: (n: number) =>
    `On the past day with the ${earliest(n)} hold nothing may go before the event; hold from`,
  noHoldOfDays: (n: number) =>
    `No hold; even the ${earliest(n)} of the past days lasts until it is let run again at`,
}
