// The text of an HTML mail. Not a browser: it keeps words, line ends and what is quoted, in one pass
// over the octets, whatever a hostile sender wrote.

const HIDDEN = new Set(['script', 'style', 'head', 'title', 'template'])
const PARAGRAPHS = new Set(['p', 'h1', 'h2', 'h3', 'h4', 'h5', 'h6', 'ul', 'ol', 'table', 'hr'])
const LINES = new Set(['div', 'tr', 'li', 'blockquote', 'section', 'article', 'header', 'footer'])

/** The text, quotations (`blockquote`) marked with "> " as in a plain mail (RFC 3676 §4.5). */
export function htmlText(html: string): string {
  const page = new Lines()
  const hidden = hiddenEnd(html)
  let at = 0
  while (at < html.length) {
    const open = html.indexOf('<', at)
    if (open < 0) break
    page.add(html.slice(at, open))
    const next = html.slice(open + 1, open + 4)
    if (!/^[a-z/!?]/i.test(next)) {
      page.add('<')
      at = open + 1
      continue
    }
    const close = next === '!--' ? html.indexOf('-->', open + 4) : html.indexOf('>', open)
    // What never ends hides the rest, as it does in a browser.
    if (close < 0) return page.text()
    const [, slash = '', name = ''] =
      /^(\/?)([a-z][a-z0-9]{0,15})/i.exec(html.slice(open + 1, open + 18)) ?? []
    const tag = name.toLowerCase()
    page.tag(tag, slash === '/')
    const end = slash === '' && HIDDEN.has(tag) ? hidden(tag, close) : close
    at = end + (next === '!--' ? 3 : 1)
  }
  page.add(html.slice(at))
  return page.text()
}

/** Where the closing tag of a hidden element ends; the place asked about only grows, so each name is searched once. */
function hiddenEnd(html: string): (tag: string, from: number) => number {
  const gone = new Set<string>()
  return (tag, from) => {
    if (gone.has(tag)) return from
    const closing = new RegExp(`</${tag}\\s{0,9}>`, 'gi')
    closing.lastIndex = from
    const found = closing.exec(html)
    if (found === null) gone.add(tag)
    return found === null ? from : closing.lastIndex - 1
  }
}

class Lines {
  readonly #lines: string[] = []
  #line: string[] = []
  #quotes = 0

  add(text: string): void {
    if (text !== '') this.#line.push(text)
  }

  tag(name: string, closing: boolean): void {
    if (name === 'br') this.#end(true)
    else if (name === 'td' || name === 'th') this.add(' ')
    else if (PARAGRAPHS.has(name)) {
      this.#end(false)
      if (this.#lines.at(-1) !== '') this.#lines.push('')
    } else if (LINES.has(name)) this.#end(false)
    if (name === 'blockquote') this.#quotes = Math.max(0, this.#quotes + (closing ? -1 : 1))
  }

  #end(always: boolean): void {
    const line = decoded(this.#line.join('').replace(/[ \t\r\n\f]+/g, ' ')).trim()
    this.#line = []
    if (line !== '' || always) this.#lines.push(this.#quotes > 0 ? `> ${line}`.trimEnd() : line)
  }

  text(): string {
    this.#end(false)
    return this.#lines.join('\n').trim()
  }
}

const NAMED = new Map(
  Object.entries({
    amp: '&',
    lt: '<',
    gt: '>',
    quot: '"',
    apos: "'",
    nbsp: ' ',
    ndash: '–',
    mdash: '—',
    minus: '−',
    hellip: '…',
    lsquo: '‘',
    rsquo: '’',
    ldquo: '“',
    rdquo: '”',
    bull: '•',
    middot: '·',
    deg: '°',
    frac12: '½',
    eacute: 'é',
    egrave: 'è',
    agrave: 'à',
    ccedil: 'ç',
  }),
)

const decoded = (text: string) =>
  text.replace(
    /&(?:#(\d{1,7})|#x([0-9a-f]{1,6})|([a-z]{2,8}\d{0,2}));/gi,
    (whole, decimal?: string, hex?: string, name?: string) => {
      if (name !== undefined) return NAMED.get(name.toLowerCase()) ?? whole
      const code = decimal === undefined ? Number.parseInt(hex ?? '', 16) : Number(decimal)
      if (code === 0xa0) return ' '
      const isCharacter = code > 0 && code <= 0x10ffff && (code < 0xd800 || code > 0xdfff)
      return isCharacter ? String.fromCodePoint(code) : '\uFFFD'
    },
  )
