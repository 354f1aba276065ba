// The way back in: the household's link, pasted, or carried in the address's fragment and moved into the
// form by open.js, so that it never reaches a log.

import { pageWords } from '../../words/index.ts'
import type { FieldError } from './form.tsx'
import { ErrorSummary, Field, Post } from './form.tsx'
import { Layout } from './layout.tsx'

export const OpenPage = (props: {
  readonly csrf: string
  readonly lang?: string
  readonly errors?: readonly FieldError[]
}) => {
  const { csrf, lang = 'en', errors = [] } = props
  return (
    <Layout
      title={pageWords.open.title}
      lang={lang}
      scripts={['/open.js']}
      wrong={errors.length > 0}
    >
      <ErrorSummary errors={errors} />
      <h1>{pageWords.open.title}</h1>
      <Post action="/open" csrf={csrf} class="open">
        <Field
          name="key"
          label={pageWords.open.label}
          hint={pageWords.open.hint}
          error={errors.find(({ field }) => field === 'key')?.message}
          required
        />
        <button type="submit" class="main-button">
          {pageWords.open.go}
        </button>
      </Post>
    </Layout>
  )
}
