// The one button: what a person is to do now. The only accent on the page.

import type { Household } from '../../reminder/index.ts'
import { pageWords } from '../../words/index.ts'
import type { Due } from './answer.ts'
import { Post } from './form.tsx'

export const DueNow = (props: {
  readonly due: Due
  readonly household: Household
  readonly csrf: string
}) => {
  const { due, household, csrf } = props
  const words = pageWords.due
  const { howToHold, howToRelease } = household.settings
  const how = due.kind === 'hold' ? howToHold : howToRelease
  const path = `/reminders/${encodeURIComponent(due.reminder.key)}`
  return (
    <section class="due-now" aria-label={words.heading}>
      {due.kind === 'restore' ? <p>{words.restoreLine}</p> : null}
      {how === '' ? null : <p>{words.how(how)}</p>}
      <Post action={`${path}/acknowledge`} csrf={csrf}>
        <button type="submit" class="due">
          {words[due.kind]}
        </button>
      </Post>
      <Post action={`${path}/snooze`} csrf={csrf}>
        <input type="hidden" name="minutes" value="10" />
        <button type="submit">{words.snooze}</button>
      </Post>
    </section>
  )
}
