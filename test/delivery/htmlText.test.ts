import { simpleParser } from 'mailparser'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { htmlText } from '../../src/delivery/htmlText.ts'
import { readMail } from '../../src/delivery/index.ts'
import { LARGEST_MAIL } from '../../src/delivery/inbox.ts'
import { ownWords } from '../../src/delivery/ownWords.ts'
import { ENVELOPE, RULES, mail } from './mailSamples.ts'

const html = (body: string) => mail({ type: 'text/html; charset=utf-8', body })

const textOf = async (body: string) => {
  const found = await readMail(html(body), ENVELOPE, RULES)
  return found.kind === 'message' ? found.text : found.why
}

describe('the text of HTML', () => {
  test.each([
    ['<p>done</p>', 'done'],
    ['<div>58</div><div><br></div><div>at  16:10</div>', '58\n\nat 16:10'],
    ['a<br>b<BR/>c', 'a\nb\nc'],
    [
      '<table><tr><td>From</td><td>17:30</td></tr><tr><td>To</td><td>18:30</td></tr></table>',
      'From 17:30\nTo 18:30',
    ],
    ['<ul><li>17:30<li>18:30</ul>', '17:30\n18:30'],
    [
      '17:30&nbsp;&ndash;&#160;18:30 &#x26; &amp;lt; &bogus; &#0; &#xD800;',
      '17:30 – 18:30 & &lt; &bogus; \uFFFD \uFFFD',
    ],
    ['if 5 < 6 and <b>7</b> > 6', 'if 5 < 6 and 7 > 6'],
    ['<!-- 17:30 --><style>p{}</style><script>"<p>"</script><head><title>x</title></head>58', '58'],
    ['<SCRIPT>a</script >58<style>b', '58b'],
    ['58<!-- never ends', '58'],
    ['58<a href="', '58'],
    ['5<b>8</b>', '58'],
  ])('%s', (given, text) => {
    expect(htmlText(given)).toBe(text)
  })

  test('what is quoted is marked as in a plain mail, and so falls away', async () => {
    const body =
      '<div>done</div><div>On Thu, Jan 14, 2027 at 4:13 PM Holdbell wrote:</div><blockquote><p>Hold by 16:28.</p><blockquote>older</blockquote></blockquote>'
    expect(htmlText(body)).toBe(
      'done\nOn Thu, Jan 14, 2027 at 4:13 PM Holdbell wrote:\n\n> Hold by 16:28.\n\n> older',
    )
    expect(await textOf(body)).toBe('done')
  })

  test('our own mail, answered above, is only the answer', async () => {
    const body =
      '<p>58</p><div>From: Holdbell &lt;reminders@holdbell.example.net&gt;<br>Sent: January 14<br>To: Ada<br>Subject: Hold</div><p>Hold by 16:28.</p>'
    expect(await textOf(body)).toBe('58')
  })

  test('has the words that an independent converter finds', async () => {
    const word = fc.stringMatching(/^[a-z0-9:%]{1,8}$/)
    const around = (tag: string) => word.map((inner) => `<${tag} title="x">${inner}</${tag}>`)
    const piece = fc.oneof(
      ...['p', 'div', 'b', 'span', 'h2', 'li', 'i'].map(around),
      word,
      fc.constantFrom(
        '<br>',
        ' ',
        '\n',
        '&amp;',
        '&ndash;',
        '&#233;',
        '<style>x</style>',
        '<!-- x -->',
      ),
    )
    await fc.assert(
      fc.asyncProperty(fc.array(piece, { minLength: 1, maxLength: 20 }), async (pieces) => {
        const body = `<body>${pieces.join(' ')}</body>`
        const other = await simpleParser(html(body))
        const words = (text: string) => text.split(/[\s*-]+/).filter((found) => found !== '')
        // Headings are shouted there.
        expect(words(htmlText(body).toLowerCase())).toEqual(words((other.text ?? '').toLowerCase()))
      }),
      { numRuns: 300 },
    )
  })
})

describe('a hostile megabyte', () => {
  const full = (piece: string) => piece.repeat(Math.floor((LARGEST_MAIL - 4096) / piece.length))

  // Each would take hours if anything went over what is left once per piece.
  const pieces =
    '<|<a|<a |<!--|<!-- >|<style>|<script><style>|<blockquote>|&|&#1|&amp|<p>|<td>| |</style|a<style>b</script>'
  test.each(pieces.split('|'))('of %j is read in one pass', (piece) => {
    expect(htmlText(full(piece)).length).toBeLessThan(2 * LARGEST_MAIL)
  })

  const lines = ['\n', '\r', '\n\n\na', 'On \n', 'On ', 'From: a\nDate: b\n', '>\n', '1 1:\n', '1 ']
  test.each([...lines, 'sent from x\n', '_', ' a@b\n'])('of lines %j, too', (line) => {
    expect(ownWords(full(line), 'Fwd: x').length).toBeLessThanOrEqual(LARGEST_MAIL)
  })

  const headers = ['"', '(', '"\\', '(\\', ';', 'a=', '="', '()', '<', '@', 'a@b.c,', '=?a?q?']
  test.each(headers)('of %j in the headers, too', async (piece) => {
    const long = piece.repeat(Math.floor(400_000 / piece.length))
    const found = await readMail(
      mail({ from: `From: ${long}`, results: `Authentication-Results: ${long}` }),
      ENVELOPE,
      RULES,
    )
    expect(found.kind).toBe('ignored')
    const believed = await readMail(
      mail({ headers: [`Authentication-Results: ${long}`] }),
      ENVELOPE,
      RULES,
    )
    expect(believed.kind).toBe('message')
  })

  test.each(['<a', '<!--', '<blockquote>', '>', '\n', 'On '])(
    'of %j as a whole mail',
    async (piece) => {
      const found = await readMail(html(full(piece)), ENVELOPE, RULES)
      expect(['message', 'ignored']).toContain(found.kind)
    },
  )
})
