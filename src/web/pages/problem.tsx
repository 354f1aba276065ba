// Trouble: what happened, and what to do.

import { pageWords } from '../../words/index.ts'
import { Layout } from './layout.tsx'

export const ProblemPage = (props: {
  readonly heading: string
  readonly what: string
  readonly doNext: string
  readonly lang?: string
}) => (
  <Layout title={props.heading} lang={props.lang ?? 'en'}>
    <h1>{props.heading}</h1>
    <p>{props.what}</p>
    <p>{props.doNext}</p>
    <p>
      <a href="/">{pageWords.problem.back}</a>
    </p>
  </Layout>
)
