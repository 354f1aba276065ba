// What a person is to do now: with the hands, or to look at the display. The only accent on the page.

import type { Household } from '../../reminder/index.ts'
import { type Format, pageWords } from '../../words/index.ts'
import type { Answer, Asked, Due } from './answer.ts'
import { ReadingForm, type Refused } from './events.tsx'
import { Post } from './form.tsx'

export const DueNow = (props: {
  readonly due: Due
  readonly household: Household
  readonly csrf: string
}) => {
  const { due, household, csrf } = props
  const words = pageWords.due
  const { howToHold, howToRelease } = household.settings
  const how = { hold: howToHold, release: howToRelease, restore: howToRelease, overnight: '' }[
    due.kind
  ]
  const path = `/reminders/${encodeURIComponent(due.reminder.key)}`
  return (
    <section class="due-now" aria-label={words.heading}>
      {due.kind === 'overnight' ? <p>{due.reminder.text}</p> : null}
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

/** The question what the display shows, for a reading that is asked for or that nothing can be planned without. */
export const LookNow = (props: {
  readonly asked: Asked | null
  readonly answer: Answer
  readonly household: Household
  readonly f: Format
  readonly csrf: string
  readonly refused: Refused
  /** Nothing is asked of hands: this comes first, and has the accent. */
  readonly first: boolean
}) => {
  const { asked, answer, household, f, csrf, refused, first } = props
  const words = pageWords.due
  const { howToHold } = household.settings
  // With a plan, the display alone says whether to hold; once that is asked for, nothing more needs saying.
  const plan =
    first && asked?.kind === 'reading' && 'plan' in answer && answer.event.id === asked.event.id
      ? answer.plan
      : null
  return (
    <section class="due-now" aria-label={first ? words.heading : words.lookHeading}>
      {asked === null || plan === null ? null : (
        <p>{words.look(f.pct(plan.holdAtPct), f.time(plan.releaseAt))}</p>
      )}
      {plan === null || howToHold === '' ? null : <p>{words.how(howToHold)}</p>}
      {asked?.kind !== 'outcome' || answer.kind === 'over' ? null : (
        <p>
          {words.outcome(f.day(asked.event.start), f.range(asked.event.start, asked.event.end))}
        </p>
      )}
      <ReadingForm csrf={csrf} due={first} refused={refused} />
      {plan === null ? null : (
        <Post action="/messages" csrf={csrf}>
          <input type="hidden" name="text" value="held" />
          <button type="submit">{words.hold}</button>
        </Post>
      )}
    </section>
  )
}
