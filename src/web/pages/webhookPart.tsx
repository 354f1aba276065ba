// The webhook on the page "Who is told": where it goes, how it did last time, a new address, none any more.

import type { Instant } from '../../plan/index.ts'
import { type Household, type Settings, WEBHOOK } from '../../reminder/index.ts'
import { type Format, channelsPageWords } from '../../words/index.ts'
import { Checkbox, Field, type FieldError, Post } from './form.tsx'
import { Layout } from './layout.tsx'
import { errorOf } from './rows.tsx'
import { Key } from './welcome.tsx'

const words = channelsPageWords.webhook

export const WebhookPart = (props: {
  readonly household: Household
  readonly webhook: Settings['webhook']
  readonly now: Instant
  readonly f: Format
  readonly csrf: string
  readonly errors: readonly FieldError[]
  readonly typed: {
    readonly form: string
    readonly fields: Readonly<Record<string, string>>
  } | null
}) => {
  const { household, webhook, now, f, csrf, errors } = props
  const typed = props.typed?.form === 'webhook' ? props.typed.fields['url'] : undefined
  return (
    <section id="webhook">
      <h2>{words.heading}</h2>
      <p>{words.what}</p>
      <p>
        {webhook === null ? (
          words.none
        ) : (
          <>
            {words.now(webhook.url)} <span class="when">{lastCall(household, now, f)}</span>
          </>
        )}
      </p>
      {webhook === null ? null : (
        <Post action="/channels/webhook/test" csrf={csrf}>
          <button type="submit">
            {channelsPageWords.test} <span class="unseen">{words.heading}</span>
          </button>
        </Post>
      )}
      <details open={typed !== undefined}>
        <summary>{webhook === null ? words.set : words.change}</summary>
        <Post action="/channels/webhook" csrf={csrf}>
          <Field
            id="webhook-url"
            name="url"
            type="url"
            label={words.address}
            value={typed ?? webhook?.url}
            error={errorOf(errors, 'webhook-url')}
          />
          <button type="submit">{words.save}</button>
        </Post>
        {webhook === null ? null : (
          <Post action="/channels/webhook/secret" csrf={csrf} class="apart">
            <p class="hint">{words.newSecretHint}</p>
            <button type="submit">{words.newSecret}</button>
          </Post>
        )}
        {webhook === null ? null : (
          <Post action="/channels/webhook/remove" csrf={csrf} class="apart">
            <Checkbox
              id="sure-webhook"
              name="sure"
              label={words.removeSure}
              checked={false}
              required
            />
            <button type="submit">{words.remove}</button>
          </Post>
        )}
      </details>
    </section>
  )
}

/** How the last call went, as far as its deliveries tell. */
function lastCall({ deliveries }: Household, now: Instant, f: Format): string {
  const say = channelsPageWords.last
  const last = deliveries.findLast(
    ({ channel, attempts, acceptedAt, note }) =>
      channel === WEBHOOK && attempts > 0 && (acceptedAt !== null || note !== null),
  )
  if (last === undefined) return say.never
  if (last.acceptedAt === null) return words.failed
  const [day, time] = [f.shortDay(last.acceptedAt), f.time(last.acceptedAt)]
  return f.isoDay(last.acceptedAt) === f.isoDay(now)
    ? say.delivered(time)
    : say.deliveredOn(day, time)
}

/** A new secret, shown this once. */
export const WebhookSecretPage = (props: {
  readonly secret: string
  readonly lang: string
  /** It takes the place of one that signs for a while still. */
  readonly another?: boolean
}) => (
  <Layout title={words.secret} lang={props.lang} scripts={['/copy.js']}>
    <h1>{words.secret}</h1>
    <Key heading={null} hint={words.secretHint} value={props.secret} copy={words.copy} />
    {props.another ? <p class="hint">{words.newSecretHint}</p> : null}
    <p>
      <a class="button main-button" href="/channels">
        {channelsPageWords.telegram.back}
      </a>
    </p>
  </Layout>
)
