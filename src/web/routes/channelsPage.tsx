// The page "Who is told" as an answer: as it is, with what was just done said at its top, or with the form that could not
// be taken.

import type { Context } from 'hono'
import { newTopic } from '../../delivery/index.ts'
import { botIn, mailIn, vapidIn } from '../../env.ts'
import type { Seen } from '../../household/index.ts'
import { type Said, saidWords } from '../channelsSaid.ts'
import { ChannelsPage, type FieldError, type SetUp } from '../pages/index.ts'
import type { Inside, Place } from '../place.ts'
import type { Typed } from '../rowsForm.ts'
import { formKey } from '../session.ts'

/** A form that could not be taken. */
export type Back = {
  readonly form: string
  readonly fields: Typed
  readonly errors: readonly FieldError[]
}

/** The page at this installation, which channels can be used there, and which addresses may be called from it. */
export function channelsPage({ env, allowLocal, origin }: Place) {
  const setUp: SetUp = {
    push: vapidIn(env)?.publicKey ?? null,
    telegram: botIn(env) !== null,
    mail: mailIn(env) !== null,
  }
  const page = (c: Context<Inside>, { household, now }: Seen, back: Back | null = null) => {
    const { said: what, about } = c.req.query()
    return c.html(
      <ChannelsPage
        household={household}
        now={now}
        setUp={setUp}
        freshTopic={newTopic(crypto.getRandomValues(new Uint8Array(16)))}
        typed={back}
        errors={back?.errors ?? []}
        said={back === null ? saidWords(what, about, household) : null}
        csrf={formKey(c)}
      />,
      back === null ? 200 : 422,
    )
  }
  return { page, setUp, guard: { allowLocal, ownHost: new URL(origin).host } }
}

/** Leads back to the page, which says what was done. */
export const said = (c: Context<Inside>, what: Said, channelId?: string) =>
  c.redirect(`/channels?said=${what}${channelId === undefined ? '' : `&about=${channelId}`}`, 303)
