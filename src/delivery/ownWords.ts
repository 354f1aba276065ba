// What the sender of a mail wrote, without what mail programs add: the quoted original, signatures, and
// the header block of what is forwarded. There is no standard for these but two (RFC 3676: ">" and
// "-- "); the rest is common practice, without a source.

// Beyond this a line is prose, and no pattern is tried on it.
const LONGEST_MARK = 300
// A forward of a forward of a forward; who goes on is not telling of an event.
const MOST_FORWARDS = 4

const FORWARD = /^\s*(?:fwd?|tr|wg)\s*:/i
const FORWARDED = /^(?:-{2,} ?)?(?:begin )?forwarded message(?: ?-{2,}|:)?$/i
const ORIGINAL = /^-{2,} ?original message ?-{2,}$/i
const WROTE = /^On\b.*\bwrote:$/i
const DATED = /^.{12,}\d\D+\d.*:$/
const HEADER = /^\*?(from|sent|date|subject|to|cc|reply-to):\*?(?:\s|$)/i
// What some programs put at the beginning of a forwarded text, or in place of a picture.
const INVISIBLE = /[\u200B\uFEFF\uFFFC]/g
const SENT_FROM = /^sent (?:from|via) \S.*$/i

/**
 * The text above, between and below what is quoted; of a forward, that and the forwarded text. Linear
 * in its length. `subject` tells a forward from a reply where the mark is the same.
 */
export function ownWords(text: string, subject: string): string {
  let lines = text
    .replace(/\r\n?/g, '\n')
    .replace(/\u00A0/g, ' ')
    .replace(INVISIBLE, '')
    .split('\n')
  const said = FORWARD.test(subject)
  let isForward = said
  const parts: string[] = []
  for (let forwards = 0; forwards <= MOST_FORWARDS; forwards++) {
    const { own, forwarded } = firstPart(lines, isForward)
    parts.push(tidied(own))
    if (forwarded === null) break
    lines = withoutHeaders(unquoted(forwarded))
    isForward = false
  }
  const words = parts.filter((part) => part !== '').join('\n\n')
  // A forward that is quoted line by line, with no mark above it.
  return words === '' && said ? tidied(withoutHeaders(unquoted(lines))) : words
}

type Part = { readonly own: readonly string[]; readonly forwarded: readonly string[] | null }

/** The lines up to a forward, or to an original that is not marked line by line, without the marked ones. */
function firstPart(lines: readonly string[], isForward: boolean): Part {
  const own: string[] = []
  for (let at = 0; at < lines.length; at++) {
    const line = lines[at] ?? ''
    const mark = markOf(line)
    if (line.startsWith('>')) continue
    const original = ORIGINAL.test(mark)
    if (FORWARDED.test(mark) || (original && isForward))
      return { own, forwarded: lines.slice(at + 1) }
    if (isHeaderBlock(lines, at)) return { own, forwarded: isForward ? lines.slice(at) : null }
    if (original) return { own, forwarded: null }
    const end = attributionEnd(lines, at)
    if (end !== null) {
      if (!isQuotedAfter(lines, end)) return { own, forwarded: null }
      at = end
    } else own.push(line)
  }
  return { own, forwarded: null }
}

const markOf = (line: string) => (line.length > LONGEST_MARK ? '' : line.trim())

/** "On Wednesday Ada wrote:", folded over at most three lines: the last of them; else `null`. */
function attributionEnd(lines: readonly string[], at: number): number | null {
  const first = markOf(lines[at] ?? '')
  // In other languages: whatever has a date and a colon at its end, right above what is quoted.
  if (DATED.test(first) && lines[at + 1]?.startsWith('>') === true) return at
  if (!/^On\b/i.test(first)) return null
  let joined = ''
  for (let end = at; end < at + 3; end++) {
    const line = markOf(lines[end] ?? '')
    if (line === '') return null
    joined += ` ${line}`
    if (WROTE.test(joined.trim())) return end
  }
  return null
}

function isQuotedAfter(lines: readonly string[], at: number): boolean {
  const next = lines.slice(at + 1, at + 4).find((line) => line.trim() !== '')
  return next?.startsWith('>') === true
}

/** "From: …" with a "Sent:" or "Date:" and a "Subject:" close below: an event's "From: 17:30" has no subject. */
function isHeaderBlock(lines: readonly string[], at: number): boolean {
  if (headerName(lines[at]) !== 'from') return false
  const names = lines.slice(at + 1, at + 8).map(headerName)
  return names.includes('subject') && (names.includes('sent') || names.includes('date'))
}

const headerName = (line: string | undefined) =>
  HEADER.exec(markOf(line ?? ''))?.[1]?.toLowerCase() ?? null

/** One level of quoting less, where a forward is quoted as a whole. */
function unquoted(lines: readonly string[]): readonly string[] {
  const first = lines.find((line) => line.trim() !== '')
  return first?.startsWith('>') === true ? lines.map((line) => line.replace(/^> ?/, '')) : lines
}

/** Without the header block that a forward begins with. Its lines may be folded. */
function withoutHeaders(lines: readonly string[]): string[] {
  let at = 0
  while (at < lines.length && lines[at]?.trim() === '') at++
  if (headerName(lines[at]) === null) return lines.slice(at)
  while (at < lines.length && isInBlock(lines[at] ?? '')) at++
  return lines.slice(at)
}

const isInBlock = (line: string) =>
  headerName(line) !== null || (line.trim() !== '' && (/^\s/.test(line) || line.includes('@')))

/** Without signature and the blank lines around. */
function tidied(lines: readonly string[]): string {
  // RFC 3676 §4.3; many programs lose the space.
  const dashes = lines.findIndex((line) => line === '-- ' || line === '--')
  const kept = (dashes < 0 ? lines : lines.slice(0, dashes)).map((line) => line.trimEnd())
  while (kept.length > 0 && isAddedAtEnd(kept.at(-1) ?? '')) kept.pop()
  return kept
    .join('\n')
    .replace(/\n{3,}/g, '\n\n')
    .replace(/^\n+/, '')
}

// A blank line, a telephone's line, the rule above an original.
function isAddedAtEnd(line: string): boolean {
  const mark = markOf(line)
  return line === '' || SENT_FROM.test(mark) || /^_{5,}$/.test(mark)
}
