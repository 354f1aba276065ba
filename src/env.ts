// What the platform binds to the worker, and what only a local run sets.

import type { ClockSetting } from './clock.ts'
import type { TelegramBot, VapidKeys } from './delivery/index.ts'
import type { AddressObject, HouseholdObject } from './household/index.ts'

export type Env = {
  readonly HOUSEHOLD: DurableObjectNamespace<HouseholdObject>
  readonly ADDRESS: DurableObjectNamespace<AddressObject>
  /** What channels take; each channel is there when its own are (`delivery/`, DEVELOPERS.md). */
  readonly VAPID_PUBLIC_KEY?: string
  readonly VAPID_PRIVATE_KEY?: string
  /** `mailto:` or `https:`: whom a push service can turn to (RFC 8292 §2.1). */
  readonly VAPID_SUBJECT?: string
  readonly TELEGRAM_TOKEN?: string
  /** The bot's user name. */
  readonly TELEGRAM_BOT?: string
  /** What the bot's webhook is called with. */
  readonly TELEGRAM_SECRET?: string
  readonly MAIL?: SendEmail
  /** The address that mails come from; answers go to its domain. */
  readonly MAIL_FROM?: string
  /** The receiving server that says who sent a mail (RFC 8601 §2.2, authserv-id). */
  readonly MAIL_AUTH_SERVER?: string
  /** Local runs only; a deployed worker has none of these. The first is a clock setting in JSON. */
  readonly LOCAL_CLOCK?: string
  readonly ALLOW_LOCAL?: string
  readonly REHEARSE?: string
  /** A stand-in for the chat's platform. */
  readonly TELEGRAM_API?: string
}

export const clockSettingIn = (env: Env): ClockSetting | null =>
  env.LOCAL_CLOCK === undefined ? null : (JSON.parse(env.LOCAL_CLOCK) as ClockSetting)

const TELEGRAM_API = 'https://api.telegram.org'

/** The keys with which pushes are sent; `null` where they are not set up. */
export const vapidIn = (env: Env): VapidKeys | null =>
  env.VAPID_PUBLIC_KEY && env.VAPID_PRIVATE_KEY && env.VAPID_SUBJECT
    ? {
        publicKey: env.VAPID_PUBLIC_KEY,
        privateKey: env.VAPID_PRIVATE_KEY,
        subject: env.VAPID_SUBJECT,
      }
    : null

/** The bot; `null` where none is set up. */
export const botIn = (env: Env): TelegramBot | null =>
  env.TELEGRAM_TOKEN && env.TELEGRAM_BOT && env.TELEGRAM_SECRET
    ? {
        token: env.TELEGRAM_TOKEN,
        name: env.TELEGRAM_BOT,
        api: (env.ALLOW_LOCAL && env.TELEGRAM_API) || TELEGRAM_API,
      }
    : null

/** The platform's way to send mail, and from whom; `null` where it is not set up. */
export const mailIn = (env: Env): { readonly binding: SendEmail; readonly from: string } | null =>
  env.MAIL && env.MAIL_FROM ? { binding: env.MAIL, from: env.MAIL_FROM } : null
