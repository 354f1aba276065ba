// How sure a plan from past days shall be, and how often somebody is asked to look: two choices, with what they cost.

import type { Settings } from '../../reminder/index.ts'
import { meterPageWords } from '../../words/index.ts'
import { Post, Radio } from './form.tsx'

/** Shares of days that can be chosen on the page; the API takes any from 0.5 to 0.99. */
const SURE = [0.8, 0.9, 0.95, 0.99] as const
const LOOKS = [0, 1, 2, 3, 4] as const

export const Certainty = (props: {
  readonly settings: Pick<Settings, 'confidence' | 'maxReadings'>
  readonly csrf: string
}) => {
  const words = meterPageWords.certainty
  const { confidence, maxReadings } = props.settings
  return (
    <section aria-labelledby="certainty">
      <h2 id="certainty">{words.heading}</h2>
      <Post action="/meter/certainty" csrf={props.csrf}>
        <fieldset>
          <legend>{words.sure}</legend>
          <span class="hint">{words.sureHint}</span>
          {withOwn(SURE, confidence).map((share) => (
            <Radio
              id={`sure-${share}`}
              name="confidence"
              value={String(share)}
              label={words.days(share)}
              checked={share === confidence}
            />
          ))}
        </fieldset>
        <fieldset>
          <legend>{words.looks}</legend>
          <span class="hint">{words.looksHint}</span>
          {withOwn(LOOKS, maxReadings).map((count) => (
            <Radio
              id={`looks-${count}`}
              name="maxReadings"
              value={String(count)}
              label={words.times(count)}
              checked={count === maxReadings}
            />
          ))}
        </fieldset>
        <button type="submit">{words.save}</button>
      </Post>
    </section>
  )
}

/** What was set over the API is among the choices too. */
const withOwn = (choices: readonly number[], own: number): readonly number[] =>
  [...new Set([...choices, own])].toSorted((a, b) => a - b)
