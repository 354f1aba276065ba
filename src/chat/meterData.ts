// Whether a message is meter data pasted from a file. It is not read here: a message holds a few days at most.

/** Fewer lines than this may be a note or an announcement with several times. */
const LEAST_LINES = 4

const DELIMITER = /[,;\t|]/
const TIME =
  /\b\d{1,2}:\d{2}\b|T\d{2}:?\d{2}|\b\d{4}-\d{2}-\d{2}\b|\b\d{1,2}[/.]\d{1,2}[/.]\d{2,4}\b/
/** A figure that fills its cell. */
const FIGURE = /(?:^|[,;\t|]) *"?-?\d+(?:[.,]\d+)?"? *(?=$|[,;\t|])/

/** Lines of cells with a time and a figure, most of them, or XML of Green Button. */
export function looksLikeReadings(text: string): boolean {
  if (/^\s*<[^>]*>/.test(text) && /<(?:\w+:)?(?:feed|IntervalReading|IntervalBlock)\b/.test(text))
    return true
  const lines = text.split(/\r\n?|\n/).filter((line) => line.trim() !== '')
  const rows = lines.filter((line) => DELIMITER.test(line) && TIME.test(line) && FIGURE.test(line))
  return rows.length >= LEAST_LINES && rows.length > lines.length / 2
}
