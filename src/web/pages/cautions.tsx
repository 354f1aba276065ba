// What everybody who takes part should know.

import { pageWords } from '../../words/index.ts'

export const Cautions = () => (
  <section aria-labelledby="cautions">
    <h2 id="cautions">{pageWords.cautions.heading}</h2>
    <ul>
      {pageWords.cautions.list.map((each) => (
        <li>{each}</li>
      ))}
    </ul>
  </section>
)
