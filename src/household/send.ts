// One attempt to send one delivery: checked again just before, so that an answer that came in between wins.

import {
  type OutgoingMessage,
  type Outcome,
  type PersonalMessage,
  mailAddress,
  retryDelayMs,
  retryShare,
  sendMail,
  sendPublish,
  sendPush,
  sendTelegram,
  sendWebhook,
  settlePublish,
  settlePush,
  settleTelegram,
} from '../delivery/index.ts'
import { renderPlanFile } from '../calendar/index.ts'
import { type Env, botIn, mailIn, vapidIn } from '../env.ts'
import type { Instant } from '../plan/index.ts'
import {
  type Attempt,
  type Delivery,
  type Household,
  type HouseholdChannel,
  type Reminder,
  WEBHOOK,
  addressOf,
  stillWanted,
} from '../reminder/index.ts'
import { linkCode, mailCode } from './links.ts'
import { outgoing, personal, settledText } from './message.ts'

export type SendingTools = {
  readonly env: Env
  readonly now: () => Instant
  readonly origin: string
  readonly signingKey: string
}

export const sendingTools = (env: Env, rest: Omit<SendingTools, 'env'>): SendingTools => ({
  env,
  ...rest,
})

/** What came of the attempt; `null` when nothing needed to be sent any more. */
export async function sendOne(
  current: () => Household | null,
  deliveryId: string,
  tools: SendingTools,
): Promise<Attempt | null> {
  const found = await prepared(current(), deliveryId, tools)
  if (found === null) return null
  const now = tools.now()
  // Making the message took a moment, in which somebody may have answered.
  const household = current()
  if (household === null || !stillWanted(household, deliveryId, now)) return null
  return attemptOf(await found.go(now), found.address, found.delivery)
}

type Prepared = {
  readonly delivery: Delivery
  readonly address: string
  readonly go: (now: Instant) => Promise<Outcome>
}

async function prepared(
  household: Household | null,
  deliveryId: string,
  tools: SendingTools,
): Promise<Prepared | null> {
  const delivery = household?.deliveries.find((each) => each.id === deliveryId)
  const reminder = household?.reminders.find((each) => each.key === delivery?.reminderKey)
  if (!household || !delivery || !reminder) return null
  const message = outgoing(household, reminder, delivery, tools)
  if (delivery.channel === WEBHOOK) return webhookCall(household, delivery, message)
  const channel = household.channels.find(({ id }) => id === delivery.channel)
  if (channel === undefined) return null
  const answerUrl = await answerLink(household, channel, reminder.key, tools)
  const letter = personal(household, reminder, delivery, message, answerUrl)
  const address = addressOf(channel.target)
  if (delivery.purpose === 'settle') {
    const settled = {
      handle: delivery.handle ?? '',
      message: letter,
      text: settledText(household, reminder),
    }
    return { delivery, address, go: (now) => settle(channel, settled, tools, now) }
  }
  const file = fileFor(household, reminder, tools)
  return {
    delivery,
    address,
    go: (now) => sendThrough(household, channel, letter, file, tools, now),
  }
}

function webhookCall(
  { settings }: Household,
  delivery: Delivery,
  message: OutgoingMessage,
): Prepared | null {
  const { webhook } = settings
  if (webhook === null) return null
  return {
    delivery,
    address: webhook.url,
    go: (now) => sendWebhook(webhook, message, { fetch, now }),
  }
}

const NOT_SET_UP: Outcome = { kind: 'refused', note: 'not set up here' }

/** Sends a message through a channel, whatever it is. */
export async function sendThrough(
  household: Household,
  channel: HouseholdChannel,
  message: PersonalMessage,
  calendarFile: string | null,
  tools: SendingTools,
  now: Instant,
): Promise<Outcome> {
  const { id, target } = channel
  switch (target.kind) {
    case 'push': {
      const vapid = vapidIn(tools.env)
      return vapid === null ? NOT_SET_UP : sendPush(target, message, { fetch, now, vapid })
    }
    case 'telegram': {
      const bot = botIn(tools.env)
      return bot === null ? NOT_SET_UP : sendTelegram(target, message, { fetch, now, bot })
    }
    case 'publish':
      return sendPublish(target, message, { fetch, now })
    case 'mail': {
      const mail = mailIn(tools.env)
      if (mail === null) return NOT_SET_UP
      const domain = mail.from.split('@').at(-1) ?? ''
      const replyTo = mailAddress(
        await mailCode(tools.signingKey, 'mail', id, addressOf(target)),
        domain,
      )
      const unsubscribeUrl = await stopLink(household, channel, tools)
      return sendMail(target, message, {
        fetch,
        now,
        mail: mail.binding,
        from: mail.from,
        replyTo,
        calendarFile,
        unsubscribeUrl,
      })
    }
  }
}

/** What is out there says that it is over; where a channel cannot take back, there is nothing to do. */
async function settle(
  { target }: HouseholdChannel,
  settled: Parameters<typeof settlePush>[1],
  { env }: SendingTools,
  now: Instant,
): Promise<Outcome> {
  const [vapid, bot] = [vapidIn(env), botIn(env)]
  if (target.kind === 'push' && vapid !== null)
    return settlePush(target, settled, { fetch, now, vapid })
  if (target.kind === 'publish') return settlePublish(target, settled, { fetch, now })
  if (target.kind === 'telegram' && bot !== null)
    return settleTelegram(target, settled, { fetch, now, bot })
  return NOT_SET_UP
}

function attemptOf(outcome: Outcome, address: string, { id, attempts }: Delivery): Attempt {
  switch (outcome.kind) {
    case 'gone':
      return { ...outcome, address }
    case 'try-again':
      // What the receiver asks for is obeyed, but never by hurrying.
      return {
        ...outcome,
        afterMs: Math.max(outcome.afterMs ?? 0, retryDelayMs(attempts, retryShare(id, attempts))),
      }
    default:
      return outcome
  }
}

const fileFor = (household: Household, { kind, eventId }: Reminder, { origin }: SendingTools) =>
  kind === 'outcome' || kind === 'restore'
    ? null
    : renderPlanFile(household, eventId, { page: `${origin}/plan` })

/** The page that answers one reminder, as it came by one channel. Codes are bound to where it leads: an id can be another's one day. */
const answerLink = (
  household: Household,
  channel: HouseholdChannel,
  key: string,
  tools: SendingTools,
) => linkTo('answer', household, channel, [key], tools)

/** Where a channel's owner turns it off. */
const stopLink = (household: Household, channel: HouseholdChannel, tools: SendingTools) =>
  linkTo('stop', household, channel, [], tools)

/** Where a channel's owner confirms that it is theirs. */
export const confirmLink = (household: Household, channel: HouseholdChannel, tools: SendingTools) =>
  linkTo('confirm', household, channel, [], tools)

async function linkTo(
  purpose: 'answer' | 'stop' | 'confirm',
  household: Household,
  { id, target }: HouseholdChannel,
  about: readonly string[],
  { origin, signingKey }: SendingTools,
): Promise<string> {
  const code = await linkCode(signingKey, purpose, id, addressOf(target), ...about)
  return [origin, purpose, household.id, id, ...about, code].join('/')
}
