// The forms that add a way to tell somebody. One that this installation is not set up for says so instead.

import type { Child } from 'hono/jsx'
import type { Household } from '../../reminder/index.ts'
import { channelsPageWords as words } from '../../words/index.ts'
import type { SetUp } from './channels.tsx'
import { Field, type FieldError, type FieldProps, Hints, Post } from './form.tsx'
import { errorOf } from './rows.tsx'

export type AddFormsProps = {
  readonly household: Household
  readonly setUp: SetUp
  /** A topic that nobody can guess. */
  readonly freshTopic: string
  /** The form that came back, as typed. */
  readonly typed: {
    readonly form: string
    readonly fields: Readonly<Record<string, string>>
  } | null
  readonly errors: readonly FieldError[]
  readonly csrf: string
}

type FormName = 'push' | 'telegram' | 'mail' | 'publish'

export const AddForms = (props: AddFormsProps) => {
  const { setUp, freshTopic, csrf } = props
  const { push, telegram, mail, publish } = words
  return (
    <section id="add">
      <h2>{words.add}</h2>
      <Way {...props} form="push" usable={setUp.push !== null}>
        <p>{push.what}</p>
        <p class="hint">{push.phone}</p>
        <noscript>
          <p class="notice">{push.script}</p>
        </noscript>
        <form
          method="post"
          action="/channels/push"
          id="push-form"
          data-key={setUp.push}
          data-endpoints={endpointsOf(props.household).join(' ')}
          data-ios={push.ios}
          data-unsupported={push.unsupported}
          data-denied={push.denied}
          data-failed={push.failed}
        >
          <input type="hidden" name="csrf" value={csrf} />
          {['endpoint', 'p256dh', 'auth', 'replaces'].map((name) => (
            <input type="hidden" name={name} value="" />
          ))}
          <Whose {...props} form="push" />
          <Hints id="push-go" hint={undefined} error={errorOf(props.errors, 'push-go')} />
          <button type="submit" id="push-go">
            {push.go}
          </button>
        </form>
      </Way>
      <Way {...props} form="mail" usable={setUp.mail}>
        <p>{mail.what}</p>
        <Post action="/channels/mail" csrf={csrf}>
          <Typed {...props} form="mail" name="address" label={mail.address} maxlength={254} />
          <Whose {...props} form="mail" />
          <button type="submit">{mail.go}</button>
        </Post>
      </Way>
      <Way {...props} form="telegram" usable={setUp.telegram}>
        <p>{telegram.what}</p>
        <Post action="/channels/telegram" csrf={csrf}>
          <Person {...props} form="telegram" />
          <button type="submit">{telegram.go}</button>
        </Post>
      </Way>
      <Way {...props} form="publish" usable>
        <p>{publish.what}</p>
        <Post action="/channels/publish" csrf={csrf}>
          <Typed {...props} form="publish" name="server" label={publish.server} type="url" />
          <Typed
            {...props}
            form="publish"
            name="topic"
            label={publish.topic}
            hint={publish.topicHint}
            otherwise={freshTopic}
            maxlength={64}
          />
          <Typed {...props} form="publish" name="token" label={publish.token} maxlength={512} />
          <Whose {...props} form="publish" />
          <button type="submit">{publish.go}</button>
        </Post>
      </Way>
    </section>
  )
}

type Inside = AddFormsProps & { readonly form: FormName }

const typedIn = ({ typed, form }: Inside, name: string): string | undefined =>
  typed?.form === form ? typed.fields[name] : undefined

const Way = (props: Inside & { readonly usable: boolean; readonly children?: Child }) => {
  const { form, usable, children } = props
  return (
    <details id={`add-${form}`} open={props.typed?.form === form}>
      <summary>{words[form].heading}</summary>
      {usable ? children : <p>{notSetUp(form)}</p>}
    </details>
  )
}

/** Where pushes go; or would, if the browser had not changed its address. One that was turned off stays so. */
const endpointsOf = ({ channels }: Household): readonly string[] =>
  channels.flatMap(({ target, state, last }) =>
    target.kind === 'push' && (state === 'on' || last?.outcome === 'gone') ? [target.endpoint] : [],
  )

const notSetUp = (form: FormName): string => (form === 'publish' ? '' : words[form].notSetUp)

/** A field of one of several forms, as it was typed there. */
const Typed = (
  props: Inside & { readonly otherwise?: string } & Pick<
      FieldProps,
      'name' | 'label' | 'hint' | 'type' | 'maxlength'
    >,
) => {
  const { form, name, errors, otherwise = '' } = props
  const id = `${form}-${name}`
  return (
    <Field
      {...{ id, name, label: props.label }}
      {...(props.hint === undefined ? {} : { hint: props.hint })}
      {...(props.type === undefined ? {} : { type: props.type })}
      {...(props.maxlength === undefined ? {} : { maxlength: props.maxlength })}
      value={typedIn(props, name) ?? otherwise}
      error={errorOf(errors, id)}
    />
  )
}

/** For whom it is, and what they call it. */
const Whose = (props: Inside & { readonly form: Exclude<FormName, 'telegram'> }) => (
  <>
    <Person {...props} />
    <Typed
      {...props}
      name="label"
      label={words.label}
      otherwise={words[props.form].label}
      maxlength={40}
    />
  </>
)

const Person = (props: Inside) => {
  const { household, form } = props
  const known = [
    ...new Set([
      ...household.settings.people.map(({ name }) => name),
      ...household.channels.map(({ person }) => person),
    ]),
  ]
  const chosen = typedIn(props, 'person') ?? known[0] ?? ''
  const id = `${form}-person`
  return (
    <>
      {known.length === 0 ? null : (
        <div class="field">
          <label for={id}>{words.person}</label>
          <select id={id} name="person">
            {known.map((name) => (
              <option value={name} selected={name === chosen}>
                {name}
              </option>
            ))}
            <option value="" selected={chosen === ''}>
              {words.somebodyElse}
            </option>
          </select>
        </div>
      )}
      <Typed
        {...props}
        name="other"
        label={known.length === 0 ? words.otherFirst : words.other}
        maxlength={60}
      />
    </>
  )
}
