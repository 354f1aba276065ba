// Makes foreign text safe to stand in a calendar file. Escaping and folding are ical-generator's;
// this takes out what must never reach it, since it prints some values as they come.

// Control characters end or hide lines; half a surrogate pair is no UTF-8; U+2028 and U+2029 end
// lines in some readers; an unclosed direction override (U+202A-E, U+2066-9) turns round what follows.
const UNSAFE = /[\p{Cc}\p{Surrogate}\u2028\u2029\u202a-\u202e\u2066-\u2069]+/gu

/** One line: line breaks and other unsafe characters become a space. */
export const oneLine = (text: string): string => text.replace(UNSAFE, ' ').trim()

/** Several lines: line breaks stay, as LF. */
export const lines = (text: string): string =>
  text
    .split(/\r\n|[\r\n\u2028\u2029]/)
    .map(oneLine)
    .join('\n')
    .trim()

/** An address as a URI may be written (RFC 3986 §2), and nothing that a TEXT escape would change. */
export const uri = (address: string): string =>
  oneLine(address).replace(/[^!-~]|[\\;,"<>]/gu, encodeURIComponent)
