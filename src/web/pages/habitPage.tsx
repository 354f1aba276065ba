// The frame of each page of a household's habits: the way back, what was saved, why to fill it in.

import type { Child } from 'hono/jsx'
import { ErrorSummary, type FieldError } from './form.tsx'
import { Layout } from './layout.tsx'

export const HabitPage = (props: {
  readonly words: { readonly title: string; readonly back: string }
  readonly errors: readonly FieldError[]
  /** What is said of a form that was kept a moment ago; `null` where none was. */
  readonly saved: string | null
  readonly lang: string
  readonly scripts?: readonly string[]
  readonly children?: Child
}) => (
  <Layout
    title={props.words.title}
    lang={props.lang}
    scripts={props.scripts ?? []}
    wrong={props.errors.length > 0}
  >
    <ErrorSummary errors={props.errors} />
    <h1>{props.words.title}</h1>
    <p>
      <a href="/plan">{props.words.back}</a>
    </p>
    {props.saved === null ? null : (
      <p class="notice" role="status">
        {props.saved}
      </p>
    )}
    {props.children}
  </Layout>
)

/** Save; and where rows can be added, save and show one more. */
export const SaveButtons = (props: { readonly save: string; readonly saveMore?: string }) => (
  <>
    <p>
      <button type="submit" class="main-button">
        {props.save}
      </button>
    </p>
    {props.saveMore === undefined ? null : (
      <p>
        <button type="submit" name="more" value="yes">
          {props.saveMore}
        </button>
      </p>
    )}
  </>
)
