// The header in which a receiving server says what it could check of a mail (RFC 8601 §2.2), read into
// values. Whether it is to be believed is decided in mailTrust.ts.

export type AuthResult = {
  /** `dkim`, `dmarc`, `spf`: in lower case, as is the result. */
  readonly method: string
  readonly result: string
  /** `header.d`, `header.from`, `smtp.mailfrom`: in lower case, as their values. */
  readonly properties: ReadonlyMap<string, string>
}

export type AuthResults = { readonly server: string; readonly results: readonly AuthResult[] }

/** The header's value as values; `null` where a quotation or a comment does not end. */
export function readAuthResults(value: string): AuthResults | null {
  const [head, ...rest] = sections(value) ?? []
  // The server's name can be followed by a version.
  const server = head?.trim().split(/\s+/)[0]?.toLowerCase()
  if (server === undefined || server === '') return null
  return { server, results: rest.map(resultOf).filter((result) => result !== null) }
}

/** What stands between semicolons, without its comments. Both can be hidden in quotations, and comments nest. */
function sections(value: string): string[] | null {
  const found = ['']
  let depth = 0
  let quoted = false
  for (let at = 0; at < value.length; at++) {
    let char = value.charAt(at)
    if (char === '\\') char += value.charAt(++at)
    if (!quoted && char === '(') depth++
    else if (!quoted && depth > 0 && char === ')') {
      depth--
      char = ' '
    } else if (depth === 0 && char === '"') quoted = !quoted
    if (depth > 0) continue
    if (!quoted && char === ';') found.push('')
    else found[found.length - 1] += char
  }
  return depth === 0 && !quoted ? found : null
}

// Every name is followed by "=", and its value ends at a space that is not quoted.
const PAIR = /([a-z][\w.-]*)(?:\/\d+)?\s*=\s*((?:"(?:[^"\\]|\\.)*"|[^\s"])*)/giy

function resultOf(section: string): AuthResult | null {
  const pairs: [string, string][] = []
  PAIR.lastIndex = section.length - section.trimStart().length
  for (let pair = PAIR.exec(section); pair !== null; pair = PAIR.exec(section)) {
    pairs.push([(pair[1] ?? '').toLowerCase(), unquoted(pair[2] ?? '').toLowerCase()])
    while (/\s/.test(section.charAt(PAIR.lastIndex))) PAIR.lastIndex++
  }
  const [first, ...rest] = pairs
  if (first === undefined) return null
  const properties = new Map<string, string>()
  // What is said twice says nothing.
  for (const [name, value] of rest) properties.set(name, properties.has(name) ? '' : value)
  return { method: first[0], result: first[1], properties }
}

const unquoted = (value: string) => value.replace(/\\(.)|"/g, '$1')
