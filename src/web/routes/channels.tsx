// The page "Who is told", and everything that can be done on it. What a form did is said at the top of the page that it
// leads back to; a form that cannot be taken comes back as it was typed.

import { type Context, Hono } from 'hono'
import { refusalText } from '../../chat/index.ts'
import { newTopic, startLink } from '../../delivery/index.ts'
import { botIn, mailIn, vapidIn } from '../../env.ts'
import type { Seen } from '../../household/index.ts'
import { INVITATION_MS } from '../../household/index.ts'
import { asInstant } from '../../plan/index.ts'
import { type Household, type HouseholdChannel, addressOf } from '../../reminder/index.ts'
import { channelsPageWords as words, format } from '../../words/index.ts'
import { readChange } from '../api/index.ts'
import { apiTools } from '../apiTools.ts'
import {
  type Added,
  type AddedKind,
  addressWrong,
  channelAdded,
  personIn,
} from '../channelsForm.ts'
import {
  ChannelsPage,
  ChatLinkPage,
  type FieldError,
  WebhookSecretPage,
  isSetUp,
} from '../pages/index.ts'
import { type Inside, type Place, formOf, inside } from '../place.ts'
import type { Typed } from '../rowsForm.ts'
import { SAID_OF_TEST, type Said, saidWords } from '../channelsSaid.ts'
import { formKey } from '../session.ts'
import { expired, nowhere } from './trouble.tsx'

type Back = {
  readonly form: string
  readonly fields: Typed
  readonly errors: readonly FieldError[]
}

