// What the sun gives: nothing, an energy of a day, or an array and its place; and what the plan counts on. Works without a script.

import { sunWords as words } from '../../words/index.ts'
import { Field, type FieldError, Hints, Post, Radio } from './form.tsx'
import { HabitPage, SaveButtons } from './habitPage.tsx'
import { errorOf } from './rows.tsx'

export type SunPageProps = {
  readonly typed: Readonly<Record<string, string>>
  readonly errors: readonly FieldError[]
  /** What is expected today and for the next event; empty where nothing is counted on. */
  readonly expected: readonly string[]
  /** The place is a suggestion. */
  readonly about: boolean
  readonly saved: boolean
  readonly csrf: string
  readonly lang: string
}

export function SunPage(props: SunPageProps) {
  const { typed, errors, expected, about, saved, csrf, lang } = props
  const of = (name: string) => ({ name, value: typed[name], error: errorOf(errors, name) })
  const figure = { inputmode: 'decimal', narrow: true } as const
  // A minus is not on a phone's figures.
  const signed = { inputmode: 'text', narrow: true } as const
  const choice = (kind: keyof typeof words.kind) => (
    <Radio
      id={kind === 'none' ? 'kind' : `kind-${kind}`}
      name="kind"
      value={kind}
      label={words.kind[kind]}
      checked={(typed['kind'] ?? 'none') === kind}
    />
  )
  const wrongKind = errorOf(errors, 'kind')
  return (
    <HabitPage
      words={words}
      errors={errors}
      saved={saved ? (expected.length === 0 ? words.savedNone : words.saved) : null}
      lang={lang}
    >
      {expected.length === 0 ? null : (
        <section aria-labelledby="expected">
          <h2 id="expected">{words.expected}</h2>
          {expected.map((each) => (
            <p>{each}</p>
          ))}
        </section>
      )}
      <p>{words.why}</p>
      <Post action="/sun" csrf={csrf}>
        <fieldset>
          <legend>
            <h2>{words.question}</h2>
          </legend>
          <div class={wrongKind === undefined ? undefined : 'field-wrong'}>
            <Hints id="kind" hint={undefined} error={wrongKind} />
            {choice('none')}
          </div>
          {choice('energy')}
          <div class="under">
            <Field
              {...of('kwhPerDay')}
              {...figure}
              label={words.kwhPerDay}
              hint={words.kwhPerDayHint}
            />
          </div>
          {choice('array')}
          <div class="under">
            <Field {...of('kwp')} {...figure} label={words.kwp} hint={words.kwpHint} />
            <Field {...of('tiltDeg')} {...figure} label={words.tiltDeg} hint={words.tiltDegHint} />
            <Facing value={typed['facing'] ?? ''} error={errorOf(errors, 'facing')} />
            <Field
              {...of('azimuthDeg')}
              {...figure}
              label={words.azimuthDeg}
              hint={words.azimuthDegHint}
            />
            <h3>{words.where}</h3>
            <p class="hint">{about ? words.about : words.whereHint}</p>
            <Field
              {...of('latitude')}
              {...signed}
              label={words.latitude}
              hint={words.latitudeHint}
            />
            <Field
              {...of('longitude')}
              {...signed}
              label={words.longitude}
              hint={words.longitudeHint}
            />
          </div>
        </fieldset>
        <SaveButtons save={words.save} />
      </Post>
    </HabitPage>
  )
}

const Facing = (props: { readonly value: string; readonly error: string | undefined }) => {
  const { value, error } = props
  return (
    <div class={error === undefined ? 'field' : 'field field-wrong'}>
      <label for="facing">{words.facing}</label>
      <Hints id="facing" hint={words.facingHint} error={error} />
      <select
        id="facing"
        name="facing"
        class="narrow"
        aria-describedby={error === undefined ? 'facing-hint' : 'facing-hint facing-wrong'}
        aria-invalid={error === undefined ? undefined : 'true'}
      >
        <option value="">{words.choose}</option>
        {words.compass.map((name, i) => (
          <option value={String(i * 45)} selected={value === String(i * 45)}>
            {name}
          </option>
        ))}
      </select>
    </div>
  )
}
