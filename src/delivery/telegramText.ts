// Text as a chat takes it: plain, so that nothing in it needs escaping, and never longer than the limit.

/** Characters of one message after entity parsing. Counted here in UTF-16 units, which are never fewer. */
export const LONGEST_TEXT = 4096

const CUT = '…'

/** The text, or its beginning up to a whole word and `…`, in at most so many UTF-16 units. */
export function shortened(text: string, most: number): string {
  if (text.length <= most) return text
  const room = text.slice(0, most - CUT.length)
  // Where the next character is a space, the last word is whole.
  const space = /\s/.test(text.charAt(room.length)) ? room.length : room.search(/\s\S*$/)
  // Text without spaces is cut anywhere, but no character in two.
  const cut = space > room.length / 2 ? room.slice(0, space) : room.replace(/[\uD800-\uDBFF]$/, '')
  return cut.trimEnd() + CUT
}

/** The household's name as a first line: one chat may serve two households, and a locked phone shows both lines. */
export function headed(title: string, text: string): string {
  const head = title.replace(/\s+/g, ' ').trim()
  return shortened(head === '' ? text : `${head}\n${text}`, LONGEST_TEXT)
}
