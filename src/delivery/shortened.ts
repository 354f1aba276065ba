// A text that has to fit into so many octets, ended at a word.

const MARK = '…'

/** The text, or as many of its words as fit into so many octets (UTF-8) with `…`; of a first word too long, its characters. */
export function shortened(text: string, longestOctets: number): string {
  if (octetsOf(text) <= longestOctets) return text
  const left = longestOctets - octetsOf(MARK)
  const words = fitting(text.split(/(?=\s)/u), left).trimEnd()
  return `${words === '' ? fitting(charactersOf(text), left) : words}${MARK}`
}

function fitting(parts: readonly string[], octets: number): string {
  let left = octets
  const end = parts.findIndex((part) => (left -= octetsOf(part)) < 0)
  return parts.slice(0, end === -1 ? parts.length : end).join('')
}

/** As a person counts them: an accent or an emoji of several code points stays whole. */
const charactersOf = (text: string) =>
  Array.from(new Intl.Segmenter('en').segment(text), ({ segment }) => segment)

const octetsOf = (text: string) => new TextEncoder().encode(text).length
