// How the platform reaches us: the call that sets its webhook, the secret that it then sends along with every
// update, and the link that opens the bot with a one-time code.

import { jsonPost, methodUrl } from './telegramCall.ts'
import type { TelegramBot } from './telegramCall.ts'

export const SECRET_HEADER = 'X-Telegram-Bot-Api-Secret-Token'

const SECRET = /^[\w-]{1,256}$/
const CODE = /^[\w-]{1,64}$/

/**
 * The request that sets the webhook: `fetch(url, init)`. Updates that wait there stay, since an answer may be
 * among them; anything but messages, taps and our own coming and going is not sent at all.
 */
export function setWebhookCall(bot: TelegramBot, url: string, secret: string) {
  // Never in a message: what the secret is.
  if (!SECRET.test(secret))
    throw new RangeError(
      `Cannot set a webhook as its secret must have 1 to 256 of A-Z a-z 0-9 _ -: current value has ${secret.length} characters`,
    )
  if (!URL.canParse(url) || new URL(url).protocol !== 'https:')
    throw new RangeError(
      `Cannot set a webhook as its address must be https: current value is ${url}`,
    )
  return {
    url: methodUrl(bot, 'setWebhook'),
    init: {
      method: 'POST',
      ...jsonPost({
        url,
        secret_token: secret,
        allowed_updates: ['message', 'callback_query', 'my_chat_member'],
      }),
    },
  }
}

/** Whether a call to the webhook carries the secret; compared by digests in constant time. An empty one never fits. */
export async function fitsSecret(given: string | null, expected: string): Promise<boolean> {
  if (given === null || expected === '') return false
  const [a, b] = await Promise.all([digestOf(given), digestOf(expected)])
  return sameBytes(a, b)
}

const digestOf = async (text: string) =>
  new Uint8Array(await crypto.subtle.digest('SHA-256', new TextEncoder().encode(text)))

// The runtime's own where it has one; Node has none under this name.
const sameBytes = (a: Uint8Array, b: Uint8Array): boolean =>
  'timingSafeEqual' in crypto.subtle
    ? crypto.subtle.timingSafeEqual(a, b)
    : a.reduce((differing, byte, index) => differing | (byte ^ (b[index] ?? 0)), 0) === 0

/** Opens the bot and sends it `/start CODE`: in the person's own chat, or in a group that they choose. */
export function startLink({ name }: TelegramBot, code: string, group: boolean): string {
  if (!CODE.test(code))
    throw new RangeError(
      `Cannot make a start link as its code must have 1 to 64 of A-Z a-z 0-9 _ -: current value has ${code.length} characters`,
    )
  return `https://t.me/${name}?${group ? 'startgroup' : 'start'}=${code}`
}
