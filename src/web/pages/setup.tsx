// Set-up and settings: the house and its battery first, the rest under "more". A form with something wrong comes back
// filled in as it was.

import { pageWords } from '../../words/index.ts'
import type { FieldError, FieldProps } from './form.tsx'
import { Checkbox, ErrorSummary, Field, Hints, Post, Radio, TextArea } from './form.tsx'
import { Layout } from './layout.tsx'

export type SetupFieldName = keyof typeof pageWords.fieldWrong

export type SetupProps = {
  /** As typed; a ticked box is `yes`. */
  readonly values: Readonly<Partial<Record<SetupFieldName, string>>>
  readonly errors: readonly (FieldError & { readonly field: SetupFieldName })[]
  /** Somebody depends on medical equipment and this page is to advise against taking part. */
  readonly medicalAnswer: 'yes' | 'no' | null
  /** IANA names, for the list of suggestions. */
  readonly zones: readonly string[]
  readonly csrf: string
  readonly action?: '/setup' | '/settings'
  readonly heading?: string
  readonly lang?: string
}

/** What an empty set-up form starts from. */
export const setupDefaults = {
  outageReservePct: '10',
  dischargeEfficiency: '0.95',
  chargeEfficiency: '0.95',
  standbyKw: '0',
  marginPct: '5',
  releaseLeadMinutes: '5',
  dayFirst: 'yes',
} as const satisfies SetupProps['values']

const MORE: readonly SetupFieldName[] = [
  'maxDischargeKw',
  'maxChargeKw',
  'dischargeEfficiency',
  'chargeEfficiency',
  'standbyKw',
  'marginPct',
  'rulePctPerHour',
  'ruleExtraHours',
  'releaseLeadMinutes',
  'webhookUrl',
  'calendarAlarms',
  'dayFirst',
]

/** No house stands on it: it is what a browser says that hides its zone. */
const isUtc = (zone: string | undefined): boolean => /^(Etc\/)?UTC$/i.test(zone?.trim() ?? '')

export function SetupPage(props: SetupProps) {
  const { values, errors, medicalAnswer, zones, csrf, lang = 'en' } = props
  const { action = '/setup', heading = pageWords.setup.title } = props
  const words = pageWords.setup
  const errorOf = (name: SetupFieldName) => errors.find(({ field }) => field === name)?.message
  const of = (name: SetupFieldName) => ({ name, value: values[name], error: errorOf(name) })
  const figure = { inputmode: 'decimal', narrow: true } as const
  const box = (name: 'calendarAlarms' | 'dayFirst') => (
    <Checkbox
      name={name}
      label={words[name]}
      checked={values[name] === 'yes'}
      error={errorOf(name)}
    />
  )
  const Figure = (
    field: {
      readonly name: Exclude<keyof typeof words & SetupFieldName, never>
    } & Partial<FieldProps>,
  ) => (
    <Field
      {...figure}
      {...of(field.name)}
      label={words[field.name]}
      {...(field.hint === undefined ? {} : { hint: field.hint })}
      {...(field.required ? { required: true } : {})}
    />
  )
  return (
    <Layout title={heading} lang={lang} scripts={['/zone.js']} wrong={errors.length > 0}>
      <ErrorSummary errors={errors} />
      <h1>{heading}</h1>
      {action === '/settings' ? (
        <p>
          <a href="/plan">{words.back}</a>
        </p>
      ) : null}
      <Post action={action} csrf={csrf}>
        {medicalAnswer === 'yes' ? (
          <MedicalAdvice
            acknowledged={values.medicalAcknowledged === 'yes'}
            error={errorOf('medicalAcknowledged')}
          />
        ) : null}
        <fieldset>
          <legend>
            <h2>{words.four}</h2>
          </legend>
          <Figure name="capacityKwh" hint={words.capacityKwhHint} required />
          <Figure name="outageReservePct" hint={words.outageReservePctHint} />
          <Figure name="loadKw" hint={words.loadKwHint} />
          <Field
            {...of('timeZone')}
            label={words.timeZone}
            hint={words.timeZoneHint}
            list="zones"
            required
          />
          <p id="utc" class="notice" role="status" hidden={!isUtc(values.timeZone)}>
            {words.utc}
          </p>
          <datalist id="zones">
            {zones.map((zone) => (
              <option value={zone}></option>
            ))}
          </datalist>
        </fieldset>
        <fieldset id="medical" class={errorOf('medical') === undefined ? undefined : 'field-wrong'}>
          <legend>{words.medical}</legend>
          <Hints id="medical" hint={undefined} error={errorOf('medical')} />
          <Radio
            id="medical-yes"
            name="medical"
            value="yes"
            label={words.yes}
            checked={values.medical === 'yes'}
          />
          <Radio
            id="medical-no"
            name="medical"
            value="no"
            label={words.no}
            checked={values.medical === 'no'}
          />
        </fieldset>
        <fieldset>
          <legend>{words.night}</legend>
          <p class="hint">{words.nightHint}</p>
          <div class="pair">
            <Field {...of('nightChargeFrom')} label={words.nightChargeFrom} type="time" />
            <Field {...of('nightChargeUntil')} label={words.nightChargeUntil} type="time" />
          </div>
        </fieldset>
        <fieldset>
          <legend>
            <h2>{words.now}</h2>
          </legend>
          {action === '/setup' ? <Figure name="socPct" hint={words.socPctHint} /> : null}
          <TextArea
            {...of('howToHold')}
            label={words.howToHold}
            hint={words.howToHoldHint}
            maxlength={300}
          />
          <TextArea {...of('howToRelease')} label={words.howToRelease} maxlength={300} />
          <Field {...of('name')} label={words.name} hint={words.nameHint} maxlength={60} />
        </fieldset>
        <details open={errors.some(({ field }) => MORE.includes(field))}>
          <summary>{words.more}</summary>
          <p class="hint">{words.moreHint}</p>
          <div class="pair">
            <Figure name="maxDischargeKw" />
            <Figure name="maxChargeKw" />
            <Figure name="dischargeEfficiency" />
            <Figure name="chargeEfficiency" />
            <Figure name="standbyKw" />
            <Figure name="marginPct" />
          </div>
          <Figure name="releaseLeadMinutes" />
          <fieldset>
            <legend>{words.rule}</legend>
            <p class="hint">{words.ruleHint}</p>
            <div class="pair">
              <Figure name="rulePctPerHour" />
              <Figure name="ruleExtraHours" />
            </div>
          </fieldset>
          <Field
            {...of('webhookUrl')}
            label={words.webhookUrl}
            hint={words.webhookUrlHint}
            type="url"
          />
          {box('calendarAlarms')}
          {box('dayFirst')}
        </details>
        <p>
          <button type="submit" class="main-button">
            {action === '/setup' ? words.save : words.saveSettings}
          </button>
        </p>
      </Post>
    </Layout>
  )
}

const MedicalAdvice = (props: {
  readonly acknowledged: boolean
  readonly error: string | undefined
}) => (
  <section class="advice" aria-labelledby="advice" tabindex={-1} autofocus>
    <p>
      <strong id="advice">{pageWords.medical.advice}</strong>
    </p>
    <p>{pageWords.medical.why}</p>
    <p>{pageWords.medical.doInstead}</p>
    <p>{pageWords.medical.never}</p>
    <p>{pageWords.medical.unsaved}</p>
    <p>
      <a class="button main-button" href="/">
        {pageWords.medical.stop}
      </a>
    </p>
    <Checkbox
      name="medicalAcknowledged"
      label={pageWords.medical.goOn}
      checked={props.acknowledged}
      error={props.error}
    />
  </section>
)