export function channelRoutes(place: Place): Hono<Inside> {
  const { env, allowLocal, origin } = place
  const guard = { allowLocal, ownHost: new URL(origin).host }
  const bot = botIn(env)
  const setUp = {
    push: vapidIn(env)?.publicKey ?? null,
    telegram: bot !== null,
    mail: mailIn(env) !== null,
  }

  const page = (c: Context<Inside>, { household, now }: Seen, back: Back | null = null) =>
    c.html(
      <ChannelsPage
        household={household}
        now={now}
        setUp={setUp}
        freshTopic={newTopic(crypto.getRandomValues(new Uint8Array(16)))}
        typed={back}
        errors={back?.errors ?? []}
        said={
          back === null ? saidWords(c.req.query('said'), c.req.query('about'), household) : null
        }
        csrf={formKey(c)}
      />,
      back === null ? 200 : 422,
    )

  /** Adds a channel, or turns one on again that its owner has to confirm anew. */
  const add = async (c: Context<Inside>, command: Added, back: Omit<Back, 'errors'> | null) => {
    const done = await c.var.door.perform(command)
    if (!done.outcome.ok) {
      const message = refusalText(done.seen.household, done.outcome.refusal)
      return page(c, done.seen, {
        ...(back ?? { form: '', fields: {} }),
        errors: [{ field: back === null ? 'main' : `add-${back.form}`, message }],
      })
    }
    const added = channelAt(done.seen.household, command)
    if (added?.state === 'waiting') return askOwner(c, added.id)
    return said(c, 'added', added?.id)
  }

  const addBy = (form: AddedKind) => async (c: Context<Inside>) => {
    const fields = await formOf(c)
    if (fields === null) return expired(c)
    if (!isSetUp(setUp, form)) return nowhere(c)
    const added = await channelAdded(form, fields, guard)
    if (!added.ok) return page(c, await c.var.door.read(), { form, fields, errors: added.refusal })
    const { household } = await c.var.door.read()
    return add(c, { ...added.value, ...replacing(household, fields) }, { form, fields })
  }

  return new Hono<Inside>()
    .use('/channels/*', inside(place))
    .get('/channels', async (c) => page(c, await c.var.door.read()))
    .post('/channels/push', addBy('push'))
    .post('/channels/mail', addBy('mail'))
    .post('/channels/publish', addBy('publish'))
    .post('/channels/telegram', async (c) => {
      const fields = await formOf(c)
      if (fields === null) return expired(c)
      if (bot === null) return nowhere(c)
      const person = personIn('telegram', fields)
      const seen = await c.var.door.read()
      if (!person.ok) return page(c, seen, { form: 'telegram', fields, errors: person.refusal })
      const code = await c.var.door.inviteChat(person.value)
      const { language, timeZone } = seen.household.settings
      return c.html(
        <ChatLinkPage
          person={person.value}
          links={{ alone: startLink(bot, code, false), group: startLink(bot, code, true) }}
          until={asInstant(seen.now + INVITATION_MS)}
          f={format(language, timeZone)}
          lang={language}
        />,
      )
    })
    .post('/channels/webhook', async (c) => {
      const fields = await formOf(c)
      if (fields === null) return expired(c)
      const seen = await c.var.door.read()
      const { settings } = seen.household
      const url = (fields['url'] ?? '').trim()
      const wrong = url === settings.webhook?.url ? null : addressWrong(url, guard)
      const changed = readChange(settings, { webhook: { url } }, apiTools(place))
      if (wrong !== null || !changed.ok) {
        const message = wrong ?? words.wrong.address.unreadable
        return page(c, seen, {
          form: 'webhook',
          fields,
          errors: [{ field: 'webhook-url', message }],
        })
      }
      const { webhook } = changed.value
      await c.var.door.perform({ type: 'settings', settings: changed.value, from: settings })
      return webhook === null || webhook.secret === settings.webhook?.secret
        ? said(c, 'webhookSaved')
        : c.html(<WebhookSecretPage secret={webhook.secret} lang={settings.language} />)
    })
    .post('/channels/webhook/remove', async (c) => {
      const form = await formOf(c)
      if (form === null) return expired(c)
      if (form['sure'] !== 'yes') return c.redirect('/channels', 303)
      const { settings } = (await c.var.door.read()).household
      const without = { ...settings, webhook: null }
      await c.var.door.perform({ type: 'settings', settings: without, from: settings })
      return said(c, 'webhookRemoved')
    })
    .post(
      '/channels/:id/test',
      toChannel(async (c, { id }) =>
        said(c, SAID_OF_TEST[(await c.var.door.testChannel(id)).kind], id),
      ),
    )
    .post(
      '/channels/:id/confirm',
      toChannel(async (c, { id, state }) =>
        state === 'waiting' ? askOwner(c, id) : c.redirect('/channels', 303),
      ),
    )
    .post(
      '/channels/:id/first',
      toChannel(async (c, { id }) => {
        await c.var.door.perform({ type: 'prefer-channel', channelId: id })
        return said(c, 'changed')
      }),
    )
    .post(
      '/channels/:id/off',
      toChannel(async (c, { id, state }) => {
        if (state === 'on')
          await c.var.door.perform({ type: 'turn-channel', channelId: id, to: 'off' })
        return said(c, 'changed')
      }),
    )
    .post(
      '/channels/:id/on',
      toChannel(async (c, { id, person, label, target, state }) => {
        if (state === 'on') return said(c, 'changed')
        // Its owner may have stopped it: a mail address is on again when its owner says so.
        if (target.kind === 'mail')
          return add(c, { type: 'add-channel', person, label, target, state: 'waiting' }, null)
        await c.var.door.perform({ type: 'turn-channel', channelId: id, to: 'on' })
        return said(c, 'changed')
      }),
    )
    .post(
      '/channels/:id/remove',
      toChannel(async (c, { id }, form) => {
        if (form['sure'] !== 'yes') return c.redirect('/channels', 303)
        await c.var.door.removeChannel(id)
        return said(c, 'removed')
      }),
    )
}

const channelAt = ({ channels }: Household, { target }: Added): HouseholdChannel | undefined =>
  channels.find(
    (each) => each.target.kind === target.kind && addressOf(each.target) === addressOf(target),
  )

/** A browser whose subscription changed says which one it had: that channel leads to it from now on. */
const replacing = ({ channels }: Household, { replaces }: Typed): { replaces?: string } => {
  const known = channels.find(
    ({ target }) => target.kind === 'push' && target.endpoint === replaces,
  )
  return known === undefined ? {} : { replaces: known.id }
}

/** Does something to the channel of the path. */
const toChannel =
  (act: (c: Context<Inside>, channel: HouseholdChannel, form: Typed) => Promise<Response>) =>
  async (c: Context<Inside>) => {
    const form = await formOf(c)
    if (form === null) return expired(c)
    const { household } = await c.var.door.read()
    const channel = household.channels.find(({ id }) => id === c.req.param('id'))
    return channel === undefined ? nowhere(c) : act(c, channel, form)
  }

const said = (c: Context<Inside>, what: Said, channelId?: string) =>
  c.redirect(`/channels?said=${what}${channelId === undefined ? '' : `&about=${channelId}`}`, 303)

const askOwner = async (c: Context<Inside>, channelId: string) => {
  const asked = await c.var.door.askMailOwner(channelId)
  return said(c, asked.kind === 'delivered' ? 'asked' : 'notAsked', channelId)
}
