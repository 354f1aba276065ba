// What the chart and its table say. Times, days and shares arrive formatted (format.ts); nothing is
// glued together elsewhere.

export const chartWords = {
  title: (day: string) => `Expected charge, ${day}`,
  days: (first: string, last: string) => `${first} to ${last}`,

  // The description that a screen reader gives instead of the drawing.
  startsAt: (pct: string, time: string) => `The battery is expected at ${pct} at ${time}.`,
  endsAt: (pct: string, time: string) => `About ${pct} is left at ${time}.`,
  describe: {
    now: (time: string) => `It is ${time} now.`,
    hold: (time: string, pct: string) => `Hold by ${time}, or as soon as it shows ${pct}.`,
    holdNow: (pct: string) => `Hold now; ${pct} is to be kept.`,
    held: (time: string) => `Held since ${time}.`,
    release: (time: string) => `Let it run again at ${time}.`,
    released: (time: string) => `It runs again since ${time}.`,
    event: (range: string) => `The event is ${range}.`,
    eventEnd: (time: string) => `The event ends at ${time}.`,
    topUp: (range: string) => `Top-up from the grid ${range}.`,
    short: (time: string) => `The battery lasts until ${time}, not to the end of the event.`,
  },

  // The flags: a name, and the time written out.
  flag: {
    now: (time: string) => `now ${time}`,
    hold: (time: string) => `hold ${time}`,
    holdNow: (time: string) => `hold now, ${time}`,
    held: (time: string) => `held ${time}`,
    release: (time: string) => `release ${time}`,
    released: (time: string) => `released ${time}`,
    event: (range: string) => `event ${range}`,
    /** A later one, where the first needs the room. */
    laterEvent: (time: string) => `event ${time}`,
    eventEnd: (time: string) => `event ends ${time}`,
    topUp: (range: string) => `top-up ${range}`,
    short: (time: string) => `lasts until ${time}`,
  },

  expected: 'expected charge',
  reserve: (pct: string) => `reserve ${pct}`,
  reserveName: 'reserve',

  asTable: 'The same in figures',
  tableCaption: (day: string) => `Charge to keep and charge expected, ${day}`,
  column: { time: 'Time', atLeast: 'At least', expected: 'Expected' },
  row: {
    now: 'now',
    hold: 'hold by',
    holdNow: 'hold now',
    held: 'held',
    release: 'release',
    released: 'released',
    event: 'event begins',
    eventEnd: 'event ends',
    topUp: 'top-up begins',
    topUpEnd: 'top-up ends',
    short: 'lasts until here',
  },
}
