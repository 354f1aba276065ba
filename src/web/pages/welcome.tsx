// After set-up, once: the keys to the household, and what the battery can carry.

import { format } from '../../words/index.ts'
import { pageWords } from '../../words/en/pages.ts'
import { Cautions } from './cautions.tsx'
import { Layout } from './layout.tsx'
import { Rich } from './rich.tsx'

export type WelcomeProps = {
  readonly link: string
  readonly calendarUrl: string
  readonly webhookSecret: string | null
  /** Hours from full down to the outage reserve at the household's load. */
  readonly coverHours: number
  readonly lang?: string
}

export const WelcomePage = (props: WelcomeProps) => {
  const { link, calendarUrl, webhookSecret, coverHours, lang = 'en' } = props
  const words = pageWords.welcome
  return (
    <Layout title={words.title} lang={lang}>
      <h1>{words.title}</h1>
      <p>
        <Rich text={words.covers(format(lang, 'UTC').duration(coverHours))} />
      </p>
      <Key heading={words.link} hint={words.linkHint} value={link} />
      <Key heading={words.calendar} hint={words.calendarHint} value={calendarUrl} />
      {webhookSecret === null ? null : (
        <Key heading={words.secret} hint={words.secretHint} value={webhookSecret} />
      )}
      <p>
        <a class="button main-button" href="/">
          {words.go}
        </a>
      </p>
      <Cautions />
    </Layout>
  )
}

const Key = (props: {
  readonly heading: string
  readonly hint: string
  readonly value: string
}) => (
  <section>
    <h2>{props.heading}</h2>
    <p>{props.hint}</p>
    <code class="key">{props.value}</code>
  </section>
)
