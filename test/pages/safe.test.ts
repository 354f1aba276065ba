// What the content security policy and OWASP ASVS 5.0 (3.2 unintended content, 3.5 origin separation) ask of every page.

import { describe, expect, test } from 'vitest'
import { HOSTILE, everyPage } from './given.tsx'

describe.each(everyPage())('%s', (name, html) => {
  test('is a whole document that search engines leave alone', () => {
    expect(html.startsWith('<!doctype html><html lang="en">')).toBe(true)
    expect(html).toContain('<meta name="robots" content="noindex"/>')
    expect(html).toMatch(/<head>.*<title>[^<]+<\/title>.*<\/head>/s)
  })

  test('escapes what people typed', () => {
    expect(html).not.toContain(HOSTILE)
    expect(html).not.toMatch(/<img|<script>|onerror=alert\(1\)>/)
    if (/settings|plan$|problem|welcome/.test(name)) expect(html).toContain('&lt;script&gt;')
  })

  test('has no script or style of its own', () => {
    for (const [tag] of html.matchAll(/<script[^>]*>/g)) expect(tag).toMatch(/ src="\/[a-z]+\.js"/)
    expect(html).not.toMatch(/<script[^>]*>[^<]/)
    expect(html).not.toMatch(/<style|javascript:/)
    // Inside a tag only: what people typed may say anything, as text.
    for (const [tag] of html.replaceAll(/"[^"]*"/g, '""').matchAll(/<[a-z][^>]*>/g))
      expect(tag).not.toMatch(/\s(style|on[a-z]+)=/)
  })

  // But where the address of the page is the proof: a form value would prove nothing more.
  test('every form is a POST to this site with its csrf value', () => {
    for (const [form] of html.matchAll(/<form.*?<\/form>/gs)) {
      expect(form).toMatch(/^<form method="post" action="\/[^/"][^"]*"/)
      if (!name.startsWith('answer'))
        expect(form).toContain('<input type="hidden" name="csrf" value="c5rf"/>')
    }
  })

  test('ids are unique, labels and descriptions point to one', () => {
    const ids = [...html.matchAll(/\sid="([^"]*)"/g)].map((match) => match[1] ?? '')
    expect(new Set(ids).size).toBe(ids.length)
    for (const [, list = ''] of html.matchAll(
      /\s(?:for|aria-labelledby|aria-describedby|list)="([^"]*)"/g,
    ))
      for (const id of list.split(' ')) expect(ids).toContain(id)
    for (const [, id = ''] of html.matchAll(/href="#([^"]*)"/g)) expect(ids).toContain(id)
  })

  test('every field that is seen has a label', () => {
    const seen = [...html.matchAll(/<(?:input|textarea|select)\b[^>]*>/g)].map(([tag]) => tag)
    for (const tag of seen.filter((each) => !each.includes('type="hidden"'))) {
      const id = / id="([^"]*)"/.exec(tag)?.[1]
      const wrapped = /type="(checkbox|radio)"/.test(tag)
      expect(wrapped || html.includes(`<label for="${id}"`)).toBe(true)
    }
  })
})
