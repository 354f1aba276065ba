import { describe, expect, test } from 'vitest'
import { pageWords } from '../../src/words/en/pages.ts'
import { setupPage, welcomePage } from './given.tsx'

const FIELDS = Object.keys(pageWords.fieldWrong)

const names = (html: string) =>
  new Set([...html.matchAll(/ name="([a-zA-Z]+)"/g)].map((match) => match[1]))

describe('set-up', () => {
  test('has every field of the form, the box for going on only after the advice', () => {
    const plain = names(setupPage())
    for (const field of FIELDS)
      expect([field, plain.has(field)]).toEqual([field, field !== 'medicalAcknowledged'])
    expect(names(setupPage({ medicalAnswer: 'yes' })).has('medicalAcknowledged')).toBe(true)
  })

  // GOV.UK Design System, error summary: focus, role, links to the fields, the same words beside them, "Error: " in the title.
  test('says what is wrong at the top, beside the field and in the title', () => {
    const message = pageWords.fieldWrong.webhookUrl
    const html = setupPage({ errors: [{ field: 'webhookUrl', message }] })
    expect(html).toContain('<title>Error: ')
    expect(html).toMatch(
      /<div class="wrong"[^>]* autofocus[^>]*><div role="alert"><p[^>]*>There is a problem</,
    )
    expect(html).toContain(`<a href="#webhookUrl">${message}</a>`)
    expect(html).toMatch(/id="webhookUrl-wrong">[^<]+</)
    expect(html).toMatch(/<details open/)
    expect(setupPage()).not.toMatch(/<details open|role="alert"|Error: /)
  })

  test('comes back as it was typed', () => {
    const html = setupPage({ values: { capacityKwh: 'ten', medical: 'no', calendarAlarms: 'yes' } })
    expect(html).toMatch(/name="capacityKwh"[^>]*value="ten"/)
    expect(html).toMatch(/id="medical-no"[^>]*checked/)
    expect(html).toMatch(/id="calendarAlarms"[^>]*checked/)
    expect(html).not.toMatch(/id="dayFirst"[^>]*checked/)
  })

  test('nobody is taken to have answered the medical question', () => {
    expect(setupPage()).not.toMatch(/name="medical"[^>]*checked/)
  })

  test('advises against taking part, with a way to stop', () => {
    const html = setupPage({ medicalAnswer: 'yes' })
    expect(html).toContain('We advise you not to take part.')
    expect(html).toMatch(/<a class="[^"]*" href="\/">Stop here<\/a>/)
    expect(setupPage({ medicalAnswer: 'no' })).not.toContain('We advise you')
  })
})

describe('where the house is', () => {
  const hint = /<p id="utc"([^>]*)>/
  test('plain UTC is asked about, and is no error', () => {
    expect(hint.exec(setupPage({ values: { timeZone: 'UTC' } }))?.[1]).not.toContain('hidden')
    expect(hint.exec(setupPage({ values: { timeZone: 'Etc/UTC' } }))?.[1]).not.toContain('hidden')
    expect(hint.exec(setupPage({ values: { timeZone: 'Europe/London' } }))?.[1]).toContain('hidden')
    expect(hint.exec(setupPage())?.[1]).toContain('hidden')
  })
})

test('the settings lead back to the plan; set-up has none to lead to', () => {
  expect(setupPage({ action: '/settings' })).toContain('<a href="/plan">')
  expect(setupPage()).not.toContain('href="/plan"')
})

test('the link can be kept as a bookmark, and only a script offers to copy', () => {
  const html = welcomePage('http://localhost/open#k3y')
  expect(html).toContain('<a href="http://localhost/open#k3y">http://localhost/open#k3y</a>')
  expect(html).not.toContain('<button')
})

test('the welcome page says what the battery can cover', () => {
  expect(welcomePage()).toContain('<b>2 h 40 min</b>')
})
