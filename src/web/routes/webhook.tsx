// The webhook on the page "Who is told": its address, a new secret, none any more. A secret is shown once.

import { type Context, Hono } from 'hono'
import { rotated } from '../../delivery/index.ts'
import { type Settings, WEBHOOK } from '../../reminder/index.ts'
import { channelsPageWords as words } from '../../words/index.ts'
import { readChange } from '../api/index.ts'
import { apiTools } from '../apiTools.ts'
import { addressWrong } from '../channelsForm.ts'
import { WebhookSecretPage } from '../pages/index.ts'
import { type Inside, type Place, formOf, inside } from '../place.ts'
import { channelsPage, said } from './channelsPage.tsx'
import { expired } from './trouble.tsx'

const TESTED = {
  delivered: 'webhookDelivered',
  gone: 'webhookGone',
  unreachable: 'webhookUnreachable',
} as const

/** To be asked before the channels' routes, which would take `webhook` for a channel. */
export function webhookRoutes(place: Place): Hono<Inside> {
  const { page, guard } = channelsPage(place)
  const tools = apiTools(place)

  return new Hono<Inside>()
    .use('/channels/webhook/*', inside(place))
    .post('/channels/webhook', async (c) => {
      const fields = await formOf(c)
      if (fields === null) return expired(c)
      const seen = await c.var.door.read()
      const { settings } = seen.household
      const url = (fields['url'] ?? '').trim()
      const wrong = url === settings.webhook?.url ? null : addressWrong(url, guard)
      const changed = readChange(settings, { webhook: { url } }, tools)
      if (wrong !== null || !changed.ok) {
        const message = wrong ?? words.wrong.address.unreadable
        const errors = [{ field: 'webhook-url', message }]
        return page(c, seen, { form: 'webhook', fields, errors })
      }
      const { webhook } = changed.value
      await keep(c, settings, webhook)
      return webhook === null || webhook.secret === settings.webhook?.secret
        ? said(c, 'webhookSaved')
        : secretPage(c, settings, webhook.secret)
    })
    .post('/channels/webhook/secret', async (c) => {
      if ((await formOf(c)) === null) return expired(c)
      const { household, now } = await c.var.door.read()
      const { settings } = household
      if (settings.webhook === null) return c.redirect('/channels', 303)
      const secret = tools.newWebhookSecret()
      await keep(c, settings, rotated(settings.webhook, secret, now))
      return secretPage(c, settings, secret, true)
    })
    .post('/channels/webhook/test', async (c) => {
      if ((await formOf(c)) === null) return expired(c)
      const { kind } = await c.var.door.testChannel(WEBHOOK)
      return said(c, kind === 'delivered' || kind === 'gone' ? TESTED[kind] : TESTED.unreachable)
    })
    .post('/channels/webhook/remove', async (c) => {
      const form = await formOf(c)
      if (form === null) return expired(c)
      if (form['sure'] !== 'yes') return c.redirect('/channels', 303)
      await keep(c, (await c.var.door.read()).household.settings, null)
      return said(c, 'webhookRemoved')
    })
}

const keep = (c: Context<Inside>, from: Settings, webhook: Settings['webhook']) =>
  c.var.door.perform({ type: 'settings', settings: { ...from, webhook }, from })

const secretPage = (
  c: Context<Inside>,
  { language }: Settings,
  secret: string,
  another: boolean = false,
) => c.html(<WebhookSecretPage secret={secret} lang={language} another={another} />)
