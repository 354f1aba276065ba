// The page of one reminder, as a link in a message opens it.

import { describe, expect, test } from 'vitest'
import { answerPage, at, household, meter, reminder, sentHold } from './given.tsx'

const later = { label: 'In 10 minutes', does: 'later' } as const

describe('the page of one reminder', () => {
  test('says it anew, in words that are right now', () => {
    const late = answerPage({ now: at('2027-01-14T16:40:00-04:00') })
    expect(late).toMatch(/Hold now\. It was to be by 16:2\d/)
    expect(answerPage()).toMatch(/Hold by 16:2\d/)
  })

  test('says what was sent where the plan is not there any more', () => {
    const text = 'Hold by 16:28.'
    const gone = { household: { ...household, plan: null }, reminder: { ...sentHold, text } }
    expect(answerPage(gone)).toContain(text)
    // Or where it would take the past days that the page is not given.
    const late = { now: at('2027-01-14T16:40:00-04:00'), reminder: { ...sentHold, text } }
    expect(answerPage({ ...late, household: { ...household, meter } })).toContain(text)
  })

  test('has a button for each tap, and the one for "done" alone has the accent', () => {
    const html = answerPage({ taps: [{ label: 'Done: it is paused', does: 'done' }, later] })
    expect(html).toContain('<button type="submit" name="do" value="done" class="due">')
    expect(html).toContain('<button type="submit" name="do" value="later">')
    expect(html.match(/class="due"/g)).toHaveLength(1)
  })

  test('asks for a number where a reading or an outcome is asked for', () => {
    const asks = (kind: 'reading' | 'outcome' | 'hold' | 'restore') =>
      answerPage({
        reminder: reminder(kind, '2027-01-14T16:00:00-04:00', { state: 'sent' }),
      }).includes('name="socPct"')
    expect([asks('reading'), asks('outcome'), asks('hold'), asks('restore')]).toEqual([
      true,
      true,
      false,
      false,
    ])
  })

  test('says who answered, and lets it be taken back while that helps', () => {
    const done = { ...sentHold, state: 'acknowledged' } as const
    const html = answerPage({ reminder: done })
    expect(html).toContain('Done: Ada said so at 16:19.')
    expect(html).toContain('value="not-yet"')
    expect(html).not.toContain('value="done"')
    expect(answerPage({ reminder: done, now: done.uselessAfter })).not.toContain('not-yet')
  })

  test('asks for nothing once it is over', () => {
    for (const over of [
      { reminder: { ...sentHold, state: 'replaced' as const } },
      { reminder: { ...sentHold, state: 'lapsed' as const } },
      { now: sentHold.uselessAfter },
    ])
      expect(answerPage({ ...over, settled: 'This is over.' })).not.toContain('<button')
  })
})
