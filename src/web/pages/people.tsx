// Who can reach the battery, and when not: for each a name, weekly times, absences and the night. Works without a script:
// each list has a spare row, and saving shows another.

import { peopleWords as words } from '../../words/index.ts'
import { Field, type FieldError, Post } from './form.tsx'
import { HabitPage, SaveButtons } from './habitPage.tsx'
import { Times, WeeklyRow, errorOf } from './rows.tsx'

export type PeoplePageProps = {
  /** As typed; a ticked box is `yes`. */
  readonly typed: Readonly<Record<string, string>>
  /** The prefix of each person's fields. */
  readonly people: readonly string[]
  readonly rowsOf: (list: string) => readonly string[]
  readonly errors: readonly FieldError[]
  readonly saved: boolean
  readonly csrf: string
  readonly lang: string
}

export function PeoplePage(props: PeoplePageProps) {
  const { people, errors, saved, csrf, lang } = props
  return (
    <HabitPage words={words} errors={errors} saved={saved ? words.saved : null} lang={lang}>
      <p>{words.why}</p>
      <p class="hint">{words.nobody}</p>
      <Post action="/people" csrf={csrf}>
        {people.map((who, i) => (
          <PersonFields {...props} who={who} last={i === people.length - 1} />
        ))}
        <SaveButtons save={words.save} saveMore={words.saveMore} />
      </Post>
    </HabitPage>
  )
}

const PersonFields = (
  props: PeoplePageProps & { readonly who: string; readonly last: boolean },
) => {
  const { who, last, typed, errors, people, rowsOf } = props
  const name = typed[`${who}-name`] ?? ''
  const shared = { typed, errors }
  const heading = name !== '' ? name : people.length === 1 ? words.first : words.another
  // The spare one is out of the way once somebody is listed.
  const spare = last && people.length > 1 && name === '' && errors.length === 0
  const fields = (
    <>
      <Field
        name={`${who}-name`}
        label={words.name}
        {...(name === '' ? {} : { hint: words.nameHint })}
        value={name}
        error={errorOf(errors, `${who}-name`)}
        maxlength={60}
      />
      <h3>{words.away}</h3>
      <p class="hint">{words.awayHint}</p>
      {rowsOf(`${who}-away`).map((row, i) => (
        <WeeklyRow {...shared} row={row} label={words.awayRow(i + 1)} />
      ))}
      <h3>{words.quiet}</h3>
      <p class="hint">{words.quietHint}</p>
      <fieldset class="row">
        <legend class="unseen">{words.quiet}</legend>
        <Times {...shared} row={`${who}-quiet`} type="time" />
      </fieldset>
      <h3>{words.absences}</h3>
      <p class="hint">{words.absencesHint}</p>
      {rowsOf(`${who}-once`).map((row, i) => (
        <fieldset class="row">
          <legend class="unseen">{words.absenceRow(i + 1)}</legend>
          <Times {...shared} row={row} type="datetime-local" />
        </fieldset>
      ))}
    </>
  )
  return (
    <fieldset>
      {spare ? (
        <details>
          <summary>{heading}</summary>
          {fields}
        </details>
      ) : (
        <>
          <legend>
            <h2>{heading}</h2>
          </legend>
          {fields}
        </>
      )}
    </fieldset>
  )
}
