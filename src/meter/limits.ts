// The numbers that bound the reading of a file, each with its reason.

/** As the API takes; a text has no more characters than bytes. */
export const MOST_CHARACTERS = 5 * 1024 * 1024

/** A year of five-minute intervals, three of quarter-hours, six of half-hours: at this many, reading stays under 90 of a worker's 128 MB. */
export const MOST_INTERVALS = 120_000

/** So many intervals with a dozen columns each. */
export const MOST_CELLS = 1_500_000

/** A household's history; kept at 2 bytes per half-hour this is 350 KB of the 2 MB of a row. */
export const MOST_YEARS = 10

/** Deeper than any ESPI document (feed, entry, content, block, reading, period, start: 7). */
export const DEEPEST_XML = 32

/** Rows looked at to tell what each column holds. */
export const SAMPLE_ROWS = 200

/** Lines that may stand above the table: names, addresses, notes. */
export const MOST_PREAMBLE_LINES = 60

/** Evidence shown; the rest is counted. */
export const MOST_NOTED = 20

/** No home draws a megawatt: such a value is another thing, or in another unit. */
export const MOST_KW = 1000

/** Interval lengths of meters; each divides the hour. */
export const INTERVAL_MINUTES: readonly number[] = [1, 2, 3, 5, 6, 10, 15, 30, 60]

/** Interval meters are younger than this, and the time zone rules older. */
export const FIRST_YEAR = 2000
export const LAST_YEAR = 2099
