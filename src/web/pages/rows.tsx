// A row of a form for a pattern of the week: seven boxes, from, until. A group with its name, for who hears the page.

import type { Child } from 'hono/jsx'
import { peopleWords as words } from '../../words/index.ts'
import { Field, type FieldError, Hints } from './form.tsx'

export type RowProps = {
  /** The prefix of its fields' names. */
  readonly row: string
  readonly label: string
  readonly typed: Readonly<Record<string, string>>
  readonly errors: readonly FieldError[]
  readonly children?: Child
}

export const errorOf = (errors: readonly FieldError[], field: string): string | undefined =>
  errors.find((each) => each.field === field)?.message

export const WeeklyRow = (props: RowProps) => {
  const { row, label, typed, errors, children } = props
  const wrongDays = errorOf(errors, `${row}-d1`)
  return (
    <fieldset class={wrongDays === undefined ? 'row' : 'row field-wrong'}>
      <legend class="unseen">{label}</legend>
      <Hints id={`${row}-d1`} hint={undefined} error={wrongDays} />
      <div class="days">
        {words.day.map((short, i) => (
          <label>
            <input
              id={`${row}-d${i + 1}`}
              type="checkbox"
              name={`${row}-d${i + 1}`}
              value="yes"
              checked={typed[`${row}-d${i + 1}`] === 'yes'}
              aria-label={words.dayLong[i]}
              aria-describedby={wrongDays === undefined ? undefined : `${row}-d1-wrong`}
            />
            <span aria-hidden="true">{short}</span>
          </label>
        ))}
      </div>
      <Times row={row} typed={typed} errors={errors} type="time" />
      {children}
    </fieldset>
  )
}

export const Times = (props: {
  readonly row: string
  readonly typed: Readonly<Record<string, string>>
  readonly errors: readonly FieldError[]
  readonly type: 'time' | 'datetime-local'
}) => {
  const { row, typed, errors, type } = props
  const wrong = errorOf(errors, `${row}-from`) ?? errorOf(errors, `${row}-until`)
  const wrongAt = wrong === undefined ? undefined : `${row}-from-wrong`
  return (
    <div class={wrong === undefined ? undefined : 'field-wrong'}>
      <Hints id={`${row}-from`} hint={undefined} error={wrong} />
      <div class={type === 'time' ? 'pair' : undefined}>
        {(['from', 'until'] as const).map((end) => (
          <Field
            name={`${row}-${end}`}
            label={words[end]}
            type={type}
            value={typed[`${row}-${end}`]}
            wrongAt={wrongAt}
          />
        ))}
      </div>
    </div>
  )
}
