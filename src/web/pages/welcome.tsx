// After set-up, once: the keys to the household, and what the battery can carry.

import { format, pageWords } from '../../words/index.ts'
import { Cautions } from './cautions.tsx'
import { Layout } from './layout.tsx'
import { Rich } from './rich.tsx'

export type WelcomeProps = {
  /** Shown once; `null` when only a new secret is to be shown. */
  readonly link: string | null
  readonly calendarUrl: string | null
  readonly webhookSecret: string | null
  /** Hours from full down to the outage reserve at the household's load. */
  readonly coverHours: number
  /** What a clock on the wall there shows: by it a wrong zone is seen. */
  readonly clock?: string
  readonly lang?: string
}

export const WelcomePage = (props: WelcomeProps) => {
  const { link, calendarUrl, webhookSecret, coverHours, lang = 'en' } = props
  const words = pageWords.welcome
  return (
    <Layout title={words.title} lang={lang} scripts={['/copy.js']}>
      <h1>{words.title}</h1>
      <p>
        <Rich text={words.covers(format(lang, 'UTC').duration(coverHours))} />
      </p>
      {props.clock === undefined ? null : <p>{words.clock(props.clock)}</p>}
      <Key heading={words.link} hint={words.linkHint} value={link} copy={words.copyLink} link />
      <Key
        heading={words.calendar}
        hint={words.calendarHint}
        value={calendarUrl}
        copy={words.copyCalendar}
      />
      <Key
        heading={words.secret}
        hint={words.secretHint}
        value={webhookSecret}
        copy={words.copySecret}
      />
      <p>
        <a class="button main-button" href="/">
          {words.go}
        </a>
      </p>
      <Cautions />
    </Layout>
  )
}

/** A key that is shown once, to be copied. */
export const Key = (props: {
  readonly heading: string | null
  readonly hint: string | null
  readonly value: string | null
  readonly copy: string
  readonly link?: boolean
}) =>
  props.value === null ? null : (
    <section>
      {props.heading === null ? null : <h2>{props.heading}</h2>}
      {props.hint === null ? null : <p>{props.hint}</p>}
      <code class="key" data-copy={props.copy} data-copied={pageWords.welcome.copied}>
        {props.link ? <a href={props.value}>{props.value}</a> : props.value}
      </code>
    </section>
  )
