// The one-time link by which a chat becomes a channel, shown this once.

import type { Instant } from '../../plan/index.ts'
import { type Format, channelsPageWords } from '../../words/index.ts'
import { Layout } from './layout.tsx'
import { Key } from './welcome.tsx'

const words = channelsPageWords.telegram

export const ChatLinkPage = (props: {
  readonly person: string
  readonly links: { readonly alone: string; readonly group: string }
  readonly until: Instant
  readonly f: Format
  readonly lang: string
}) => {
  const { person, links, until, f, lang } = props
  return (
    <Layout title={words.made(person)} lang={lang} scripts={['/copy.js']}>
      <h1>{words.made(person)}</h1>
      <p>{words.lasts(f.time(until))}</p>
      <div class="choices">
        <a class="button main-button" href={links.alone}>
          {words.alone}
        </a>
        <a class="button" href={links.group}>
          {words.group}
        </a>
      </div>
      <p class="apart">{words.after}</p>
      <p>{words.elsewhere}</p>
      <Key heading={null} hint={null} value={links.alone} copy={words.copyAlone} />
      <Key heading={null} hint={null} value={links.group} copy={words.copyGroup} />
      <p>
        <a href="/channels">{words.back}</a>
      </p>
    </Layout>
  )
}
