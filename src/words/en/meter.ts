// What is said of a meter's file: what was understood, what has to be asked, and why one cannot be read.

const count = (n: number, one: string, many: string) => (n === 1 ? one : many)

const figure = new Intl.NumberFormat('en-GB', { maximumSignificantDigits: 3 })
const whole = new Intl.NumberFormat('en-GB')

export const meterWords = {
  question: {
    dateOrder: (dayFirst: string, monthFirst: string) =>
      `Which day does the file begin with: ${dayFirst} or ${monthFirst}?`,
    stamps: (first: string) =>
      `Does ${first} in the file stand for the start of an interval or for its end?`,
    unit: (column: string) =>
      column === ''
        ? 'In which unit are the figures?'
        : `In which unit are the figures under “${column}”?`,
    clock: 'Which clock are the times in the file from?',
    column: 'Which column is the electricity taken from the grid?',
    kind: 'Which rows are the electricity taken from the grid?',
    series: 'The file holds several series. Which is the electricity taken from the grid?',
  },
  choice: {
    dayFirst: (day: string) => `${day}: the day stands first`,
    monthFirst: (day: string) => `${day}: the month stands first`,
    start: 'The start',
    end: 'The end',
    unit: (unit: string, kwhPerDay: number) =>
      `${unit}: about ${figure.format(kwhPerDay)} kWh a day`,
    local: 'The clock on our wall, summer time included',
    utc: 'UTC, all year',
    standard: 'Our standard time, all year, without summer time',
    column: (name: string) => (/^\d+$/.test(name) ? `Column ${name}` : name),
  },

  refused: {
    empty: 'Choose another file: this one is empty.',
    notText: 'Export the data as CSV or as Green Button XML: this file is not text.',
    tooLarge: (mostMiB: number) => `Export a shorter time: at most ${mostMiB} MiB can be read.`,
    tooManyCells: (most: number) =>
      `Export a shorter time, or fewer columns: at most ${whole.format(most)} cells can be read.`,
    tooManyIntervals: (most: number) =>
      `Export a shorter time: at most ${whole.format(most)} intervals can be read.`,
    tooLong: (years: number, mostYears: number) =>
      `Export a shorter time: this file spans ${years} years, and at most ${mostYears} can be read.`,
    unknownZone: (zone: string) => `Choose another time zone: “${zone}” is not known.`,
    gas: (evidence: string) =>
      `Choose the electricity meter's file: this one is gas (${evidence}).`,
    notElectricity: (evidence: string) =>
      `Choose the file of the electricity in kWh: this one holds something else (${evidence}).`,
    noTimes: (evidence: string) =>
      `Choose a file with a date and a time for each figure: none are found here (${evidence}).`,
    noEnergy: (evidence: string) =>
      `Choose a file of electricity used in each interval: no such figures are found here (${evidence}).`,
    registerOnly: (evidence: string) =>
      evidence === ''
        ? 'Choose a file of electricity used in each interval: these figures are the state of the meter.'
        : `Choose a file of electricity used in each interval: “${evidence}” is the state of the meter.`,
    mixedDates: (dayFirst: string, monthFirst: string) =>
      `Export the file again: it writes ${dayFirst} with the day first and ${monthFirst} with the month first.`,
    intervalLength: (minutes: number | null) =>
      minutes === null
        ? 'Choose a file of intervals of one length, such as half-hours: here they differ.'
        : `Choose a file of intervals of an hour or less: here they are of ${whole.format(minutes)} minutes.`,
    tooFewRows: 'Choose a file of at least a day: there is too little in this one.',
    damaged: (line: number, evidence: string) =>
      `Export the file again: it is damaged in line ${whole.format(line)} (${evidence}).`,
    otherXml: (root: string) => `Choose a Green Button file or CSV: this is other XML (${root}).`,
  },

  /** After a file was taken in. */
  taken: (days: number, first: string, last: string) =>
    count(
      days,
      `One whole day was read: ${first}.`,
      `${whole.format(days)} whole days were read, from ${first} to ${last}.`,
    ),
  noWholeDay:
    'No whole day was read: past days count only when none of their intervals is missing.',
  gaps: (n: number) =>
    count(n, 'One stretch is missing.', `${whole.format(n)} stretches are missing.`),
  duplicates: (n: number) =>
    count(
      n,
      'One interval stands twice with different figures: the first was kept.',
      `${whole.format(n)} intervals stand twice with different figures: the first were kept.`,
    ),
  skipped: (n: number, line: number) =>
    count(
      n,
      `One row was left out: line ${whole.format(line)}.`,
      `${whole.format(n)} rows were left out, the first in line ${whole.format(line)}.`,
    ),
} as const
