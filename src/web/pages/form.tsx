// The parts that forms are made of: a POST with its csrf value, a labelled field with its hint and its error, and the
// summary of errors at the top (the GOV.UK Design System's error summary pattern).

import type { Child } from 'hono/jsx'
import { pageWords } from '../../words/index.ts'

export type FieldError = { readonly field: string; readonly message: string }

export const Post = (props: {
  readonly action: string
  readonly csrf: string
  readonly class?: string
  readonly children?: Child
}) => (
  <form method="post" action={props.action} class={props.class}>
    <input type="hidden" name="csrf" value={props.csrf} />
    {props.children}
  </form>
)

export type FieldProps = {
  readonly name: string
  readonly label: string
  readonly hint?: string
  readonly error?: string | undefined
  readonly value?: string | undefined
  readonly type?: 'text' | 'date' | 'time' | 'datetime-local' | 'url'
  /** `decimal` brings up the figures on a phone; a text field all the same, so that "9,6" can be understood. */
  readonly inputmode?: 'decimal' | 'numeric' | 'text' | 'url'
  readonly list?: string
  readonly required?: boolean
  readonly narrow?: boolean
  /** Where several forms on a page have a field of the same name. */
  readonly id?: string
  readonly placeholder?: string
  readonly autocomplete?: string
  readonly maxlength?: number
  /** What is wrong with it is said elsewhere, under this id. */
  readonly wrongAt?: string | undefined
}

const describedBy = (id: string, hint: unknown, error: unknown): string | undefined =>
  [...(hint ? [`${id}-hint`] : []), ...(error ? [`${id}-wrong`] : [])].join(' ') || undefined

export function Field(props: FieldProps) {
  const { name, label, hint, error, value, type = 'text', id = name } = props
  return (
    <div class={error === undefined ? 'field' : 'field field-wrong'}>
      <label for={id}>{label}</label>
      <Hints id={id} hint={hint} error={error} />
      <input
        id={id}
        name={name}
        type={type}
        value={value}
        class={props.narrow ? 'narrow' : undefined}
        inputmode={props.inputmode}
        list={props.list}
        required={props.required}
        placeholder={props.placeholder}
        autocomplete={props.autocomplete ?? 'off'}
        maxlength={props.maxlength}
        aria-describedby={props.wrongAt ?? describedBy(id, hint, error)}
        aria-invalid={error === undefined && props.wrongAt === undefined ? undefined : 'true'}
      />
    </div>
  )
}

export function TextArea(props: Omit<FieldProps, 'type' | 'list' | 'inputmode'>) {
  const { name, label, hint, error, value, id = name } = props
  return (
    <div class={error === undefined ? 'field' : 'field field-wrong'}>
      <label for={id}>{label}</label>
      <Hints id={id} hint={hint} error={error} />
      <textarea
        id={id}
        name={name}
        rows={2}
        maxlength={props.maxlength}
        aria-describedby={describedBy(id, hint, error)}
        aria-invalid={error === undefined ? undefined : 'true'}
      >
        {value}
      </textarea>
    </div>
  )
}

export const Hints = (props: {
  readonly id: string
  readonly hint: string | undefined
  readonly error: string | undefined
}) => (
  <>
    {props.hint === undefined ? null : (
      <span class="hint" id={`${props.id}-hint`}>
        {props.hint}
      </span>
    )}
    {props.error === undefined ? null : (
      <span class="message" id={`${props.id}-wrong`}>
        {props.error}
      </span>
    )}
  </>
)

export const Checkbox = (props: {
  readonly name: string
  readonly label: string
  readonly checked: boolean
  readonly error?: string | undefined
  readonly required?: boolean
  /** Where a page has several of the name. */
  readonly id?: string
}) => (
  <div class={props.error === undefined ? 'field' : 'field field-wrong'}>
    <Hints id={props.id ?? props.name} hint={undefined} error={props.error} />
    <label class="choice">
      <input
        id={props.id ?? props.name}
        type="checkbox"
        name={props.name}
        value="yes"
        checked={props.checked}
        required={props.required}
        aria-describedby={describedBy(props.id ?? props.name, undefined, props.error)}
      />
      {props.label}
    </label>
  </div>
)

export const Radio = (props: {
  readonly id: string
  readonly name: string
  readonly value: string
  readonly label: string
  readonly checked: boolean
}) => (
  <label class="choice">
    <input
      id={props.id}
      type="radio"
      name={props.name}
      value={props.value}
      checked={props.checked}
    />
    {props.label}
  </label>
)

// The alert is on the inner element: on the outer one it broke a screen reader. It is no heading: it stands above the
// page's first one.
export const ErrorSummary = ({ errors }: { readonly errors: readonly FieldError[] }) =>
  errors.length === 0 ? null : (
    <div class="wrong" id="wrong" tabindex={-1} autofocus>
      <div role="alert">
        <p class="what">{pageWords.setup.wrong}</p>
        <ul>
          {errors.map(({ field, message }) => (
            <li>
              <a href={`#${field}`}>{message}</a>
            </li>
          ))}
        </ul>
      </div>
    </div>
  )
