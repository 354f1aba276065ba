// Hostile messages of 100,000 characters: pieces that a careless expression would try in every way. Nothing is timed;
// reading that takes quadratic time or worse does not come back within the runner's own limit.

import { describe, expect, test } from 'vitest'
import { readAnnouncement } from '../../src/announcement/index.ts'
import { understand } from '../../src/chat/index.ts'
import { asInstant } from '../../src/plan/index.ts'

const SIZE = 100_000
const context = {
  now: asInstant(Date.UTC(2027, 0, 13, 16)),
  timeZone: 'America/Halifax',
  dayFirst: true,
  language: 'en' as const,
}
const fill = (piece: string) => piece.repeat(Math.ceil(SIZE / piece.length)).slice(0, SIZE)

describe('read as an announcement', () => {
  test.each([
    '1',
    '1 ',
    '17:30',
    '17:30-',
    '17:30-18:30 ',
    '5-7 ',
    'a',
    "a'",
    '-',
    '. ',
    'p.m',
    'p. m ',
    ' ',
    '\n',
    'thursday ',
    'a week ',
    'from ',
    'and it the ',
    'not ',
    'is ',
    'cancel',
    'cancelled ',
    'moved ',
    'by , on ',
    '2027-01-14',
    '2027-01-14T17:30-04:00',
    '2027-01-14T17:30-04:00/',
    '1/',
    '1.',
    '1,',
    'pt1h',
    '½',
    '\ufdfa',
    '\u0301',
    '👍🏽',
    '%',
    '£5',
    'half past ',
    'x\u200b',
    'been not if ',
    'to about ',
    '5 until ',
    'end ',
    'now ',
    'in 10 min ',
    'on x 5-7 ',
    'call us ',
    'date: ',
    'x: 5:30',
    'cancel hold ',
    'event on ',
  ])('%j', { timeout: 30_000 }, (piece) => {
    expect(readAnnouncement(fill(piece), context).kind).toMatch(/^(nothing|events|question)$/)
  })
})

describe('understood as a message', () => {
  test.each([
    '5',
    '5 ',
    'in ',
    'done ',
    'yes ',
    'to ',
    'move to ',
    'cancel ',
    '58 at ',
    '%',
    '👍',
    '? ',
    'not yet ',
    'now starts ',
    'extended by ',
    'battery it ',
    'power is ',
    'ninety ',
    'at 5 ',
  ])('%j', { timeout: 30_000 }, (piece) => {
    expect(understand(fill(piece), { ...context, events: [] }).kind).toBeTypeOf('string')
  })
})
