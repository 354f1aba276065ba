// The page of the household's meter data, and what the API says around a meter's file. Days come as `14 January 2027`.

const whole = new Intl.NumberFormat('en-GB')

const days = (n: number) => (n === 1 ? 'one day' : `${whole.format(n)} days`)
const halfHours = (n: number) => (n === 1 ? 'one half-hour' : `${whole.format(n)} half-hours`)

export const meterPageWords = {
  title: 'Your meter readings',
  /** On the household's page. */
  link: 'Meter readings',
  back: 'Back to the plan',
  why: 'With your own half-hourly readings the plan knows your evenings: what your home draws at each hour, and how much that differs from day to day.',

  kept: {
    heading: 'What is kept',
    none: 'No readings yet. Until there are some, the plan counts with the evening use of your settings.',
    days: (n: number, from: string, until: string) =>
      n === 1 ? `One whole day, ${from}.` : `${whole.format(n)} whole days, ${from} to ${until}.`,
    noWholeDay: (from: string, until: string) =>
      from === until
        ? `Part of a day, ${from}. The plan needs whole days: add a file of more.`
        : `Parts of days from ${from} to ${until}. The plan needs whole days: add a file of more.`,
    missing: (n: number) => `Between them ${days(n)} ${n === 1 ? 'is' : 'are'} missing.`,
    old: (n: number) =>
      `The newest of these days is ${days(n)} old, and a home changes with the season: add a newer file, so that they can stand for today.`,
    idle: (pct: string) =>
      `In ${pct} of the newest half-hours next to nothing came from the grid. A battery or panels fed the house then, and the meter did not see what it used: the plan does not go by these days.`,
    file: 'All of them as a file (CSV)',
    taken: (day: string, time: string) => `The last file came on ${day} at ${time}.`,
  },

  certainty: {
    heading: 'How sure shall a plan be?',
    sure: 'The hold is to be early enough on',
    sureHint: 'The surer, the longer the battery is held before an event.',
    days: (share: number) => {
      const parts: Record<string, string> = {
        '0.8': '8 days of 10',
        '0.9': '9 days of 10',
        '0.95': '19 days of 20',
        '0.99': '99 days of 100: needs as many days of readings',
      }
      return parts[String(share)] ?? `${Number((100 * share).toFixed(1))} % of days`
    },
    looks: 'I may ask you to look at the battery before an event',
    looksHint:
      'Each look tells how much today has used. With two the battery is held about half as long as without.',
    times: (count: number) =>
      count === 0 ? 'never' : count === 1 ? 'once' : count === 2 ? 'twice' : `up to ${count} times`,
    save: 'Keep this',
    saved: 'Kept. The plan goes by it from now on.',
  },

  add: {
    heading: 'Add a file',
    how: [
      'Sign in where your electricity supplier, or whoever reads your meter, shows your use.',
      'Look for “download my data”, “export” or “Green Button”, and choose the longest time and the shortest intervals: half-hours, quarter-hours or hours.',
      'Save it as CSV or Green Button XML, and choose that file here.',
    ],
    house:
      'What counts is what the house uses. A supplier’s meter sees only what comes from the grid: if your battery or panels were there already, take the house’s use from the battery’s own app instead, or days from before.',
    later:
      'A later file adds to the earlier ones. Where both hold the same time, the later file counts.',
    label: 'File with the readings',
    hint: 'CSV or Green Button XML, at most 5 MiB. It is read here and goes nowhere else.',
    send: 'Read this file',
    none: 'Choose a file first',
  },

  question: {
    heading: 'One question about your file',
    nothingYet: 'Nothing of it is kept yet. Choose the answer; the file need not be sent again.',
    aside: 'I do not know: leave this file out',
    closed: 'That question is not open any more. Choose the file again',
  },

  told: {
    heading: 'What the last file held',
    justTaken: 'The file was read and kept.',
    fresh: (newDays: number, newHalfHours: number, replaced: number) => {
      if (newDays > 0) return `New: ${days(newDays)}.`
      if (newHalfHours > 0) return `New: ${halfHours(newHalfHours)}, but no further whole day.`
      return replaced > 0 ? 'No day was new.' : 'All of it was there already.'
    },
    replaced: (n: number) =>
      `For ${halfHours(n)} the file has another figure than before: the file counts.`,
    ahead: (n: number) =>
      n === 1
        ? 'One interval is still to come, and was left out.'
        : `${whole.format(n)} intervals are still to come, and were left out.`,
    tooOld: (n: number) =>
      n === 1
        ? 'One half-hour lies more than ten years before the newest, and is not kept.'
        : `${whole.format(n)} half-hours lie more than ten years before the newest, and are not kept.`,
    notMeasured: (n: number) =>
      n === 1
        ? 'One interval is marked as estimated or edited; it was taken as it is.'
        : `${whole.format(n)} intervals are marked as estimated or edited; they were taken as they are.`,
    gap: (from: string, until: string) => `Missing: ${from} to ${until}.`,
    longestGap: (from: string, until: string) => `Missing, the longest: ${from} to ${until}.`,
    moreGaps: (n: number) => (n === 1 ? 'And one more.' : `And ${whole.format(n)} more.`),
    row: (line: number, text: string, reason: string) =>
      `Line ${whole.format(line)}: ${reason} (${text})`,
    when: (date: string, time: string) => `${date}, ${time}`,
    span: 'From and until',
    spanOf: (from: string, until: string) => `${from} to ${until}`,
    interval: 'Intervals',
    intervalOf: (minutes: number) => (minutes === 60 ? 'one hour' : `${minutes} minutes`),
    figures: 'Figures',
    figuresOf: (unit: string, flow: 'import' | 'export' | 'net', column: string) => {
      const what = {
        import: 'taken from the grid',
        export: 'given to the grid',
        net: 'taken from the grid, less what was given',
      }[flow]
      return column === '' ? `${unit}, ${what}` : `${unit}, ${what}: “${column}”`
    },
    stamps: 'Times',
    stampsOf: (stamps: 'start' | 'end', clock: 'local' | 'utc' | 'standard' | 'offset') => {
      const which = {
        local: 'by your clock, summer time included',
        utc: 'in UTC',
        standard: 'in standard time all year',
        offset: 'each with its own offset',
      }[clock]
      return stamps === 'start'
        ? `The start of each interval, ${which}`
        : `The end of each interval, ${which}`
    },
    dates: 'Dates',
    datesOf: { 'day-first': 'The day before the month', 'month-first': 'The month before the day' },
    wrong: 'Is that not what you meant? Forget the readings and add the file again.',
    reason: {
      'no-time': 'no date or time',
      'no-value': 'no figure',
      'not-a-number': 'not a number',
      implausible: 'more than a home can draw',
      'off-grid': 'between two intervals',
      'other-length': 'of another length',
      'skipped-hour': 'an hour that the clocks skipped',
      forecast: 'a forecast',
    },
  },

  forget: {
    heading: 'Forget these readings',
    sure: 'Yes: all readings, for everybody in this household. They would have to be added again',
    now: 'Forget them now',
    done: 'The readings are forgotten.',
    dropped: 'That file was left out.',
  },

  refused: {
    unchanged: 'The file was not taken. The readings from before are as they were.',
    tooLarge: 'Export a shorter time: this file is over 5 MiB',
    tooOld: (years: number) =>
      `Choose a newer file: all of this one lies more than ${years} years before your newest readings, and no more than that is kept.`,
    packed: 'Unpack the file, or save the sheet as CSV, and send that: this one is packed.',
    ahead: (from: string) =>
      `Choose a file of days that are over: this one begins on ${from}, which is still to come.`,
  },

  api: {
    none: 'Send a file first: no meter readings are kept.',
    packed: 'Send the file as it is: a packed one (Content-Encoding) is not taken.',
    mediaType: (types: string) => `Send the file as one of these types: ${types}.`,
    question: (text: string) =>
      `${text} Send the file again with the query parameters of one choice: see question.`,
  },
} as const
