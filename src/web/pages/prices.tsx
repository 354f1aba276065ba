// What a kWh costs and when, where charging by hand is welcome, and what the plan is to do with it.

import { pricesWords as words } from '../../words/index.ts'
import { Checkbox, Field, type FieldError, Hints, Post, Radio } from './form.tsx'
import { HabitPage, SaveButtons } from './habitPage.tsx'
import { WeeklyRow, errorOf } from './rows.tsx'

export type PricesPageProps = {
  /** As typed; a ticked box is `yes`. */
  readonly typed: Readonly<Record<string, string>>
  readonly rowsOf: (list: string) => readonly string[]
  readonly errors: readonly FieldError[]
  readonly saved: boolean
  readonly csrf: string
  readonly lang: string
}

export function PricesPage(props: PricesPageProps) {
  const { typed, rowsOf, errors, saved, csrf, lang } = props
  const shared = { typed, errors }
  const of = (name: string) => ({ name, value: typed[name], error: errorOf(errors, name) })
  const figure = { inputmode: 'decimal', narrow: true } as const
  const wrongActions = errorOf(errors, 'maxActions')
  return (
    <HabitPage words={words} errors={errors} saved={saved ? words.saved : null} lang={lang}>
      <p>{words.why}</p>
      <Post action="/prices" csrf={csrf}>
        <fieldset>
          <legend>
            <h2>{words.rates}</h2>
          </legend>
          <Field
            {...of('currency')}
            label={words.currency}
            hint={words.currencyHint}
            narrow
            maxlength={3}
          />
          <Field {...of('perKwh')} {...figure} label={words.perKwh} hint={words.perKwhHint} />
          <h3>{words.bands}</h3>
          <p class="hint">{words.bandsHint}</p>
          {rowsOf('band').map((row, i) => (
            <WeeklyRow {...shared} row={row} label={words.band(i + 1)}>
              <Field {...of(`${row}-price`)} {...figure} label={words.price} />
            </WeeklyRow>
          ))}
        </fieldset>
        <fieldset>
          <legend>
            <h2>{words.topUp}</h2>
          </legend>
          <p class="hint">{words.topUpHint}</p>
          {rowsOf('charge').map((row, i) => (
            <WeeklyRow {...shared} row={row} label={words.topUpRow(i + 1)} />
          ))}
          <Field
            {...of('maxChargeKw')}
            {...figure}
            label={words.maxChargeKw}
            hint={words.maxChargeKwHint}
          />
          <p class="hint">{words.freezing}</p>
        </fieldset>
        <fieldset>
          <legend>
            <h2>{words.holding}</h2>
          </legend>
          <Checkbox
            name="cheapest"
            label={words.cheapest}
            checked={typed['cheapest'] === 'yes'}
            error={errorOf(errors, 'cheapest')}
          />
          <fieldset id="maxActions" class={wrongActions === undefined ? undefined : 'field-wrong'}>
            <legend>{words.maxActions}</legend>
            <Hints id="maxActions" hint={words.maxActionsHint} error={wrongActions} />
            {Object.entries(words.actions).map(([many, label]) => (
              <Radio
                id={`maxActions-${many}`}
                name="maxActions"
                value={many}
                label={label}
                checked={Math.floor(Number(typed['maxActions']) / 2) * 2 === Number(many)}
              />
            ))}
          </fieldset>
          <Field
            {...of('rewardPerKwh')}
            {...figure}
            label={words.rewardPerKwh}
            hint={words.rewardHint}
          />
        </fieldset>
        <SaveButtons save={words.save} saveMore={words.saveMore} />
      </Post>
    </HabitPage>
  )
}
