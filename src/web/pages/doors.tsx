// The first visit: what it does, and the ways in.

import { pageWords } from '../../words/en/pages.ts'
import { Post } from './form.tsx'
import { Layout } from './layout.tsx'

export const DoorsPage = ({
  csrf,
  lang = 'en',
}: {
  readonly csrf: string
  readonly lang?: string
}) => (
  <Layout title={pageWords.doors.title} lang={lang}>
    <h1>{pageWords.doors.title}</h1>
    <p>{pageWords.doors.job}</p>
    <ul class="doors">
      <li>
        <p>{pageWords.doors.setUpHint}</p>
        <a class="button main-button" href="/setup">
          {pageWords.doors.setUp}
        </a>
      </li>
      <li>
        <p>{pageWords.doors.demoHint}</p>
        <Post action="/demo" csrf={csrf}>
          <button type="submit">{pageWords.doors.demo}</button>
        </Post>
      </li>
      <li>
        {pageWords.doors.openHint} <a href="/open">{pageWords.doors.open}</a>
      </li>
    </ul>
  </Layout>
)
