// The first visit: what it does, and the ways in.

import { pageWords } from '../../words/index.ts'
import { Post } from './form.tsx'
import { Layout } from './layout.tsx'

type DoorsProps = {
  readonly csrf: string
  /** Somebody came for a household's page, and the browser has the key of none. */
  readonly closed?: boolean
  readonly lang?: string
}

export const DoorsPage = ({ csrf, closed = false, lang = 'en' }: DoorsProps) => (
  <Layout title={pageWords.doors.title} lang={lang}>
    <h1>{pageWords.doors.title}</h1>
    {closed ? <p class="notice">{pageWords.doors.closed}</p> : null}
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

/** The one door of a rehearsal. Its clock starts when somebody walks in. */
export const RehearsalPage = ({ csrf, lang = 'en' }: DoorsProps) => (
  <Layout title={pageWords.rehearsal.title} lang={lang}>
    <h1>{pageWords.rehearsal.title}</h1>
    <p>{pageWords.rehearsal.what}</p>
    <p>{pageWords.rehearsal.how}</p>
    <Post action="/demo" csrf={csrf}>
      <button type="submit" class="main-button">
        {pageWords.rehearsal.go}
      </button>
    </Post>
  </Layout>
)
