// The page "Who is told", and everything that can be done on it. What a form did is said at the top of the page that it
// leads back to; a form that cannot be taken comes back as it was typed.

import { type Context, Hono } from 'hono'
import { refusalText } from '../../chat/index.ts'
import { startLink } from '../../delivery/index.ts'
import { botIn } from '../../env.ts'
import { INVITATION_MS } from '../../household/index.ts'
import { asInstant } from '../../plan/index.ts'
import { type Household, type HouseholdChannel, addressOf } from '../../reminder/index.ts'
import { format } from '../../words/index.ts'
import { type Added, type AddedKind, channelAdded, personIn } from '../channelsForm.ts'
import { ChatLinkPage, isSetUp } from '../pages/index.ts'
import { type Inside, type Place, formOf, inside } from '../place.ts'
import type { Typed } from '../rowsForm.ts'
import { SAID_OF_TEST } from '../channelsSaid.ts'
import { type Back, channelsPage, said } from './channelsPage.tsx'
import { expired, nowhere } from './trouble.tsx'

export function channelRoutes(place: Place): Hono<Inside> {
  const { page, setUp, guard } = channelsPage(place)
  const bot = botIn(place.env)

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

/** A browser whose subscription changed says which one it had: that channel, still of the same person, leads to it from now on. */
function replacing({ channels }: Household, { replaces }: Typed): Partial<Added> {
  const known = channels.find(
    ({ target }) => target.kind === 'push' && target.endpoint === replaces,
  )
  if (known === undefined) return {}
  const { id, person, label } = known
  return { person, label, replaces: id }
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

const askOwner = async (c: Context<Inside>, channelId: string) => {
  const asked = await c.var.door.askMailOwner(channelId)
  return said(c, asked.kind === 'delivered' ? 'asked' : 'notAsked', channelId)
}
